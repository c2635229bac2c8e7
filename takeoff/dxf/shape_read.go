package dxf

import (
	"math"

	"loopwright/takeoff/dxf/tags"
)

// figure gathers what an entity says about its geometry.
type figure struct {
	p         [4]Vec3 // groups 10 to 13, 20 to 23, 30 to 33
	vertices  []vertex
	numbers   map[int]float64 // of groups 38 to 59 that occur once
	knots     []float64
	weights   []float64
	fits      []Vec3
	flags     int // 70
	degree    int // 71
	extrusion Vec3
	hasFourth bool
	bad       bool
}

// readShape reads record i as shapes, flattened. Records that make no shape give
// none.
func readShape(n *names, i int, kind ShapeKind) []rawShape {
	r := rawShape{kind: kind, layer: noLayer, handle: n.d.handleOf(i), offset: n.d.idx.Start(i)}
	if kind == HatchShape {
		return readHatch(n, i, r)
	}
	f := readFigure(n, i, &r)
	if f.bad {
		return r.damaged()
	}
	o := ocs(f.extrusion)
	switch n.d.idx.Kind(i) {
	case tags.Line:
		r.points = []Vec3{f.p[0], f.p[1]}
	case tags.LWPolyline:
		r.closed = f.flags&1 != 0
		for k := range f.vertices {
			f.vertices[k].Z = f.numbers[38]
		}
		r.points = flattenBulges(f.vertices, r.closed, o)
	case tags.Polyline:
		readPolyline(n, i, &r, f)
	case tags.Arc:
		start, sweep := arcAngles(f.numbers[50], f.numbers[51])
		r.points = mapAll(o, flattenArc(f.p[0], f.numbers[40], start, sweep))
	case tags.Circle:
		r.closed = true
		if r.points = mapAll(o, flattenArc(f.p[0], f.numbers[40], 0, 360)); len(r.points) > 1 {
			r.points = r.points[:len(r.points)-1]
		}
	case tags.Ellipse:
		r.points, r.closed = f.ellipse()
	case tags.Spline:
		r.closed = f.flags&1 != 0
		r.points = f.spline()
	case tags.Solid, tags.Trace:
		r.closed = true
		r.points = mapAll(o, f.corners(0, 1, 3, 2))
	case tags.Face:
		r.closed = true
		r.points = f.corners(0, 1, 2, 3)
	}
	return finish(r)
}

// readFigure reads the groups that draw. Which entity uses which is in the DXF
// reference, ENTITIES section.
func readFigure(n *names, i int, r *rawShape) *figure {
	d := n.d
	f := &figure{numbers: map[int]float64{}, extrusion: Vec3{0, 0, 1}}
	many := d.idx.Kind(i) == tags.LWPolyline || d.idx.Kind(i) == tags.Spline
	pos, end := d.idx.Start(i), d.idx.Stop(i)
	var t tags.Tag
	for pos < end {
		if fault, ok := d.ReadTag(pos, end, &t); !ok || t.Code >= 1000 {
			f.bad = f.bad || fault != tags.FaultNone
			break
		}
		pos = t.End
		switch c := t.Code; {
		case c == 8:
			r.layer = n.layer(t)
		case c == 6 || c == 62 || c == 420:
			n.style(&r.style, t)
		case c == 60 || c == 67 || c == 70 || c == 71:
			v, _ := d.Int(t)
			f.flag(c, int(v), r)
		case c >= 10 && c <= 59 || c >= 210 && c <= 230:
			v, ok := d.Float(t)
			if !ok {
				f.bad = true
				continue
			}
			f.number(c, v, many)
		}
	}
	return f
}

func (f *figure) flag(code, v int, r *rawShape) {
	switch code {
	case 70:
		f.flags = v
	case 71:
		f.degree = v
	default:
		r.flag(code, v)
	}
}

// number stores one number. In polylines and splines points may repeat.
func (f *figure) number(c int, v float64, many bool) {
	last := len(f.vertices) - 1
	switch {
	case c == 210:
		f.extrusion.X = v
	case c == 220:
		f.extrusion.Y = v
	case c == 230:
		f.extrusion.Z = v
	case many && c == 10:
		if len(f.vertices) < maxPoints {
			f.vertices = append(f.vertices, vertex{Vec3: Vec3{X: v}})
		}
	case many && c == 20 && last >= 0:
		f.vertices[last].Y = v
	case many && c == 30 && last >= 0:
		f.vertices[last].Z = v
	case many && c == 42 && last >= 0:
		f.vertices[last].bulge = v
	case many && c == 40:
		f.knots = append(f.knots, v)
	case many && c == 41:
		f.weights = append(f.weights, v)
	case many && c == 11:
		f.fits = append(f.fits, Vec3{X: v})
	case many && c == 21 && len(f.fits) > 0:
		f.fits[len(f.fits)-1].Y = v
	case many && c == 31 && len(f.fits) > 0:
		f.fits[len(f.fits)-1].Z = v
	case c >= 10 && c <= 13:
		f.p[c-10].X = v
		f.hasFourth = f.hasFourth || c == 13
	case c >= 20 && c <= 23:
		f.p[c-20].Y = v
	case c >= 30 && c <= 33:
		f.p[c-30].Z = v
	default:
		f.numbers[c] = v
	}
}

// corners lists the corners of a filled or faced quadrangle; a triangle repeats
// its last corner or leaves it out.
func (f *figure) corners(order ...int) []Vec3 {
	if !f.hasFourth || f.p[3] == f.p[2] {
		return []Vec3{f.p[0], f.p[1], f.p[2]}
	}
	out := make([]Vec3, 0, 4)
	for _, k := range order {
		out = append(out, f.p[k])
	}
	return out
}

// ellipse cuts an ELLIPSE. DXF reference, ELLIPSE: center and major axis in the
// world, ratio of the axes, start and end as parameters in radians.
func (f *figure) ellipse() (points []Vec3, closed bool) {
	normal, ok := f.extrusion.unit()
	if !ok {
		normal = Vec3{0, 0, 1}
	}
	major := f.p[1]
	minor := normal.cross(major).times(f.numbers[40])
	start, end := f.numbers[41], f.numbers[42]
	if _, given := f.numbers[42]; !given {
		end = 2 * math.Pi
	}
	sweep := math.Mod(end-start, 2*math.Pi)
	if sweep <= 1e-12 {
		sweep += 2 * math.Pi
	}
	closed = sweep > 2*math.Pi-1e-9
	return ellipsePoints(f.p[0], major, minor, start, sweep, closed), closed
}

// spline cuts a SPLINE. One without usable control points but with fit points is
// drawn through these.
func (f *figure) spline() []Vec3 {
	c := curve{degree: f.degree, knots: f.knots}
	for _, v := range f.vertices {
		c.points = append(c.points, v.Vec3)
	}
	if len(f.weights) == len(c.points) {
		c.weights = f.weights
	}
	if !c.usable() {
		return f.fits
	}
	return c.flatten()
}

// readPolyline reads the vertices after POLYLINE i. DXF reference, POLYLINE and
// VERTEX: 70 of the polyline is 8 for 3D, 16 and 64 for meshes; 70 of a vertex
// is 16 for the control points of a curve, which are not on it.
func readPolyline(n *names, i int, r *rawShape, f *figure) {
	if f.flags&(16|64) != 0 {
		return
	}
	r.closed = f.flags&1 != 0
	var vs []vertex
	d := n.d
	for k := i + 1; k < d.idx.Len() && d.idx.Kind(k) == tags.Vertex && len(vs) < maxPoints; k++ {
		var own rawShape
		v := readFigure(n, k, &own)
		if v.bad {
			r.bad = true
			return
		}
		if v.flags&16 == 0 {
			vs = append(vs, vertex{v.p[0], v.numbers[42]})
		}
	}
	o := ocs(f.extrusion)
	if f.flags&8 != 0 {
		o = identity
		for k := range vs {
			vs[k].bulge = 0
		}
	} else {
		for k := range vs {
			vs[k].Z = f.p[0].Z
		}
	}
	r.points = flattenBulges(vs, r.closed, o)
}

// Images lists the corners of the pictures that lie in model space outside blocks, such as a
// scanned plan that is drawn over, in drawing order. DXF reference, IMAGE: the lower left corner,
// the sides of one pixel and how many there are.
func (d *Drawing) Images() [][4]Vec3 {
	var out [][4]Vec3
	for _, s := range d.spans {
		if s.paper {
			continue
		}
		for i := s.first; i < s.last; i++ {
			if d.idx.Kind(i) != tags.Image {
				continue
			}
			var at, u, v, size Vec3
			paper, good := false, true
			sc := d.tags(i)
			for {
				t, ok := sc.Next()
				if !ok || t.Code >= 1000 {
					break
				}
				for k, to := range []*Vec3{&at, &u, &v, &size} {
					switch t.Code {
					case 10 + k:
						to.X, ok = d.Float(t)
					case 20 + k:
						to.Y, ok = d.Float(t)
					default:
						continue
					}
					good = good && ok
				}
				if t.Code == 67 {
					n, _ := d.Int(t)
					paper = n&1 != 0
				}
			}
			if u, v = u.times(size.X), v.times(size.Y); good && !paper && u.length() > 0 && v.length() > 0 {
				out = append(out, [4]Vec3{at, at.add(u), at.add(u).add(v), at.add(v)})
			}
		}
	}
	return out
}
