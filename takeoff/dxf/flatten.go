package dxf

import "math"

// maxPoints bounds the points of one shape.
const maxPoints = 1 << 22

// relativeChord is how far a straight piece may be from its curve, as a part of
// the radius: it makes 32 pieces of a circle.
const relativeChord = 1.0 / 200

// pieces says into how many straight pieces an arc is cut, two at least.
func pieces(radius, sweep float64) int {
	step := 90.0
	if radius != 0 {
		step = 2 * math.Acos(1-relativeChord) * 180 / math.Pi
	}
	n := math.Ceil(math.Abs(sweep)/step - 1e-9)
	if math.IsNaN(n) {
		return 2
	}
	return int(max(n, 2))
}

// arcAngles turns start and end of an arc, which run counter-clockwise, into
// start and sweep; equal angles make a full circle.
func arcAngles(start, end float64) (from, sweep float64) {
	sweep = math.Mod(end-start, 360)
	if sweep <= 0 {
		sweep += 360
	}
	return start, sweep
}

// flattenArc cuts an arc in the plane z = center.Z; angles in degrees.
func flattenArc(center Vec3, radius, start, sweep float64) []Vec3 {
	n := pieces(radius, sweep)
	out := make([]Vec3, n+1)
	for k := range out {
		sin, cos := sincos(start + sweep*float64(k)/float64(n))
		out[k] = Vec3{center.X + radius*cos, center.Y + radius*sin, center.Z}
	}
	return out
}

// bulgeArc returns center, radius and angles of the arc between two vertices.
// DXF reference, LWPOLYLINE: the bulge is the tangent of a fourth of the included
// angle, negative if the arc runs clockwise.
func bulgeArc(a, b Vec3, bulge float64) (center Vec3, radius, start, sweep float64) {
	dx, dy := b.X-a.X, b.Y-a.Y
	h := (1 - bulge*bulge) / (4 * bulge) // of the center above the chord, in chords
	center = Vec3{(a.X+b.X)/2 - h*dy, (a.Y+b.Y)/2 + h*dx, a.Z}
	radius = math.Hypot(a.X-center.X, a.Y-center.Y)
	start = math.Atan2(a.Y-center.Y, a.X-center.X) * 180 / math.Pi
	sweep = 4 * math.Atan(bulge) * 180 / math.Pi
	return center, radius, start, sweep
}

type vertex struct {
	Vec3
	bulge float64
}

// flattenBulges cuts a polyline with bulges and maps it to the world.
func flattenBulges(vs []vertex, closed bool, o Affine) []Vec3 {
	out := make([]Vec3, 0, len(vs)+1)
	for k := range vs {
		out = append(out, vs[k].Vec3)
		last := k == len(vs)-1
		if vs[k].bulge == 0 || last && !closed {
			continue
		}
		next := vs[(k+1)%len(vs)].Vec3
		if next.X == vs[k].X && next.Y == vs[k].Y {
			continue
		}
		c, r, start, sweep := bulgeArc(vs[k].Vec3, next, vs[k].bulge)
		if arc := flattenArc(c, r, start, sweep); len(out)+len(arc) < maxPoints {
			out = append(out, arc[1:len(arc)-1]...)
		}
	}
	return mapAll(o, out)
}

func mapAll(m Affine, points []Vec3) []Vec3 {
	if m == identity {
		return points
	}
	for k := range points {
		points[k] = m.Apply(points[k])
	}
	return points
}

// ellipsePoints cuts an elliptic arc; a closed one does not repeat its start.
func ellipsePoints(center, major, minor Vec3, start, sweep float64, closed bool) []Vec3 {
	n := pieces(max(major.length(), minor.length()), sweep*180/math.Pi)
	out := make([]Vec3, 0, n+1)
	for k := 0; k <= n; k++ {
		if closed && k == n {
			break
		}
		sin, cos := math.Sincos(start + sweep*float64(k)/float64(n))
		out = append(out, center.add(major.times(cos)).add(minor.times(sin)))
	}
	return out
}

// maxDegree is the highest degree that splines in drawings have.
const maxDegree = 25

// curve is a rational B-spline.
type curve struct {
	degree  int
	knots   []float64
	points  []Vec3
	weights []float64 // nil: all 1
}

func (c *curve) usable() bool {
	n := len(c.points)
	if c.degree < 1 || c.degree > maxDegree || n <= c.degree || len(c.knots) != n+c.degree+1 {
		return false
	}
	for k := 1; k < len(c.knots); k++ {
		if c.knots[k] < c.knots[k-1] {
			return false
		}
	}
	return c.knots[c.degree] < c.knots[n]
}

// flatten cuts each knot span in halves until the middle is near the chord.
func (c *curve) flatten() []Vec3 {
	chord := c.size() * relativeChord / 2
	n := len(c.points)
	out := []Vec3{c.at(c.knots[c.degree], c.degree)}
	for span := c.degree; span < n && len(out) < maxPoints; span++ {
		from, to := c.knots[span], c.knots[span+1]
		if from == to {
			continue
		}
		// two halves at least: an S has its middle on the chord
		mid := (from + to) / 2
		p := c.at(mid, span)
		out = c.halve(out, from, mid, out[len(out)-1], p, span, chord, 7)
		out = c.halve(out, mid, to, p, c.at(to, span), span, chord, 7)
	}
	return out
}

func (c *curve) halve(out []Vec3, from, to float64, a, b Vec3, span int, chord float64, depth int) []Vec3 {
	mid := (from + to) / 2
	p := c.at(mid, span)
	if depth == 0 || distanceToChord(p, a, b) <= chord {
		return append(out, b)
	}
	out = c.halve(out, from, mid, a, p, span, chord, depth-1)
	return c.halve(out, mid, to, p, b, span, chord, depth-1)
}

func (c *curve) size() float64 {
	lo, hi := c.points[0], c.points[0]
	for _, p := range c.points {
		lo = Vec3{min(lo.X, p.X), min(lo.Y, p.Y), min(lo.Z, p.Z)}
		hi = Vec3{max(hi.X, p.X), max(hi.Y, p.Y), max(hi.Z, p.Z)}
	}
	return hi.sub(lo).length()
}

// at evaluates the curve within a knot span by de Boor's algorithm, in
// homogeneous coordinates.
func (c *curve) at(t float64, span int) Vec3 {
	p := c.degree
	var q [maxDegree + 1]Vec3
	var w [maxDegree + 1]float64
	for j := 0; j <= p; j++ {
		k := span - p + j
		w[j] = 1
		if c.weights != nil {
			w[j] = c.weights[k]
		}
		q[j] = c.points[k].times(w[j])
	}
	for r := 1; r <= p; r++ {
		for j := p; j >= r; j-- {
			k := span - p + j
			d := c.knots[k+p-r+1] - c.knots[k]
			a := 0.0
			if d != 0 {
				a = (t - c.knots[k]) / d
			}
			q[j] = q[j-1].times(1 - a).add(q[j].times(a))
			w[j] = w[j-1]*(1-a) + w[j]*a
		}
	}
	return q[p].times(1 / w[p])
}

func distanceToChord(p, a, b Vec3) float64 {
	d := b.sub(a)
	n := d.length()
	if n == 0 {
		return p.sub(a).length()
	}
	t := p.sub(a)
	s := (t.X*d.X + t.Y*d.Y + t.Z*d.Z) / (n * n)
	s = math.Min(1, math.Max(0, s))
	return t.sub(d.times(s)).length()
}
