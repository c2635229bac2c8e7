package levels

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"github.com/tidwall/rtree"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
	"loopwright/takeoff/words"
)

// Found is a level that a drawing shows, by a title on it.
type Found struct {
	Name   string
	Order  int        // lowest first; by number where the title has one
	Region geom.Box   // drawing units: its walls and title; valid if one of several
	Size   geom.Point // width and height, drawing units
	Middle geom.Point // drawing units
}

// levelTitle is a title as it stands on a sheet.
type levelTitle struct {
	Found
	box geom.Box
}

// levelTitles lists the titles of plans in model space, the largest lettering
// of each level first met; where none stands there, those of title blocks.
func levelTitles(p *plan.Page) []levelTitle {
	var out []levelTitle
	usual := p.Lettering(plan.Part{})
	add := func(text string, b geom.Box) {
		name, order, ok := words.Level(text)
		if ok && !slices.ContainsFunc(out, func(l levelTitle) bool { return l.Name == name }) {
			out = append(out, levelTitle{Found{Name: name, Order: order}, b})
		}
	}
	for i := range p.Texts {
		t := &p.Texts[i]
		text := strings.Join(strings.Fields(t.Text), " ")
		if !t.Paper && t.Visible && len(text) <= 60 && words.IsPlanTitle(text) && t.Height >= usual {
			add(text, plan.TextBox(t))
		}
	}
	if len(out) > 0 {
		return out
	}
	for i := range p.Inserts {
		in := &p.Inserts[i]
		for _, a := range in.Attribs {
			if strings.Contains(strings.ToUpper(a.Tag), "TITLE") || words.IsPlanTitle(a.Value) {
				add(strings.Join(strings.Fields(a.Value), " "), geom.BoxOf(plan.At(in.Pos)))
			}
		}
	}
	return out[:min(len(out), 1)]
}

// clusterGap is how far apart in metres walls of one building may stand.
const clusterGap = 2.5

// leastWalls is on how many different lines the walls of a part of a building lie
// at least: fewer are the cross of an origin, or a line somebody left.
const leastWalls = 4

// wallClusters lists the boxes of walls that hang together, the largest first.
func wallClusters(p *plan.Page, metres float64) []geom.Box {
	walls := p.Walls(p.WallLayers(), nil)
	var tree rtree.RTreeG[int]
	for i, w := range walls {
		b := w.Box()
		tree.Insert([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, i)
	}
	seen := make([]bool, len(walls))
	var out []geom.Box
	for i := range walls {
		if seen[i] {
			continue
		}
		seen[i] = true
		box, queue := geom.EmptyBox(), []int{i}
		lines := map[[2]int]bool{}
		for k := 0; k < len(queue); k++ {
			b := walls[queue[k]].Box()
			box = box.Union(b)
			if len(lines) < leastWalls {
				lines[lineOf(walls[queue[k]].Segment, metres)] = true
			}
			g := b.Grow(clusterGap / metres)
			tree.Search([2]float64{g.Min.X, g.Min.Y}, [2]float64{g.Max.X, g.Max.Y}, func(_, _ [2]float64, j int) bool {
				if !seen[j] {
					seen[j] = true
					queue = append(queue, j)
				}
				return true
			})
		}
		if len(lines) >= leastWalls {
			out = append(out, box)
		}
	}
	slices.SortStableFunc(out, func(a, b geom.Box) int { return cmp.Compare(b.Area(), a.Area()) })
	return out
}

// lineOf tells the endless line that a segment lies on, to a degree and a hand's breadth.
func lineOf(s geom.Segment, metres float64) [2]int {
	along := s.B.Sub(s.A)
	turn := math.Mod(math.Round(along.Angle()), 180)
	return [2]int{int(turn), int(math.Round(s.A.Turn(-turn).Y * metres / 0.1))}
}

// Find tells the levels that a drawing shows. Several titles with walls
// of their own are several levels, each with its region.
func Find(p *plan.Page, metres float64) []Found {
	titles := levelTitles(p)
	clusters := wallClusters(p, metres)
	regions := make([]geom.Box, len(titles))
	for i := range regions {
		regions[i] = geom.EmptyBox()
	}
	for _, c := range clusters {
		if max(c.Width(), c.Height())*metres < 3 || len(titles) == 0 {
			continue
		}
		near := 0
		for i, t := range titles {
			if gapBetween(c, t.box) < gapBetween(c, titles[near].box) {
				near = i
			}
		}
		regions[near] = regions[near].Union(c)
	}
	if len(titles) == 1 {
		regions[0] = together(clusters, titles[0].box, metres)
	}
	var out []Found
	for i, t := range titles {
		if regions[i].Empty() {
			continue
		}
		l := t.Found
		l.Size, l.Middle = geom.Pt(regions[i].Width(), regions[i].Height()), regions[i].Center()
		l.Region = regions[i].Union(t.box).Grow(1 / metres)
		out = append(out, l)
	}
	if len(out) == 0 {
		b := p.Storey(plan.Part{})
		if b.Empty() { // nothing is drawn at all
			b = geom.Box{}
		}
		// A section or a detail that stands apart is not part of the level.
		if main := together(clusters, geom.EmptyBox(), metres); max(main.Width(), main.Height()) > 0.4*max(b.Width(), b.Height()) {
			b = main
		}
		l := Found{Size: geom.Pt(b.Width(), b.Height()), Middle: b.Center()}
		if len(titles) > 0 {
			l.Name, l.Order = titles[0].Name, titles[0].Order
		}
		out = append(out, l)
	}
	return out
}

// apartGap is how far apart in metres parts of one plan stand at most; what
// stands farther off is another drawing on the same sheet: a section, a detail.
const apartGap = 6.0

// together joins the clusters of walls that belong to the one nearest to a
// title, or to the largest if there is none.
func together(clusters []geom.Box, title geom.Box, metres float64) geom.Box {
	if len(clusters) == 0 {
		return geom.EmptyBox()
	}
	box := clusters[0]
	if !title.Empty() {
		for _, c := range clusters {
			if max(c.Width(), c.Height())*metres >= 3 && gapBetween(c, title) < gapBetween(box, title) {
				box = c
			}
		}
	}
	for grown := true; grown; {
		grown = false
		for _, c := range clusters {
			if u := box.Union(c); u != box && gapBetween(box, c)*metres <= apartGap {
				box, grown = u, true
			}
		}
	}
	return box
}

// gapBetween is the distance between two boxes along the axis on which they are farther apart.
func gapBetween(a, b geom.Box) float64 {
	return max(a.Min.X-b.Max.X, b.Min.X-a.Max.X, a.Min.Y-b.Max.Y, b.Min.Y-a.Max.Y, 0)
}

// Around is the box around the plan on a page and what stands as near to it as
// its parts do; empty if it shows no walls.
func Around(p *plan.Page, metres float64) geom.Box {
	main := together(wallClusters(p, metres), geom.EmptyBox(), metres)
	if main.Empty() {
		return main
	}
	return main.Grow(apartGap / metres)
}
