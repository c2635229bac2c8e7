package drafting

import (
	"slices"

	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/label"
)

// way is a run of straight pieces.
type way []geom.Point

// tidy drops points that repeat the one before.
func (w way) tidy() way {
	var out way
	for _, p := range w {
		if len(out) == 0 || p.Dist(out[len(out)-1]) > 1e-9 {
			out = append(out, p)
		}
	}
	return out
}

// from cuts off the start that lies inside a symbol. Nil where all of it does.
func (w way) from(r label.Rect) way {
	if len(w) < 2 || !inside(r, w[0]) {
		return w
	}
	for i := 1; i < len(w); i++ {
		if inside(r, w[i]) {
			continue
		}
		return append(way{edge(r, w[i-1], w[i])}, w[i:]...)
	}
	return nil
}

// edge is where the line from a, inside r, to b, outside, leaves r.
func edge(r label.Rect, a, b geom.Point) geom.Point {
	lo, hi := 0.0, 1.0
	for range 50 {
		mid := (lo + hi) / 2
		if inside(r, a.Lerp(b, mid)) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return a.Lerp(b, hi)
}

func (w way) reversed() way {
	out := slices.Clone(w)
	slices.Reverse(out)
	return out
}

// within cuts a way to a window; it may fall into several pieces.
func (w way) within(b *geom.Box) []way {
	if b == nil {
		return []way{w}
	}
	var out []way
	var cur way
	for i := 1; i < len(w); i++ {
		s, ok := clip(geom.Segment{A: w[i-1], B: w[i]}, *b)
		if !ok {
			cur = nil
			continue
		}
		if cur == nil || cur[len(cur)-1] != s.A {
			out = append(out, way{s.A})
			cur = out[len(out)-1]
		}
		cur = append(cur, s.B)
		out[len(out)-1] = cur
	}
	return out
}

// clip cuts a segment to a box (Liang and Barsky, ACM TOG 3(1), 1984).
func clip(s geom.Segment, b geom.Box) (geom.Segment, bool) {
	d := s.B.Sub(s.A)
	lo, hi := 0.0, 1.0
	for _, e := range [4][2]float64{{-d.X, s.A.X - b.Min.X}, {d.X, b.Max.X - s.A.X}, {-d.Y, s.A.Y - b.Min.Y}, {d.Y, b.Max.Y - s.A.Y}} {
		switch p, q := e[0], e[1]; {
		case p == 0 && q < 0:
			return s, false
		case p < 0:
			lo = max(lo, q/p)
		case p > 0:
			hi = min(hi, q/p)
		}
	}
	if lo >= hi {
		return s, false
	}
	out := s
	if lo > 0 {
		out.A = s.A.Lerp(s.B, lo)
	}
	if hi < 1 {
		out.B = s.A.Lerp(s.B, hi)
	}
	return out, true
}

// longest is the longest straight piece.
func (w way) longest() geom.Segment {
	var best geom.Segment
	for i := 1; i < len(w); i++ {
		if s := (geom.Segment{A: w[i-1], B: w[i]}); s.Len() > best.Len()+1e-9 {
			best = s
		}
	}
	return best
}

// along is the point so far from the start, and the direction there; false
// beyond the end.
func (w way) along(far float64) (geom.Point, geom.Point, bool) {
	for i := 1; i < len(w); i++ {
		d := w[i].Sub(w[i-1])
		if l := d.Len(); l > 0 && far <= l {
			return w[i-1].Add(d.Mul(far / l)), d.Mul(1 / l), true
		} else {
			far -= l
		}
	}
	return geom.Point{}, geom.Point{}, false
}

func (w way) xy() []edit.XY {
	out := make([]edit.XY, len(w))
	for i, p := range w {
		out[i] = edit.XY(p)
	}
	return out
}

// arrow is a filled arrowhead with its middle at a place.
func arrow(base edit.Base, at, dir geom.Point, length float64) edit.Solid {
	side := geom.Pt(-dir.Y, dir.X).Mul(length * 0.3)
	tail := at.Sub(dir.Mul(length / 2))
	return edit.Solid{Base: base, Points: way{at.Add(dir.Mul(length / 2)), tail.Add(side), tail.Sub(side)}.xy()}
}

// dot is a filled disc: a ring of two half circles as wide as its radius.
func dot(base edit.Base, at geom.Point, radius float64) edit.Polyline {
	r := geom.Pt(radius/2, 0)
	return edit.Polyline{Base: base, Points: way{at.Sub(r), at.Add(r)}.xy(), Bulges: []float64{1, 1}, Width: radius, Closed: true}
}

// outline is a closed line around a rectangle.
func outline(base edit.Base, r label.Rect) edit.Polyline {
	c := r.Corners()
	return edit.Polyline{Base: base, Points: way(c[:]).xy(), Closed: true}
}
