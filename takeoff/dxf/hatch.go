package dxf

import (
	"math"

	"loopwright/takeoff/dxf/tags"
)

// hatchReader reads the boundary of a HATCH as it goes along its tags. DXF
// reference, HATCH, boundary path data: a loop is a polyline (bit 2 of 92) or a
// row of edges, each of a type (72) of its own.
type hatchReader struct {
	n         *names
	elevation float64
	extrusion Vec3
	loops     []hatchLoop
	in        bool // between the number of loops (91) and the style (75)
	polyline  bool
	edge      *hatchEdge
	bad       bool
}

type hatchLoop struct {
	vertices []vertex // of a polyline
	edges    []hatchEdge
}

type hatchEdge struct {
	kind    int // 1 line, 2 arc, 3 ellipse, 4 spline
	a, b    Vec3
	number  [3]float64 // 40, 50, 51
	forward bool       // counter-clockwise (73)
	curve   curve
}

// readHatch reads a HATCH; each loop becomes a shape.
func readHatch(n *names, i int, r rawShape) (out []rawShape) {
	h := hatchReader{n: n, extrusion: Vec3{0, 0, 1}}
	d := n.d
	pos, end := d.idx.Start(i), d.idx.Stop(i)
	var t tags.Tag
	for pos < end {
		if fault, ok := d.ReadTag(pos, end, &t); !ok || t.Code >= 1000 {
			h.bad = h.bad || fault != tags.FaultNone
			break
		}
		pos = t.End
		h.tag(t, &r)
	}
	if h.bad {
		return r.damaged()
	}
	o := ocs(h.extrusion)
	for _, loop := range h.loops {
		s := r
		s.closed = true
		s.points = loop.flatten(h.elevation, o)
		out = append(out, finish(s)...)
	}
	return out
}

func (h *hatchReader) tag(t tags.Tag, r *rawShape) {
	d := h.n.d
	switch t.Code {
	case 8:
		r.layer = h.n.layer(t)
	case 60, 67:
		v, _ := d.Int(t)
		r.flag(t.Code, int(v))
	case 91:
		h.in = true
	case 75:
		h.in = false
	case 92, 72, 73, 94, 97:
		v, _ := d.Int(t)
		if h.in {
			h.whole(t.Code, int(v))
		}
	case 10, 20, 30, 11, 21, 40, 42, 50, 51, 210, 220, 230:
		v, ok := d.Float(t)
		if !ok {
			h.bad = true
			return
		}
		h.real(t.Code, v)
	}
}

// whole handles the numbers that steer reading.
func (h *hatchReader) whole(code, v int) {
	switch code {
	case 92:
		h.loops = append(h.loops, hatchLoop{})
		h.polyline, h.edge = v&2 != 0, nil
	case 72:
		if h.polyline || len(h.loops) == 0 {
			return
		}
		loop := &h.loops[len(h.loops)-1]
		loop.edges = append(loop.edges, hatchEdge{kind: v, forward: true})
		h.edge = &loop.edges[len(loop.edges)-1]
	case 73:
		if h.edge != nil && h.edge.kind != 4 {
			h.edge.forward = v != 0
		}
	case 94:
		if h.edge != nil {
			h.edge.curve.degree = v
		}
	case 97: // source objects, or fit points of a spline; neither is read
		if h.edge != nil && h.edge.kind != 4 {
			h.edge = nil
		}
	}
}

func (h *hatchReader) real(code int, v float64) {
	switch code {
	case 210:
		h.extrusion.X = v
		return
	case 220:
		h.extrusion.Y = v
		return
	case 230:
		h.extrusion.Z = v
		return
	}
	switch {
	case !h.in:
		if code == 30 && len(h.loops) == 0 {
			h.elevation = v
		}
	case len(h.loops) == 0:
	case h.polyline:
		h.loops[len(h.loops)-1].real(code, v)
	case h.edge != nil:
		h.edge.real(code, v)
	}
}

func (l *hatchLoop) real(code int, v float64) {
	last := len(l.vertices) - 1
	switch {
	case code == 10:
		l.vertices = append(l.vertices, vertex{Vec3: Vec3{X: v}})
	case code == 20 && last >= 0:
		l.vertices[last].Y = v
	case code == 42 && last >= 0:
		l.vertices[last].bulge = v
	}
}

func (e *hatchEdge) real(code int, v float64) {
	c := &e.curve
	if e.kind == 4 {
		switch {
		case code == 40:
			c.knots = append(c.knots, v)
		case code == 10:
			c.points = append(c.points, Vec3{X: v})
		case code == 20 && len(c.points) > 0:
			c.points[len(c.points)-1].Y = v
		case code == 42:
			c.weights = append(c.weights, v)
		}
		return
	}
	switch code {
	case 10:
		e.a.X = v
	case 20:
		e.a.Y = v
	case 11:
		e.b.X = v
	case 21:
		e.b.Y = v
	case 40:
		e.number[0] = v
	case 50:
		e.number[1] = v
	case 51:
		e.number[2] = v
	}
}

func (l *hatchLoop) flatten(elevation float64, o Affine) (points []Vec3) {
	if len(l.vertices) > 0 {
		for k := range l.vertices {
			l.vertices[k].Z = elevation
		}
		return flattenBulges(l.vertices, true, o)
	}
	for k := range l.edges {
		for _, p := range l.edges[k].flatten() {
			if last := len(points) - 1; last >= 0 && points[last].X == p.X && points[last].Y == p.Y {
				continue
			}
			points = append(points, Vec3{p.X, p.Y, elevation})
		}
	}
	return mapAll(o, points)
}

// flatten cuts an edge. Angles of edges that run clockwise are counted clockwise.
func (e *hatchEdge) flatten() []Vec3 {
	start, sweep := arcAngles(e.number[1], e.number[2])
	if !e.forward {
		start, sweep = -start, -sweep
	}
	switch e.kind {
	case 1:
		return []Vec3{e.a, e.b}
	case 2:
		return flattenArc(e.a, e.number[0], start, sweep)
	case 3:
		minor := Vec3{-e.b.Y, e.b.X, 0}.times(e.number[0])
		return ellipsePoints(e.a, e.b, minor, start*math.Pi/180, sweep*math.Pi/180, false)
	case 4:
		if len(e.curve.weights) != len(e.curve.points) {
			e.curve.weights = nil
		}
		if e.curve.usable() {
			return e.curve.flatten()
		}
		return e.curve.points
	}
	return nil
}
