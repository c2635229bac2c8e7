package label

import (
	"math"

	"loopwright/takeoff/geom"
)

// Rect is a rectangle that may be turned.
type Rect struct {
	Center        geom.Point
	Width, Height float64 // along its own axes
	Angle         float64 // direction of the width axis
}

// RectOf returns the box b as a Rect.
func RectOf(b geom.Box) Rect {
	return Rect{Center: b.Center(), Width: b.Width(), Height: b.Height()}
}

// Corners returns lower left, lower right, upper right and upper left, seen along Angle.
func (r Rect) Corners() [4]geom.Point {
	u := geom.Pt(r.Width/2, 0).Turn(r.Angle)
	v := geom.Pt(0, r.Height/2).Turn(r.Angle)
	c := r.Center
	return [4]geom.Point{c.Sub(u).Sub(v), c.Add(u).Sub(v), c.Add(u).Add(v), c.Sub(u).Add(v)}
}

// valid reports whether r is finite and has extents that are not negative.
func (r Rect) valid() bool {
	return r.Center.IsFinite() && r.Width >= 0 && r.Height >= 0 &&
		geom.Pt(r.Width, r.Height).IsFinite() && !math.IsNaN(r.Angle) && !math.IsInf(r.Angle, 0)
}

// slab is a Rect made ready for many tests: unit axis, half extents, bounds.
type slab struct {
	c, u   geom.Point
	hw, hh float64
	box    geom.Box
}

func newSlab(c, u geom.Point, hw, hh float64) slab {
	ex := math.Abs(u.X)*hw + math.Abs(u.Y)*hh
	ey := math.Abs(u.Y)*hw + math.Abs(u.X)*hh
	return slab{c, u, hw, hh, geom.Around(c, 2*ex, 2*ey)}
}

// upright reports whether the bounds of s are s itself.
func (s *slab) upright() bool { return s.u.X == 0 || s.u.Y == 0 }

func (s *slab) grow(d float64) slab { return newSlab(s.c, s.u, s.hw+d, s.hh+d) }

// local returns p in the axes of s, its centre at the origin.
func (s *slab) local(p geom.Point) geom.Point {
	d := p.Sub(s.c)
	return geom.Pt(d.Dot(s.u), s.u.Cross(d))
}

// overlaps reports whether s and t lie deeper in one another than tol.
func (s *slab) overlaps(t *slab, tol float64) bool {
	if s.box.Min.X >= t.box.Max.X-tol || t.box.Min.X >= s.box.Max.X-tol ||
		s.box.Min.Y >= t.box.Max.Y-tol || t.box.Min.Y >= s.box.Max.Y-tol {
		return false
	}
	if s.upright() && t.upright() {
		return true
	}
	// Two rectangles are apart if and only if an axis of one of them separates them.
	return !s.apart(t, tol) && !t.apart(s, tol)
}

// apart reports whether an axis of s separates t from it.
func (s *slab) apart(t *slab, tol float64) bool {
	d := s.local(t.c)
	c, n := math.Abs(s.u.Dot(t.u)), math.Abs(s.u.Cross(t.u))
	return math.Abs(d.X) >= s.hw+c*t.hw+n*t.hh-tol || math.Abs(d.Y) >= s.hh+n*t.hw+c*t.hh-tol
}

// cut reports whether the segment g runs deeper inside s than tol.
func (s *slab) cut(g geom.Segment, tol float64) bool {
	if b := spanned(g); !s.box.Overlaps(b.Grow(tol)) {
		return false
	}
	in := geom.Box{Min: geom.Pt(tol-s.hw, tol-s.hh), Max: geom.Pt(s.hw-tol, s.hh-tol)}
	return !in.Empty() && geom.Segment{A: s.local(g.A), B: s.local(g.B)}.HitsBox(in)
}

// exit returns the point in which the ray from the centre of s along d leaves it.
func (s *slab) exit(d geom.Point) geom.Point {
	x, y := math.Abs(d.Dot(s.u)), math.Abs(s.u.Cross(d))
	t := math.Inf(1)
	if x > 0 {
		t = s.hw / x
	}
	if y > 0 {
		t = math.Min(t, s.hh/y)
	}
	if math.IsInf(t, 1) {
		return s.c
	}
	return s.c.Add(d.Mul(t))
}

// spanned is the box around a segment. It stands in the innermost loops, where
// the general construction from a list of points is too dear.
func spanned(g geom.Segment) geom.Box {
	return geom.Box{Min: geom.Pt(min(g.A.X, g.B.X), min(g.A.Y, g.B.Y)), Max: geom.Pt(max(g.A.X, g.B.X), max(g.A.Y, g.B.Y))}
}

// join is the box around two boxes that are not empty.
func join(a, b geom.Box) geom.Box {
	return geom.Box{Min: geom.Pt(min(a.Min.X, b.Min.X), min(a.Min.Y, b.Min.Y)), Max: geom.Pt(max(a.Max.X, b.Max.X), max(a.Max.Y, b.Max.Y))}
}

// near reports whether a and b cross or come closer than d, which is more than 0.
func near(a, b geom.Segment, d float64) bool {
	if !spanned(a).Grow(d).Overlaps(spanned(b).Grow(d)) {
		return false
	}
	if _, ok := a.Meet(b); ok {
		return true
	}
	return a.Dist(b.A) < d || a.Dist(b.B) < d || b.Dist(a.A) < d || b.Dist(a.B) < d
}
