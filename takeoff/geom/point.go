// Package geom holds the plane geometry that every stage shares: points,
// boxes, segments, rings and affine transforms.
//
// Coordinates are right-handed with y up. The package does not know units: a
// caller works in drawing units or in metres, and says which. Angles are
// degrees, anticlockwise from the x axis.
package geom

import "math"

// Point is a place or a displacement in the plane.
type Point struct{ X, Y float64 }

// Pt is shorthand for Point{x, y}.
func Pt(x, y float64) Point { return Point{x, y} }

// Add returns p + q.
func (p Point) Add(q Point) Point { return Point{p.X + q.X, p.Y + q.Y} }

// Sub returns p - q.
func (p Point) Sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// Mul returns p scaled by k.
func (p Point) Mul(k float64) Point { return Point{p.X * k, p.Y * k} }

// Dot returns the scalar product of p and q.
func (p Point) Dot(q Point) float64 { return p.X*q.X + p.Y*q.Y }

// Cross returns the z component of p x q: positive where q lies to the left of p.
func (p Point) Cross(q Point) float64 { return p.X*q.Y - p.Y*q.X }

// Len returns the length of p as a vector.
func (p Point) Len() float64 { return math.Hypot(p.X, p.Y) }

// Dist returns the straight distance from p to q.
func (p Point) Dist(q Point) float64 { return math.Hypot(p.X-q.X, p.Y-q.Y) }

// Rect returns the rectilinear distance from p to q along the coordinate axes.
func (p Point) Rect(q Point) float64 { return math.Abs(p.X-q.X) + math.Abs(p.Y-q.Y) }

// Lerp returns the point at fraction t of the way from p to q.
func (p Point) Lerp(q Point, t float64) Point {
	return Point{p.X + (q.X-p.X)*t, p.Y + (q.Y-p.Y)*t}
}

// Turn returns p turned about the origin by deg degrees anticlockwise.
// Multiples of 90 degrees are exact.
func (p Point) Turn(deg float64) Point {
	s, c := SinCos(deg)
	return Point{p.X*c - p.Y*s, p.X*s + p.Y*c}
}

// Angle returns the direction of p in degrees, 0 <= angle < 360; 0 for the zero vector.
func (p Point) Angle() float64 {
	return Norm360(math.Atan2(p.Y, p.X) * 180 / math.Pi)
}

// IsFinite reports whether neither coordinate is infinite or NaN.
func (p Point) IsFinite() bool {
	return !math.IsInf(p.X, 0) && !math.IsNaN(p.X) && !math.IsInf(p.Y, 0) && !math.IsNaN(p.Y)
}

// SinCos returns the sine and cosine of deg degrees, exact at multiples of 90.
func SinCos(deg float64) (sin, cos float64) {
	switch Norm360(deg) {
	case 0:
		return 0, 1
	case 90:
		return 1, 0
	case 180:
		return 0, -1
	case 270:
		return -1, 0
	}
	return math.Sincos(deg * math.Pi / 180)
}

// Norm360 brings an angle in degrees into 0 <= a < 360.
func Norm360(deg float64) float64 {
	a := math.Mod(deg, 360)
	if a < 0 {
		a += 360
	}
	if a >= 360 { // -1e-300 + 360 rounds up to 360
		a = 0
	}
	return a
}

// ArcMiddle is the middle of an arc that was flattened to points evenly spaced, however many they are:
// with an even number none of them stands there.
func ArcMiddle(ps []Point) Point {
	n := len(ps)
	if n < 4 || n%2 == 1 {
		return ps[n/2]
	}
	a, b, c := ps[0], ps[n/2], ps[n-1]
	ab, ac := b.Sub(a), c.Sub(a)
	d := 2 * (ab.X*ac.Y - ab.Y*ac.X)
	chord := ps[n/2-1].Lerp(b, 0.5)
	if d == 0 {
		return chord
	}
	p, q := ab.X*ab.X+ab.Y*ab.Y, ac.X*ac.X+ac.Y*ac.Y
	centre := a.Add(Pt((ac.Y*p-ab.Y*q)/d, (ab.X*q-ac.X*p)/d))
	out := chord.Sub(centre)
	if out.Len() == 0 {
		return chord
	}
	return centre.Add(out.Mul(centre.Dist(a) / out.Len()))
}
