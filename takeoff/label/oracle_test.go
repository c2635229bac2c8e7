package label

import (
	"math"

	"loopwright/takeoff/geom"
)

// The check below shares nothing with the code it checks: no index, no frames,
// no separating axes, no slabs. A shape is a list of corners in world
// coordinates; the overlap of two is found by clipping the one polygon against
// the other (Sutherland and Hodgman 1974) and measuring what remains; a line is in
// a box if something longer than a speck remains after clipping it.

// clip keeps the part of the polygon to the left of a to b.
func clip(poly []geom.Point, a, b geom.Point) []geom.Point {
	side := func(p geom.Point) float64 { return (b.X-a.X)*(p.Y-a.Y) - (b.Y-a.Y)*(p.X-a.X) }
	var out []geom.Point
	for i, p := range poly {
		q := poly[(i+1)%len(poly)]
		sp, sq := side(p), side(q)
		if sp >= 0 {
			out = append(out, p)
		}
		if sp > 0 && sq < 0 || sp < 0 && sq > 0 {
			t := sp / (sp - sq)
			out = append(out, geom.Point{X: p.X + t*(q.X-p.X), Y: p.Y + t*(q.Y-p.Y)})
		}
	}
	return out
}

func corners(r Rect) []geom.Point {
	s, c := math.Sincos(r.Angle * math.Pi / 180)
	var out []geom.Point
	for _, k := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		x, y := k[0]*r.Width/2, k[1]*r.Height/2
		out = append(out, geom.Point{X: r.Center.X + x*c - y*s, Y: r.Center.Y + x*s + y*c})
	}
	return out
}

func commonArea(a, b Rect) float64 {
	if a.Width*a.Height < 1e-9 || b.Width*b.Height < 1e-9 { // clipping against no area would keep everything
		return 0
	}
	if math.Hypot(a.Center.X-b.Center.X, a.Center.Y-b.Center.Y) > (a.Width+a.Height+b.Width+b.Height)/2 {
		return 0
	}
	p, q := corners(a), corners(b)
	for i := range q {
		p = clip(p, q[i], q[(i+1)%4])
	}
	area := 0.0
	for i := range p {
		j := (i + 1) % len(p)
		area += (p[i].X-p[0].X)*(p[j].Y-p[0].Y) - (p[j].X-p[0].X)*(p[i].Y-p[0].Y)
	}
	return math.Abs(area) / 2
}

func insideLength(s geom.Segment, r Rect) float64 {
	if r.Width*r.Height < 1e-9 {
		return 0
	}
	p := []geom.Point{s.A, s.B}
	q := corners(r)
	for i := range q {
		if p = clip(p, q[i], q[(i+1)%4]); len(p) < 2 {
			return 0
		}
	}
	return math.Hypot(p[0].X-p[1].X, p[0].Y-p[1].Y)
}

// cross reports whether the segments properly cross, by the signs of four areas.
func cross(s, t geom.Segment) bool {
	o := func(a, b, c geom.Point) float64 { return (b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X) }
	return o(s.A, s.B, t.A)*o(s.A, s.B, t.B) < 0 && o(t.A, t.B, s.A)*o(t.A, t.B, s.B) < 0
}

// failer is what *testing.T and *rapid.T have in common.
type failer interface {
	Helper()
	Errorf(format string, args ...any)
}

// bruteForce compares every placed label with everything there is.
func bruteForce(t failer, labels []Label, obs Obstacles, r Result) {
	t.Helper()
	bad := 0
	fail := func(format string, args ...any) {
		t.Helper()
		if bad++; bad <= 5 {
			t.Errorf(format, args...)
		}
	}
	for i, p := range r.Placements {
		if p.Index != i || p.ID != labels[i].ID {
			fail("placement %d is for label %d %q", i, p.Index, p.ID)
		}
		if !p.Placed {
			if p.Problem == "" {
				fail("label %d is not placed and nothing says why", i)
			}
			continue
		}
		if p.Angle <= -90 || p.Angle > 90 {
			fail("label %d reads at %v degrees", i, p.Angle)
		}
		h := labels[i].Height
		speck, crumb := 1e-5*h*h, 1e-4*h
		for k, o := range obs.Boxes {
			if o.Cost > 0 {
				continue
			}
			if a := commonArea(p.Box, o.Rect); a > speck {
				fail("label %d covers box %d: %g", i, k, a)
			}
			if p.Leader != nil && !startsIn(p, labels[i], o.Rect) && insideLength(*p.Leader, o.Rect) > crumb {
				fail("the leader of label %d runs through box %d", i, k)
			}
		}
		for k, o := range obs.Segments {
			if o.Cost == 0 && insideLength(o.Segment, p.Box) > crumb {
				fail("label %d lies on line %d", i, k)
			}
		}
		crossed := 0
		for j := range labels {
			if a := commonArea(p.Box, labels[j].Symbol); a > speck {
				fail("label %d covers symbol %d: %g", i, j, a)
			}
			if j == i {
				continue
			}
			if p.Leader != nil && insideLength(*p.Leader, labels[j].Symbol) > crumb && !startsIn(p, labels[i], labels[j].Symbol) {
				crossed++
			}
			q := r.Placements[j]
			if !q.Placed {
				continue
			}
			if a := commonArea(p.Box, q.Box); a > speck {
				fail("labels %d and %d overlap: %g", i, j, a)
			}
			if q.Leader != nil && insideLength(*q.Leader, p.Box) > crumb {
				fail("the leader of label %d runs through label %d", j, i)
			}
			if q.Leader != nil && p.Leader != nil && cross(*p.Leader, *q.Leader) {
				crossed++
			}
		}
		if crossed > p.Crossed {
			fail("the leader of label %d crosses %d things, reported %d", i, crossed, p.Crossed)
		}
	}
	if bad > 5 {
		t.Errorf("and %d more", bad-5)
	}
}

func (r Rect) grown(d float64) Rect {
	r.Width, r.Height = r.Width+d, r.Height+d
	return r
}

// startsIn reports whether the symbol of l lies in r: its leader cannot begin outside.
func startsIn(p Placement, l Label, r Rect) bool {
	h := l.Height / 100
	start := Rect{Center: p.Leader.A, Width: h, Height: h}
	return commonArea(start, r) > 0 || commonArea(l.Symbol, r) > 0
}
