package geom

import "math"

// Segment is the straight line from A to B.
type Segment struct{ A, B Point }

// Len returns the length of the segment.
func (s Segment) Len() float64 { return s.A.Dist(s.B) }

// Box returns the smallest box around the segment.
func (s Segment) Box() Box { return BoxOf(s.A, s.B) }

// Nearest returns the point of the segment closest to p.
func (s Segment) Nearest(p Point) Point {
	d := s.B.Sub(s.A)
	l2 := d.Dot(d)
	if l2 == 0 {
		return s.A
	}
	t := math.Max(0, math.Min(1, p.Sub(s.A).Dot(d)/l2))
	return s.A.Lerp(s.B, t)
}

// Dist returns the straight distance from p to the segment.
func (s Segment) Dist(p Point) float64 { return p.Dist(s.Nearest(p)) }

// Meet returns the point in which s and t cross or touch. Parallel segments
// report false, also where they lie upon one another.
func (s Segment) Meet(t Segment) (Point, bool) {
	d, e := s.B.Sub(s.A), t.B.Sub(t.A)
	den := d.Cross(e)
	if den == 0 {
		return Point{}, false
	}
	w := t.A.Sub(s.A)
	u, v := w.Cross(e)/den, w.Cross(d)/den
	if u < 0 || u > 1 || v < 0 || v > 1 {
		return Point{}, false
	}
	return s.A.Lerp(s.B, u), true
}

// HitsBox reports whether any part of the segment lies inside b; a segment that only runs along an edge does not.
func (s Segment) HitsBox(b Box) bool {
	t0, t1 := 0.0, 1.0
	d := s.B.Sub(s.A)
	// Each slab narrows the stretch of the segment that can lie inside.
	clip := func(p, dp, lo, hi float64) bool {
		if dp == 0 {
			return p > lo && p < hi
		}
		a, c := (lo-p)/dp, (hi-p)/dp
		if a > c {
			a, c = c, a
		}
		t0, t1 = math.Max(t0, a), math.Min(t1, c)
		return t0 < t1
	}
	if d == (Point{}) {
		return s.A.X > b.Min.X && s.A.X < b.Max.X && s.A.Y > b.Min.Y && s.A.Y < b.Max.Y
	}
	return clip(s.A.X, d.X, b.Min.X, b.Max.X) && clip(s.A.Y, d.Y, b.Min.Y, b.Max.Y)
}
