package takeoff

import (
	"math"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
)

// swing is a quarter circle, as doors swing along.
type swing struct {
	*dxf.Shape
	centre geom.Point
	radius float64
}

// ends are where the quarter circle begins and ends.
func (s swing) ends() (a, b geom.Point) { return plane(s.Points[0]), plane(s.Points[len(s.Points)-1]) }

// swings lists the visible quarter circles of model space.
func (p *page) swings() []swing {
	var out []swing
	for i := range p.shapes {
		sh := &p.shapes[i]
		if sh.Kind != dxf.ArcShape || sh.Paper || !sh.Visible {
			continue
		}
		if c, r, sweep, ok := arcOf(sh.Points); ok && sweep >= 60 && sweep <= 100 {
			out = append(out, swing{sh, c, r})
		}
	}
	return out
}

// arcOf measures a flattened arc: its centre and radius, and how many degrees it sweeps.
func arcOf(pts []dxf.Vec3) (centre geom.Point, radius, sweep float64, ok bool) {
	if len(pts) < 3 {
		return centre, 0, 0, false
	}
	a, b, c := plane(pts[0]), plane(pts[len(pts)/2]), plane(pts[len(pts)-1])
	centre, ok = circleThrough(a, b, c)
	if !ok {
		return centre, 0, 0, false
	}
	turn := func(p, q geom.Point) float64 {
		return math.Abs(math.Remainder(q.Sub(centre).Angle()-p.Sub(centre).Angle(), 360))
	}
	return centre, centre.Dist(a), turn(a, b) + turn(b, c), true
}

// circleThrough returns the centre of the circle through three points; false if they lie on a line.
func circleThrough(a, b, c geom.Point) (geom.Point, bool) {
	u, v := b.Sub(a), c.Sub(a)
	d := 2 * u.Cross(v)
	if math.Abs(d) < 1e-12*(u.Dot(u)+v.Dot(v)) {
		return geom.Point{}, false
	}
	uu, vv := u.Dot(u), v.Dot(v)
	return a.Add(geom.Pt(v.Y*uu-u.Y*vv, u.X*vv-v.X*uu).Mul(1 / d)), true
}
