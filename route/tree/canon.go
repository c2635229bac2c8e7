package tree

import (
	"cmp"
	"math"
	"slices"

	"loopwright/takeoff/geom"
)

// canon is the input brought into a form that is the same for every order,
// shift, quarter turn and mirror image of it. The search runs on that form, in
// whole numbers, so that equal inputs meet equal ties.
type canon struct {
	at    []ipoint // distinct places, sorted
	of    []int    // of[i] is the place of terminal i
	image int      // the symmetry that led here, 0..7
	x, y  map[int64]float64
	unit  float64 // of the search grid, in units of the input
}

// ipoint is a place in units of the search grid.
type ipoint struct{ x, y int64 }

func (p ipoint) rect(q ipoint) int64 { return abs(p.x-q.x) + abs(p.y-q.y) }

func abs(v int64) int64 {
	if v < 0 {
		return -v
	}
	return v
}

func compare(a, b ipoint) int { return cmp.Or(cmp.Compare(a.x, b.x), cmp.Compare(a.y, b.y)) }

// symmetry applies one of the eight symmetries of the square.
func (p ipoint) symmetry(k int) ipoint {
	if k&1 != 0 {
		p.x = -p.x
	}
	if k&2 != 0 {
		p.y = -p.y
	}
	if k&4 != 0 {
		p.x, p.y = p.y, p.x
	}
	return p
}

// undo reverses symmetry.
func (p ipoint) undo(k int) ipoint {
	if k&4 != 0 {
		p.x, p.y = p.y, p.x
	}
	return p.symmetry(k &^ 4)
}

// gridBits sets the search grid: the extent holds 2^gridBits steps or a little
// fewer. On a plan of 100 m that is well under a micrometre, and sums of many
// thousand edges stay far inside int64.
const gridBits = 28

func newCanon(pts []geom.Point) *canon {
	lo, hi := pts[0], pts[0]
	for _, p := range pts {
		lo.X, lo.Y = math.Min(lo.X, p.X), math.Min(lo.Y, p.Y)
		hi.X, hi.Y = math.Max(hi.X, p.X), math.Max(hi.Y, p.Y)
	}
	_, e := math.Frexp(math.Max(hi.X/2-lo.X/2, hi.Y/2-lo.Y/2))
	// Steps are counted from the middle, so that a mirror image rounds alike.
	mid := geom.Pt(lo.X/2+hi.X/2, lo.Y/2+hi.Y/2)
	step := func(v float64) int64 { return int64(math.Round(math.Ldexp(v, gridBits-1-e))) }

	c := &canon{x: map[int64]float64{}, y: map[int64]float64{}, unit: math.Ldexp(1, e+1-gridBits)}
	raw := make([]ipoint, len(pts))
	for i, p := range pts {
		raw[i] = ipoint{step(p.X - mid.X), step(p.Y - mid.Y)}
		keepLeast(c.x, raw[i].x, p.X)
		keepLeast(c.y, raw[i].y, p.Y)
	}
	for k := range 8 {
		img := make([]ipoint, len(raw))
		for i, p := range raw {
			img[i] = p.symmetry(k)
		}
		slices.SortFunc(img, compare)
		if k == 0 || slices.CompareFunc(img, c.at, compare) < 0 {
			c.at, c.image = img, k
		}
	}
	c.at = slices.Compact(c.at)
	c.of = make([]int, len(raw))
	for i, p := range raw {
		c.of[i], _ = slices.BinarySearchFunc(c.at, p.symmetry(c.image), compare)
	}
	return c
}

// keepLeast makes the coordinate that stands for a grid line independent of the input's order.
func keepLeast(m map[int64]float64, k int64, v float64) {
	if old, ok := m[k]; !ok || v < old {
		m[k] = v
	}
}

func (c *canon) places() int { return len(c.at) }

// point gives the input coordinates of a place on the grid lines of the input.
func (c *canon) point(p ipoint) geom.Point {
	p = p.undo(c.image)
	return geom.Pt(c.x[p.x], c.y[p.y])
}
