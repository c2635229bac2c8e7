package rooms

import (
	"math"

	"github.com/tidwall/rtree"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
	"loopwright/takeoff/words"
)

// Openings in walls, in metres. Common practice, no source: a single door is
// up to 1.2 m wide, a pair of doors up to 2.5 m.
const (
	doorGap   = 1.35 // a gap up to this is a doorway, drawn door or not
	pairGap   = 2.7  // a gap up to this is one if a door is drawn in it
	wideGap   = 10.0 // a gap up to this between two ends of one wall is an opening between rooms
	inLine    = 0.06 // how far two ends of one wall may stand out of line
	atHinge   = 0.3  // how far from the end of a wall the hinge of a door may be
	doorReach = 0.6  // how far from a gap a door's symbol may stand
	besideTee = 0.06 // a wall runs on at least so far to both sides of another that ends at it
	capLength = 0.5  // up to this a line across the end of a wall is its cap
)

// wallEnd is an end of a wall line, and where the line would run on.
type wallEnd struct {
	at  geom.Point
	dir geom.Point // unit vector away from the wall
}

// opening is a door or a window as drawn: its hinge or insertion point, and how wide its leaf is, 0 where that is not known.
type opening struct {
	geom.Point
	leaf float64
}

// closeOpenings draws the doorways of a level into the grid as walls, and wide
// openings between rooms as what names seldom pass.
func (g *grid) closeOpenings(walls []plan.Wall, doors []opening) {
	var ends []wallEnd
	var byPlace, doorTree rtree.RTreeG[int]
	corners := wallCorners(walls)
	lines := make([]lineWork, len(walls))
	for i, w := range walls {
		lines[i].Segment = w.Segment
	}
	byLine := treeOf(lines)
	for i, w := range walls {
		l := w.Len()
		if l < 1e-6 || !w.A.IsFinite() || !w.B.IsFinite() {
			continue
		}
		u := w.B.Sub(w.A).Mul(1 / l)
		for _, e := range []wallEnd{{w.A, u.Mul(-1)}, {w.B, u}} {
			if l <= capLength && corners.longer(e, l) || tee(lines, byLine, i, e) {
				continue
			}
			at := [2]float64{e.at.X, e.at.Y}
			byPlace.Insert(at, at, len(ends))
			ends = append(ends, e)
		}
	}
	for i, d := range doors {
		at := [2]float64{d.X, d.Y}
		doorTree.Insert(at, at, i)
	}
	var shut []geom.Segment // drawn at the end: a closed gap must not stop another from being seen
	var wide []geom.Segment
	for i, e := range ends {
		j, gap := nextInLine(ends, &byPlace, i)
		door := func(s geom.Segment) bool { return hasDoor(&doorTree, doors, s) }
		// A pair of doors has a hinge at either end, and leaves that fill the gap; doors beside the ends of two walls of a corridor have not.
		pair := func(s geom.Segment) bool {
			hinge := func(at geom.Point) bool {
				found := false
				near(&doorTree, geom.BoxOf(at).Grow(atHinge), func(i int) {
					d := doors[i]
					found = found || d.Dist(at) <= atHinge && (d.leaf == 0 || math.Abs(2*d.leaf-s.Len()) < 0.2*s.Len())
				})
				return found
			}
			return hinge(s.A) && hinge(s.B)
		}
		if j >= 0 && gap > 0.3 {
			s := geom.Segment{A: e.at, B: ends[j].at}
			if g.isClear(s, 1.5*g.cell) {
				switch {
				case gap <= doorGap || gap <= pairGap && pair(s):
					shut = append(shut, s)
				case i < j:
					wide = append(wide, s)
				}
				continue
			}
		}
		if s, ok := g.across(e); ok && door(s) && !corner(lines, byLine, e) {
			shut = append(shut, s)
		}
	}
	for _, s := range wide {
		g.draw(s, seldom)
	}
	for _, s := range shut {
		g.draw(s, solid)
	}
}

// cornerIndex finds the wall lines that end at a place.
type cornerIndex struct {
	walls []plan.Wall
	tree  rtree.RTreeG[int]
}

func wallCorners(walls []plan.Wall) *cornerIndex {
	c := &cornerIndex{walls: walls}
	for i, w := range walls {
		for _, p := range []geom.Point{w.A, w.B} {
			c.tree.Insert([2]float64{p.X, p.Y}, [2]float64{p.X, p.Y}, i)
		}
	}
	return c
}

// longer reports whether a longer line leaves the end squarely: the short line
// is then the cap of a wall and no wall of its own.
func (c *cornerIndex) longer(e wallEnd, length float64) bool {
	found := false
	c.tree.Search([2]float64{e.at.X - 0.01, e.at.Y - 0.01}, [2]float64{e.at.X + 0.01, e.at.Y + 0.01}, func(_, _ [2]float64, i int) bool {
		w := c.walls[i]
		l := w.Len()
		found = l > length && math.Abs(w.B.Sub(w.A).Dot(e.dir)) < 0.1*l
		return !found
	})
	return found
}

// tee reports whether wall line i ends at another wall that runs on to both
// sides, or between its faces: no opening begins there.
func tee(lines []lineWork, tree *rtree.RTreeG[int], i int, e wallEnd) bool {
	back := min(thickWall, lines[i].Len()/2)
	run := geom.Segment{A: e.at.Sub(e.dir.Mul(back)), B: e.at.Add(e.dir.Mul(thickWall))}
	found := false
	near(tree, run.Box(), func(j int) {
		o := lines[j]
		if j == i || found || o.Len() < 2*besideTee {
			return
		}
		x, ok := run.Meet(o.Segment)
		found = ok && min(x.Dist(o.A), x.Dist(o.B)) >= besideTee && math.Abs(o.B.Sub(o.A).Dot(e.dir)) < 0.9*o.Len()
	})
	return found
}

// corner reports whether another wall ends at an angle where this one does: no doorway lies ahead.
func corner(lines []lineWork, tree *rtree.RTreeG[int], e wallEnd) bool {
	found := false
	near(tree, geom.BoxOf(e.at).Grow(thickWall/2), func(j int) {
		o := lines[j]
		found = found || o.Len() > capLength && math.Abs(o.B.Sub(o.A).Dot(e.dir)) < 0.1*o.Len() && min(o.A.Dist(e.at), o.B.Dist(e.at)) <= thickWall/2
	})
	return found
}

// nextInLine finds the end of another wall line that end i runs towards and that faces it.
func nextInLine(ends []wallEnd, tree *rtree.RTreeG[int], i int) (int, float64) {
	e := ends[i]
	far := e.at.Add(e.dir.Mul(wideGap))
	b := geom.BoxOf(e.at, far).Grow(inLine)
	best, at := math.Inf(1), -1
	tree.Search([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, func(_, _ [2]float64, j int) bool {
		f := ends[j]
		v := f.at.Sub(e.at)
		along := v.Dot(e.dir)
		if j != i && along > inLine && along < best && math.Abs(v.Cross(e.dir)) <= inLine && f.dir.Dot(e.dir) < -0.999 {
			best, at = along, j
		}
		return true
	})
	return at, best
}

// across runs on from the end of a wall to the wall that it meets within a door's width.
func (g *grid) across(e wallEnd) (geom.Segment, bool) {
	from := e.at.Add(e.dir.Mul(0.25))
	hit := -1.0
	g.trace(geom.Segment{A: from, B: e.at.Add(e.dir.Mul(doorGap))}, func(x, y int) bool {
		if g.state[y*g.nx+x] == solid {
			hit = geom.Pt(g.box.Min.X+(float64(x)+0.5)*g.cell, g.box.Min.Y+(float64(y)+0.5)*g.cell).Dist(e.at)
			return false
		}
		return true
	})
	if hit < 0.5 {
		return geom.Segment{}, false
	}
	return geom.Segment{A: e.at, B: e.at.Add(e.dir.Mul(hit))}, true
}

func hasDoor(tree *rtree.RTreeG[int], doors []opening, s geom.Segment) bool {
	b := s.Box().Grow(doorReach)
	found := false
	tree.Search([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, func(_, _ [2]float64, i int) bool {
		found = s.Dist(doors[i].Point) <= doorReach
		return !found
	})
	return found
}

// doors lists where doors and windows stand, in metres: the places of their blocks and the centres of
// the quarter circles along which doors swing.
func (s *Sheet) doors() []opening {
	var out []opening
	leaf := words.Remembered(func(name string) bool { return words.IsDoor(name) || words.IsWindow(name) }) // windows close gaps as doors do
	for i := range s.Page.Inserts {
		in := &s.Page.Inserts[i]
		wide := max(s.Page.Symbols[i].Width(), s.Page.Symbols[i].Height()) * s.ToBuilding.Scale()
		if wide >= leastLeaf && !in.Paper && in.Visible && (leaf(in.Effective) || leaf(in.EffLayer)) && s.Keep(plan.At(in.Pos)) {
			out = append(out, opening{s.ToBuilding.Apply(plan.At(in.Pos)), 0})
		}
	}
	for _, sw := range s.Page.Swings() {
		if w := sw.Radius * s.ToBuilding.Scale(); w >= leastLeaf && w <= mostLeaf && s.Keep(sw.Center) {
			out = append(out, opening{s.ToBuilding.Apply(sw.Center), w})
		}
	}
	return out
}
