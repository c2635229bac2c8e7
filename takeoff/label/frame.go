package label

import (
	"cmp"
	"math"
	"slices"

	"loopwright/takeoff/geom"
)

// frame is the coordinate system of the search: turned so that most texts are
// upright (which makes most tests plain box tests), its origin at the drawing's
// own corner, and rounded to a fine grid so that a plan shifted by any amount
// gives the same labels in spite of the rounding of far coordinates.
type frame struct {
	angle  float64
	origin geom.Point
	grid   float64
}

func newFrame(labels []Label, ok []bool) frame {
	angles := map[float64]int{}
	f := frame{origin: geom.Pt(math.Inf(1), math.Inf(1)), grid: math.Inf(1)}
	for i := range labels {
		if ok[i] {
			angles[roundAngle(readable(labels[i].Angle))]++
			f.grid = min(f.grid, labels[i].Height)
		}
	}
	best := 0
	for a, n := range angles {
		if n > best || n == best && a < f.angle {
			f.angle, best = a, n
		}
	}
	for i := range labels {
		if ok[i] {
			p := labels[i].Anchor.Turn(-f.angle)
			f.origin = geom.Pt(min(f.origin.X, p.X), min(f.origin.Y, p.Y))
		}
	}
	f.grid /= 1 << 22
	return f
}

// tol is the depth up to which shapes count as only touching.
func (f frame) tol() float64 { return 8 * f.grid }

func (f frame) in(p geom.Point) geom.Point {
	q := p.Turn(-f.angle).Sub(f.origin)
	return geom.Pt(math.Round(q.X/f.grid)*f.grid, math.Round(q.Y/f.grid)*f.grid)
}

func (f frame) out(p geom.Point) geom.Point { return p.Add(f.origin).Turn(f.angle) }

// axis returns the unit vector of a world angle.
func (f frame) axis(deg float64) geom.Point {
	return geom.Pt(1, 0).Turn(roundAngle(deg - f.angle))
}

func (f frame) slab(r Rect) slab {
	return newSlab(f.in(r.Center), f.axis(r.Angle), r.Width/2, r.Height/2)
}

// roundAngle rounds to a millionth of a degree: angles read from drawings
// carry noise that would make every label's frame its own.
func roundAngle(deg float64) float64 { return math.Round(deg*1e6) / 1e6 }

// readable brings deg into (-90, 90], where text is not upside down.
func readable(deg float64) float64 {
	a := geom.Norm360(deg)
	switch {
	case a > 270+1e-6:
		a -= 360
	case a > 90+1e-6:
		a -= 180
	}
	if math.Abs(a+90) <= 1e-6 {
		a = 90
	}
	return min(a, 90)
}

// item is a label made ready for the search.
type item struct {
	index    int // in the input
	h        float64
	w, bh    float64 // of the text box
	drop     float64 // from the last baseline down to the box
	u, v     geom.Point
	at       geom.Point // centre of the symbol, or the anchor
	symbol   slab
	drawn    bool    // there is a symbol
	hw, hh   float64 // half extents of the symbol along u and v
	gap      float64
	clear    float64
	rank     [sideCount]int
	angle    float64
	startsIn []start // solids that its leader cannot keep away from
}

func newItem(f frame, l *Label, i int, opt *Options) item {
	width := EstimateWidth(l.Text, l.Height)
	_, bh := Extent(l.Text, l.Height)
	drop := below(l.Text) * l.Height
	if l.Width > 0 {
		width, bh, drop = l.Width, l.BoxHeight, 0
		if bh <= 0 {
			bh = l.Height
		}
	}
	it := item{
		index: i, h: l.Height, w: width, bh: bh, drop: drop,
		angle: readable(l.Angle), at: f.in(l.Anchor),
		gap: opt.Gap * l.Height, clear: opt.Clearance * l.Height,
		rank: ranks(l.Sides, opt.Sides),
	}
	it.u = f.axis(it.angle)
	it.v = geom.Pt(-it.u.Y, it.u.X)
	if l.Symbol.Width > 0 || l.Symbol.Height > 0 {
		it.symbol, it.drawn = f.slab(l.Symbol), true
		it.at = it.symbol.c
		c, s := math.Abs(it.symbol.u.Dot(it.u)), math.Abs(it.symbol.u.Cross(it.u))
		it.hw, it.hh = c*it.symbol.hw+s*it.symbol.hh, s*it.symbol.hw+c*it.symbol.hh
	} else {
		it.symbol = newSlab(it.at, it.u, 0, 0)
	}
	return it
}

// reach is how far around a place of the item things matter.
func (it *item) reach() float64 { return max(it.clear, it.gap+2*it.h) }

// sortItems puts the labels into an order that the input's order does not show in: rows from
// the top, each from the left.
func sortItems(items []item, labels []Label) {
	slices.SortFunc(items, func(a, b item) int {
		la, lb := &labels[a.index], &labels[b.index]
		return cmp.Or(
			cmp.Compare(b.at.Y, a.at.Y), cmp.Compare(a.at.X, b.at.X),
			cmp.Compare(la.ID, lb.ID), cmp.Compare(la.Text, lb.Text),
			cmp.Compare(a.h, b.h), cmp.Compare(a.w, b.w), cmp.Compare(a.bh, b.bh), cmp.Compare(a.angle, b.angle),
			cmp.Compare(a.hw, b.hw), cmp.Compare(a.hh, b.hh),
			cmp.Compare(a.index, b.index),
		)
	})
}
