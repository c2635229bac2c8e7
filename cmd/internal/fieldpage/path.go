package fieldpage

import (
	"math"
	"strconv"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
)

// path builds the data of one SVG path (SVG 2, section 9.3) in whole units. One
// path holds all the lines of a layer: an element for each would paint far slower.
type path struct {
	b    []byte
	x, y int // where the pen is
}

func (p *path) Len() int       { return len(p.b) }
func (p *path) String() string { return string(p.b) }

func (p *path) shape(s dxf.Shape, to geom.Affine) {
	for i, q := range s.Points {
		p.point(to.Apply(geom.Pt(q.X, q.Y)), i == 0)
	}
	if s.Closed {
		p.point(to.Apply(geom.Pt(s.Points[0].X, s.Points[0].Y)), false)
	}
}

func (p *path) line(ps []geom.Point, to geom.Affine) {
	for i, q := range ps {
		p.point(to.Apply(q), i == 0)
	}
}

// point moves or draws to a place; a step shorter than the grid is left out. A
// place too far out for a whole number is no part of any plan.
func (p *path) point(q geom.Point, move bool) {
	const far = 1e8
	fx, fy := q.X*unitsPerMetre, -q.Y*unitsPerMetre
	if !(math.Abs(fx) < far && math.Abs(fy) < far) {
		return
	}
	x, y := int(math.Round(fx)), int(math.Round(fy))
	switch {
	case move:
		p.put('M', x)
		p.next(y)
	case x == p.x && y == p.y:
		return
	case y == p.y:
		p.put('h', x-p.x)
	case x == p.x:
		p.put('v', y-p.y)
	default:
		p.put('l', x-p.x)
		p.next(y - p.y)
	}
	p.x, p.y = x, y
}

func (p *path) put(op byte, v int) {
	p.b = append(p.b, op)
	p.b = strconv.AppendInt(p.b, int64(v), 10)
}

// next writes a further number; a minus sign parts it from the last.
func (p *path) next(v int) {
	if v >= 0 {
		p.b = append(p.b, ' ')
	}
	p.b = strconv.AppendInt(p.b, int64(v), 10)
}
