package plan

import (
	"math"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
)

// Swing is a quarter circle, as doors swing along.
type Swing struct {
	*dxf.Shape
	Center geom.Point
	Radius float64
}

// Ends are where the quarter circle begins and ends.
func (s Swing) Ends() (a, b geom.Point) { return At(s.Points[0]), At(s.Points[len(s.Points)-1]) }

// Swings lists the visible quarter circles of model space.
func (p *Page) Swings() []Swing {
	var out []Swing
	for i := range p.Shapes {
		sh := &p.Shapes[i]
		if sh.Kind != dxf.ArcShape || sh.Paper || !sh.Visible {
			continue
		}
		if c, r, sweep, ok := arcOf(sh.Points); ok && sweep >= 60 && sweep <= 100 {
			out = append(out, Swing{sh, c, r})
		}
	}
	return out
}

// arcOf measures a flattened arc: its centre and radius, and how many degrees it sweeps.
func arcOf(pts []dxf.Vec3) (centre geom.Point, radius, sweep float64, ok bool) {
	if len(pts) < 3 {
		return centre, 0, 0, false
	}
	a, b, c := At(pts[0]), At(pts[len(pts)/2]), At(pts[len(pts)-1])
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
