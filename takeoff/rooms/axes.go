package rooms

import (
	"cmp"
	"math"
	"regexp"
	"slices"
	"strings"

	"github.com/tidwall/rtree"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
)

// Axes of a grid, in metres. Common practice, no source.
const (
	leastAxis    = 3.0  // length
	leastBubble  = 0.15 // radius of the circle at the end of an axis
	mostBubble   = 1.5
	bubbleSlack  = 0.35 // of the radius: how far the axis may end from the circle, or miss its middle
	axesOfOneWay = 2    // that make a grid
)

// axisName is what stands in the bubble of an axis: 3, B, AB, A1, B.2
var axisName = regexp.MustCompile(`^(\p{Lu}{1,2}'?|\d{1,2}'?|\p{Lu}[.\-]?\d{1,2}|\d{1,2}[.\-]\d)$`)

type axis struct {
	geom.Segment
	name string
}

// Grid is the grid of axes of a level: two families that cross.
type Grid struct{ families [2][]axis }

// GridOf finds the axes on the sheets of a level: lines that end at circles with a name in each; nil where there is no grid.
func GridOf(sheets []Sheet) *Grid {
	var all []axis
	for i := range sheets {
		all = append(all, sheets[i].axes()...)
	}
	if len(all) == 0 {
		return nil
	}
	g := &Grid{}
	u := all[0].B.Sub(all[0].A).Mul(1 / all[0].Len())
	for _, a := range all {
		switch cross := math.Abs(a.B.Sub(a.A).Cross(u)) / a.Len(); {
		case cross < 0.1:
			g.families[0] = append(g.families[0], a)
		case cross > 0.9:
			g.families[1] = append(g.families[1], a)
		}
	}
	if min(len(g.families[0]), len(g.families[1])) < axesOfOneWay {
		return nil
	}
	letters := func(f []axis) bool {
		return !slices.ContainsFunc(f, func(a axis) bool { return a.name[0] >= '0' && a.name[0] <= '9' })
	}
	if !letters(g.families[0]) && letters(g.families[1]) { // as people say it: the letter first
		g.families[0], g.families[1] = g.families[1], g.families[0]
	}
	for _, f := range g.families {
		slices.SortStableFunc(f, func(a, b axis) int { return cmp.Compare(a.name, b.name) })
	}
	return g
}

// axes lists the axes of a sheet, metres in the building's frame.
func (s *Sheet) axes() []axis {
	type name struct {
		at   geom.Point
		text string
	}
	var names []name
	for i := range s.Page.Texts {
		if t := &s.Page.Texts[i]; !t.Paper && t.Visible {
			names = append(names, name{plan.TextBox(t).Center(), t.Text})
		}
	}
	for i := range s.Page.Inserts {
		in := &s.Page.Inserts[i]
		if in.Paper || !in.Visible {
			continue
		}
		for _, a := range in.Attribs {
			if a.Height > 0 && !a.Invisible {
				names = append(names, name{plan.At(a.Pos), a.Value})
			}
		}
	}
	var byPlace rtree.RTreeG[int]
	for i, n := range names {
		if names[i].text = strings.TrimSpace(n.text); axisName.MatchString(names[i].text) {
			at := s.ToBuilding.Apply(n.at)
			byPlace.Insert([2]float64{at.X, at.Y}, [2]float64{at.X, at.Y}, i)
		}
	}
	if byPlace.Len() == 0 {
		return nil
	}
	var ends []wallEnd
	var lines []geom.Segment
	var byEnd rtree.RTreeG[int]
	for i := range s.Page.Shapes {
		sh := &s.Page.Shapes[i]
		if n := len(sh.Points); !sh.Paper && sh.Visible && !sh.Closed && n == 2 {
			w := geom.Segment{A: s.ToBuilding.Apply(plan.At(sh.Points[0])), B: s.ToBuilding.Apply(plan.At(sh.Points[1]))}
			if l := w.Len(); l >= leastAxis && w.A.IsFinite() && w.B.IsFinite() {
				u := w.B.Sub(w.A).Mul(1 / l)
				for _, e := range []wallEnd{{w.A, u.Mul(-1)}, {w.B, u}} {
					byEnd.Insert([2]float64{e.at.X, e.at.Y}, [2]float64{e.at.X, e.at.Y}, len(ends))
					ends, lines = append(ends, e), append(lines, w)
				}
			}
		}
	}
	var out []axis
	for i := range s.Page.Shapes {
		sh := &s.Page.Shapes[i]
		if sh.Kind != dxf.CircleShape || sh.Paper || !sh.Visible {
			continue
		}
		b := geom.EmptyBox()
		for _, v := range sh.Points {
			b = b.Extend(s.ToBuilding.Apply(plan.At(v)))
		}
		c, r := b.Center(), max(b.Width(), b.Height())/2
		if r < leastBubble || r > mostBubble {
			continue
		}
		label, n := "", 0
		near(&byPlace, geom.BoxOf(c).Grow(r), func(k int) {
			label = names[k].text
			n++
		})
		if n != 1 {
			continue
		}
		found := -1
		near(&byEnd, geom.BoxOf(c).Grow(r*(1+bubbleSlack)), func(k int) {
			e := ends[k]
			to := c.Sub(e.at)
			if math.Abs(to.Len()-r) <= bubbleSlack*r && math.Abs(to.Cross(e.dir)) <= bubbleSlack*r && to.Dot(e.dir) > 0 && (found < 0 || k < found) {
				found = k
			}
		})
		if found >= 0 && s.Keep(geom.Pt(sh.Points[0].X, sh.Points[0].Y)) {
			out = append(out, axis{lines[found], label})
		}
	}
	return out
}

// At names the crossing of axes nearest to a place, e.g. "B/3".
func (g *Grid) At(p geom.Point) string {
	var out []string
	for _, f := range g.families {
		best := math.Inf(1)
		name := ""
		for _, a := range f {
			if d := math.Abs(p.Sub(a.A).Cross(a.B.Sub(a.A))) / a.Len(); d < best {
				best, name = d, a.name
			}
		}
		out = append(out, name)
	}
	return strings.Join(out, "/")
}
