package path

import (
	"cmp"
	"math"
	"slices"

	"loopwright/takeoff/geom"
)

// Wall is one line of a wall as drawn: walls need not be joined, and most are
// drawn as two lines.
type Wall struct {
	geom.Segment
	Penalty float64 // metres of cable that crossing it counts as; 0 for a wall that may be crossed freely
}

// What counts as crossing a wall, in metres; common practice, no source. Lines
// met within wallThickness, counted from the first, are one wall. A line met
// within wallTouch of either end of a leg is not crossed, since a device on a
// wall sits on its line.
const (
	wallThickness = 0.40
	wallTouch     = 0.02
)

type indexed struct {
	Wall
	length float64
}

// Index finds the walls that a polyline crosses. A nil Index holds no walls.
type Index struct {
	walls []indexed
	hull  geom.Box // of all walls
	box   geom.Box // of the cells; what lies outside goes to the cells on its edge
	cell  float64
	w, h  int
	start []int32 // start[c] .. start[c+1] in ids are the walls of cell c
	ids   []int32
}

// newIndex builds an index over walls. Lines without length are left out, and so
// are lines with coordinates that are not finite or beyond 1e9 m.
func newIndex(walls []Wall) *Index {
	x := &Index{hull: geom.EmptyBox()}
	for _, w := range walls {
		if w.A == w.B || !sensible(w.A) || !sensible(w.B) {
			continue
		}
		x.walls = append(x.walls, indexed{w, w.Len()})
		x.hull = x.hull.Union(w.Box())
	}
	if len(x.walls) == 0 {
		return x
	}
	x.box = core(x.walls)
	// Cells of a metre suit a building.
	x.cell = math.Max(1, math.Sqrt(x.box.Width()*x.box.Height()/100_000))
	x.cell = math.Max(x.cell, math.Max(x.box.Width(), x.box.Height())/100_000)
	// Cell edges lie off the round numbers on which walls like to end.
	x.box.Min = x.box.Min.Sub(geom.Pt(gridOffset*x.cell, gridOffset*x.cell))
	x.w = int(x.box.Width()/x.cell) + 1
	x.h = int(x.box.Height()/x.cell) + 1
	x.fill()
	return x
}

// sensible reports whether p can lie on a plan: farther out than a million
// kilometres sums lose their digits.
func sensible(p geom.Point) bool { return math.Abs(p.X) < 1e9 && math.Abs(p.Y) < 1e9 }

// core returns the box of all but the outermost hundredths of the walls' ends: a
// stray line far away must not make the cells so large that all walls share one.
func core(walls []indexed) geom.Box {
	var xs, ys []float64
	for _, w := range walls {
		xs, ys = append(xs, w.A.X, w.B.X), append(ys, w.A.Y, w.B.Y)
	}
	slices.Sort(xs)
	slices.Sort(ys)
	k := len(xs) / 100
	lo, hi := geom.Pt(xs[k], ys[k]), geom.Pt(xs[len(xs)-1-k], ys[len(ys)-1-k])
	d := hi.Sub(lo).Mul(0.05).Add(geom.Pt(1, 1))
	return geom.Box{Min: lo.Sub(d), Max: hi.Add(d)}
}

// fill counts, then places: one flat list instead of a slice per cell.
func (x *Index) fill() {
	x.start = make([]int32, x.w*x.h+1)
	for _, w := range x.walls {
		x.cells(w.A, w.B, func(c int) { x.start[c+1]++ })
	}
	for c := range x.w * x.h {
		x.start[c+1] += x.start[c]
	}
	x.ids = make([]int32, x.start[x.w*x.h])
	next := slices.Clone(x.start)
	for i, w := range x.walls {
		x.cells(w.A, w.B, func(c int) {
			x.ids[next[c]] = int32(i)
			next[c]++
		})
	}
}

func (x *Index) row(v float64) int { return int(clamp((v-x.box.Min.Y)/x.cell, x.h)) }

func (x *Index) col(v float64) int { return int(clamp((v-x.box.Min.X)/x.cell, x.w)) }

// clamp keeps a cell number on the grid before it becomes a whole number.
func clamp(v float64, n int) float64 { return max(0, min(v, float64(n-1))) }

// cells calls f for every cell that the segment from a to b runs through, once each.
func (x *Index) cells(a, b geom.Point, f func(c int)) {
	if a.Y > b.Y {
		a, b = b, a
	}
	r0, r1 := x.row(a.Y), x.row(b.Y)
	for r := r0; r <= r1; r++ {
		// The stretch of the segment within this row of cells.
		p, q := a.X, b.X
		if r0 != r1 {
			lo, hi := x.box.Min.Y+float64(r)*x.cell, x.box.Min.Y+float64(r+1)*x.cell
			k := (b.X - a.X) / (b.Y - a.Y)
			if r > r0 {
				p = a.X + k*(lo-a.Y)
			}
			if r < r1 {
				q = a.X + k*(hi-a.Y)
			}
		}
		if p > q {
			p, q = q, p
		}
		// A hair more on either side, so that rounding loses no cell.
		for c, last := x.col(p-1e-9*x.cell), x.col(q+1e-9*x.cell); c <= last; c++ {
			f(r*x.w + c)
		}
	}
}

// hit is a wall line met at a distance along a polyline.
type hit struct{ at, penalty float64 }

// crossings counts the walls that a polyline crosses and adds up their
// penalties in metres. A wall that is only touched or run along is not crossed.
// Of the lines of one wall the dearest counts.
func (x *Index) crossings(pts []geom.Point) (n int, penalty float64) {
	if x == nil || len(x.walls) == 0 || len(pts) < 2 {
		return 0, 0
	}
	var buf [32]hit
	hits, length := x.hits(pts, buf[:0])
	return merge(hits, length)
}

// hits appends every wall line that pts crosses and returns the length of pts too.
func (x *Index) hits(pts []geom.Point, hits []hit) ([]hit, float64) {
	along := 0.0
	for i := 1; i < len(pts); i++ {
		p, q := pts[i-1], pts[i]
		d := q.Sub(p)
		l := math.Abs(d.X) + math.Abs(d.Y)
		if l == 0 {
			continue
		}
		if d.X != 0 && d.Y != 0 {
			l = d.Len()
		}
		b := geom.Box{Min: geom.Pt(min(p.X, q.X), min(p.Y, q.Y)), Max: geom.Pt(max(p.X, q.X), max(p.Y, q.Y))}
		if b.Max.X >= x.hull.Min.X && b.Min.X <= x.hull.Max.X && b.Max.Y >= x.hull.Min.Y && b.Min.Y <= x.hull.Max.Y {
			switch {
			case d.Y == 0:
				r := x.row(p.Y) * x.w
				for c, last := r+x.col(b.Min.X), r+x.col(b.Max.X); c <= last; c++ {
					if x.start[c] < x.start[c+1] {
						hits = x.cellHits(c, pts, i, l, along, hits)
					}
				}
			case d.X == 0:
				col := x.col(p.X)
				for c, last := x.row(b.Min.Y)*x.w+col, x.row(b.Max.Y)*x.w+col; c <= last; c += x.w {
					if x.start[c] < x.start[c+1] {
						hits = x.cellHits(c, pts, i, l, along, hits)
					}
				}
			default:
				x.cells(p, q, func(c int) { hits = x.cellHits(c, pts, i, l, along, hits) })
			}
		}
		along += l
	}
	return hits, along
}

// onLine is how far off a line, in metres, still counts as upon it: a plan turned
// onto its axes loses the last digits.
const onLine = 1e-9

// side says on which side of the line along d a point v from its start lies;
// l is the length of d.
func side(d, v geom.Point, l float64) (sign int, cross float64) {
	c := d.Cross(v)
	switch {
	case c > onLine*l:
		return 1, c
	case c < -onLine*l:
		return -1, c
	}
	return 0, c
}

// cellHits appends the walls of cell c that leg i of pts crosses.
//
// A wall that ends upon the way is crossed: a partition that abuts on the wall
// along which the way runs must be passed. A way that comes upon a wall's line
// has crossed it only once it leaves to the other side.
func (x *Index) cellHits(c int, pts []geom.Point, i int, l, along float64, hits []hit) []hit {
	p, q := pts[i-1], pts[i]
	d := q.Sub(p)
	for _, id := range x.ids[x.start[c]:x.start[c+1]] {
		w := &x.walls[id]
		sa, _ := side(d, w.A.Sub(p), l)
		sb, _ := side(d, w.B.Sub(p), l)
		if sa == sb {
			continue
		}
		e := w.B.Sub(w.A)
		sp, cp := side(e, p.Sub(w.A), w.length)
		sq, cq := side(e, q.Sub(w.A), w.length)
		if sp == 0 {
			sp, cp = came(pts[:i-1], w), 0
		}
		if sp*sq < 0 {
			hits = append(hits, hit{along + l*cp/(cp-cq), w.Penalty})
		}
	}
	return hits
}

// came returns the side of w from which the way came onto its line, 0 where it began there.
func came(pts []geom.Point, w *indexed) int {
	for k := len(pts) - 1; k >= 0; k-- {
		if s, _ := side(w.B.Sub(w.A), pts[k].Sub(w.A), w.length); s != 0 {
			return s
		}
	}
	return 0
}

// merge turns lines met into walls crossed.
func merge(hits []hit, length float64) (n int, penalty float64) {
	slices.SortFunc(hits, func(a, b hit) int { return cmp.Compare(a.at, b.at) })
	first, top := math.Inf(-1), 0.0
	for _, h := range hits {
		if h.at <= wallTouch || h.at >= length-wallTouch {
			continue
		}
		if h.at-first > wallThickness {
			n++
			penalty += top
			first, top = h.at, 0
		}
		top = math.Max(top, h.penalty)
	}
	return n, penalty + top
}
