package inspect

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"loopwright/takeoff"
	"loopwright/takeoff/dxf"
	"loopwright/takeoff/figures"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/legend"
	"loopwright/takeoff/levels"
	"loopwright/takeoff/measure"
	"loopwright/takeoff/plan"
	"loopwright/takeoff/rooms"
	"loopwright/takeoff/units"
	"loopwright/takeoff/words"
)

// Contents is what a drawing shows, before anybody has said what to look for.
type Contents struct {
	File    string
	Units   units.Fit
	Legends []legend.Legend
	Maybe   []legend.Legend // symbols beside texts that may be legends
	Blocks  []BlockUse      // by name; what stands in legends only is listed too
	Walls   []string        // layers that walls seem to be drawn on
	Regions []legend.Region
	Figures []figures.Found   // loose figures on alarm layers that stand more than once
	Levels  []levels.Found    // from the lowest up, at least one; unnamed if no title was found
	Rooms   int               // room names found
	Project string            // as a title block says; "" if none does
	Broken  []takeoff.Finding // of severity error: what of the drawing could not be read
	// Layers whose names say that what is on them is to be removed, or stands already.
	Demolition, Existing []string
	// Others are attributes of symbols that say who else provides them: tag and value.
	Others [][2]string
}

// BlockUse says where and how often a block stands in model space.
type BlockUse struct {
	Block   string         // effective name
	Placed  int            // outside legends and found regions, visible
	Hidden  int            // outside legends and found regions, not visible
	Samples int            // in legends and found regions
	Legend  string         // what a legend says about it
	Layers  map[string]int // of those placed or hidden
	Attribs map[string]int // tags
	// Values counts what the attributes of those placed or hidden say: tag, value.
	Values map[string]map[string]int
	Within bool // it stands inside other blocks only
	Holds  bool // it holds other blocks
}

// Drawing tells what a drawing that is open shows.
func Drawing(d *dxf.Drawing) (*Contents, error) {
	p, err := plan.New(d)
	if err != nil {
		return nil, err
	}
	in := contents(legend.Of(p))
	in.File = d.Name
	return in, nil
}

func contents(s *legend.Page) *Contents {
	in := &Contents{Units: units.Weigh(s.Page, plan.Part{}, s.InLegend), Legends: s.Legends, Maybe: s.Maybe, Walls: s.WallLayers()}
	in.Regions = legend.Regions(s.Page, s.InLegend)
	in.Levels = levels.Find(s.Page, in.metres())
	aside := func(p geom.Point) bool { return legend.InRegion(in.Regions, p) || s.InLegend(p) }
	in.Blocks = blockUses(s, aside)
	in.Figures = s.Loose().Repeated(in.metres(), figureSamples(s.Legends), aside)
	in.statuses(s.Page)
	for _, f := range s.Notes {
		if f.Severity == takeoff.Error {
			in.Broken = append(in.Broken, takeoff.FromDrawing("", f))
		}
	}
	in.Rooms = len(rooms.Labels(s.Page, func(geom.Point) bool { return true }, func(*dxf.Insert) bool { return false }))
	slices.SortStableFunc(in.Levels, func(a, b levels.Found) int { return cmp.Compare(a.Order, b.Order) })
	return in
}

// figureSamples lists the loose figures that legends in model space show.
func figureSamples(legends []legend.Legend) []figures.Shown {
	var out []figures.Shown
	for _, l := range legends {
		for _, row := range l.Rows {
			if !l.Paper && row.Block == "" {
				out = append(out, figures.Shown{At: row.At, Text: row.Text})
			}
		}
	}
	return out
}

func (in *Contents) metres() float64 {
	m, err := measure.MetresPer(in.Units.Unit())
	if err != nil {
		return 1
	}
	return m
}

func blockUses(s *legend.Page, aside func(geom.Point) bool) []BlockUse {
	uses := map[string]*BlockUse{}
	holds, top := map[string]bool{}, map[string]bool{}
	for i := range s.Inserts {
		in := &s.Inserts[i]
		if in.Paper {
			continue
		}
		u := uses[in.Effective]
		if u == nil {
			u = &BlockUse{Block: in.Effective, Layers: map[string]int{}, Attribs: map[string]int{}, Values: map[string]map[string]int{}, Legend: legend.Describe(s.Legends, in.Effective)}
			uses[in.Effective] = u
		}
		for _, b := range in.Path {
			holds[b] = true
		}
		if len(in.Path) == 0 {
			top[in.Effective] = true
		}
		for _, a := range in.Attribs {
			u.Attribs[a.Tag]++
		}
		switch {
		case aside(s.Symbols[i].Center()):
			u.Samples++
			continue
		case in.Visible:
			u.Placed++
		default:
			u.Hidden++
		}
		u.Layers[in.EffLayer]++
		for _, a := range in.Attribs {
			if u.Values[a.Tag] == nil {
				u.Values[a.Tag] = map[string]int{}
			}
			u.Values[a.Tag][strings.TrimSpace(a.Value)]++
		}
	}
	var out []BlockUse
	for _, name := range slices.Sorted(maps.Keys(uses)) {
		u := uses[name]
		u.Within, u.Holds = !top[name], holds[name]
		out = append(out, *u)
	}
	return out
}

// statuses gathers what layers and attributes say about who builds what.
func (in *Contents) statuses(p *plan.Page) {
	used := map[string]bool{}
	notes := map[[2]string]bool{}
	for i := range p.Inserts {
		ins := &p.Inserts[i]
		used[ins.EffLayer] = true
		for _, a := range ins.Attribs {
			if tag := strings.ToUpper(a.Tag); in.Project == "" && words.IsProjectTag(tag) && words.Letters(a.Value) > 2 {
				in.Project = strings.Join(strings.Fields(a.Value), " ")
			}
			if words.IsByOthers(a.Value) {
				notes[[2]string{a.Tag, strings.TrimSpace(a.Value)}] = true
			}
		}
	}
	for _, l := range slices.Sorted(maps.Keys(used)) {
		switch {
		case words.IsDemolition(l):
			in.Demolition = append(in.Demolition, l)
		case words.IsExisting(l):
			in.Existing = append(in.Existing, l)
		}
	}
	in.Others = slices.SortedFunc(maps.Keys(notes), func(a, b [2]string) int {
		return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1]))
	})
}
