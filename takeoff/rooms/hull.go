package rooms

import (
	"cmp"
	"slices"

	"github.com/tidwall/rtree"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
)

// toHull is how far in metres a wall may end before the hull and still close with it.
const toHull = 0.5

// hull is the convex hull of the ends of walls, counter-clockwise.
func hull(walls []plan.Wall) geom.Ring {
	var pts []geom.Point
	for _, w := range walls {
		if w.A.IsFinite() && w.B.IsFinite() {
			pts = append(pts, w.A, w.B)
		}
	}
	slices.SortFunc(pts, func(a, b geom.Point) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	pts = slices.Compact(pts)
	if len(pts) < 3 {
		return nil
	}
	var out geom.Ring
	turn := func(pts []geom.Point) {
		least := len(out) + 1
		for _, p := range pts {
			for len(out) > least && out[len(out)-1].Sub(out[len(out)-2]).Cross(p.Sub(out[len(out)-1])) <= 0 {
				out = out[:len(out)-1]
			}
			out = append(out, p)
		}
		out = out[:len(out)-1]
	}
	turn(pts)
	slices.Reverse(pts)
	turn(pts)
	return out
}

// closeHulls draws the hull of each sheet's walls as a wall, so that areas which are open at a match line, at
// the edge of a sheet or beneath a canopy end there; not where another sheet of the level goes on.
func (g *grid) closeHulls(walls []plan.Wall, hulls []geom.Ring) {
	var ends []lineWork
	for _, w := range walls {
		ends = append(ends, lineWork{Segment: w.Segment}, lineWork{Segment: geom.Segment{A: w.B, B: w.A}})
	}
	var tree rtree.RTreeG[int]
	for i, e := range ends {
		tree.Insert([2]float64{e.A.X, e.A.Y}, [2]float64{e.A.X, e.A.Y}, i)
	}
	for i, h := range hulls {
		goesOn := func(p geom.Point) bool {
			return slices.ContainsFunc(slices.Concat(hulls[:i], hulls[i+1:]), func(o geom.Ring) bool { return within(o, p) })
		}
		for k := range h {
			edge := geom.Segment{A: h[k], B: h[(k+1)%len(h)]}
			n := int(edge.Len()/g.cell) + 1
			for s := range n {
				piece := geom.Segment{A: edge.A.Lerp(edge.B, float64(s)/float64(n)), B: edge.A.Lerp(edge.B, float64(s+1)/float64(n))}
				if !goesOn(piece.A.Lerp(piece.B, 0.5)) {
					g.draw(piece, solid)
				}
			}
			near(&tree, edge.Box().Grow(toHull), func(j int) {
				e := ends[j]
				if d := edge.Dist(e.A); d > g.cell && d < toHull && edge.Dist(e.B) > d && !goesOn(edge.Nearest(e.A)) {
					g.draw(geom.Segment{A: e.A, B: edge.Nearest(e.A)}, solid)
				}
			})
		}
	}
}

// within reports whether a place lies in a ring or at it.
func within(o geom.Ring, p geom.Point) bool {
	if len(o) < 3 || !o.Box().Grow(toHull).Contains(p) {
		return false
	}
	for k := range o {
		if (geom.Segment{A: o[k], B: o[(k+1)%len(o)]}).Dist(p) < toHull {
			return true
		}
	}
	return o.Contains(p)
}

// onEdge reports whether a run of squares lies on the edge of the grid.
func (g *grid) onEdge(r run) bool {
	row := r.from / g.nx
	return row == 0 || row == g.ny-1 || r.from == row*g.nx || r.to == (row+1)*g.nx
}
