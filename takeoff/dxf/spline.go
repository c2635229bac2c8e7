package dxf

import "math"

// maxDegree is the highest degree that splines in drawings have.
const maxDegree = 25

// curve is a rational B-spline.
type curve struct {
	degree  int
	knots   []float64
	points  []Vec3
	weights []float64 // nil: all 1
}

// spline cuts a SPLINE. One without usable control points but with fit points is
// drawn through these.
func (f *figure) spline(chord float64) []Vec3 {
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
	return c.flatten(chord)
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
func (c *curve) flatten(chord float64) []Vec3 {
	if chord <= 0 {
		chord = c.size() * relativeChord / 2
	}
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
