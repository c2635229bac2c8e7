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
	File   string
	Units  units.Fit
	Maybe  []legend.Legend // symbols beside texts that may be legends
	Blocks []BlockUse      // by name; what stands in legends only is listed too
	Walls  []string        // layers that are named for walls
	// Bounds says what bounds the rooms where no layer is named for walls, by the plans that were recognised.
	Bounds  map[int]rooms.Proposal
	Regions []legend.Region
	Figures []figures.Found   // loose figures on alarm layers that stand more than once
	Levels  []levels.Found    // from the lowest up, at least one; unnamed if no title was found
	Project string            // as a title block says; "" if none does
	Broken  []takeoff.Finding // of severity error: what of the drawing could not be read
}

// BlockUse says where and how often a block stands in model space.
type BlockUse struct {
	Block   string         // effective name
	Placed  int            // outside legends and found regions, visible
	Hidden  int            // outside legends and found regions, not visible
	Samples int            // in legends and found regions
	Layers  map[string]int // of those placed or hidden
	// Values counts what the attributes of those placed or hidden say: tag, value.
	Values map[string]map[string]int
	Within bool // it stands inside other blocks only
	Holds  bool // it holds other blocks
}

// Drawing says what an open drawing shows.
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
	in := &Contents{Units: units.Weigh(s.Page, plan.Part{}, s.InLegend), Maybe: s.Maybe, Walls: s.WallLayers(), Project: project(s.Page)}
	in.Regions = legend.Regions(s.Page, s.InLegend)
	in.Levels = levels.Find(s.Page, in.metres())
	aside := func(p geom.Point) bool { return legend.InRegion(in.Regions, p) || s.InLegend(p) }
	in.Blocks = blockUses(s, aside)
	in.Figures = s.Loose().Repeated(in.metres(), samples(s.Legends), aside)
	for _, f := range s.Notes {
		if f.Severity == takeoff.Error {
			in.Broken = append(in.Broken, takeoff.FromDrawing("", f))
		}
	}
	slices.SortStableFunc(in.Levels, func(a, b levels.Found) int { return cmp.Compare(a.Order, b.Order) })
	return in
}

// samples lists where the loose figures stand that legends in model space show.
func samples(legends []legend.Legend) []geom.Point {
	var out []geom.Point
	for _, l := range legends {
		for _, row := range l.Rows {
			if !l.Paper && row.Block == "" {
				out = append(out, row.At)
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
			u = &BlockUse{Block: in.Effective, Layers: map[string]int{}, Values: map[string]map[string]int{}}
			uses[in.Effective] = u
		}
		for _, b := range in.Path {
			holds[b] = true
		}
		if len(in.Path) == 0 {
			top[in.Effective] = true
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

// project is the name of the job, as the attributes of title blocks say.
func project(p *plan.Page) string {
	for i := range p.Inserts {
		for _, a := range p.Inserts[i].Attribs {
			if words.IsProjectTag(strings.ToUpper(a.Tag)) && words.Letters(a.Value) > 2 {
				return strings.Join(strings.Fields(a.Value), " ")
			}
		}
	}
	return ""
}
