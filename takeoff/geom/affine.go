package geom

import (
	"errors"
	"math"
)

// Affine maps p to (A*x + B*y + E, C*x + D*y + F).
type Affine struct{ a, b, c, d, e, f float64 }

// Identity returns the transform that moves nothing.
func Identity() Affine { return Affine{a: 1, d: 1} }

// Shift returns the transform that adds d.
func Shift(d Point) Affine { return Affine{a: 1, d: 1, e: d.X, f: d.Y} }

// Scaling returns the transform that multiplies x by sx and y by sy.
func Scaling(sx, sy float64) Affine { return Affine{a: sx, d: sy} }

// Rotation returns the turn about the origin by deg degrees anticlockwise.
func Rotation(deg float64) Affine {
	s, c := SinCos(deg)
	return Affine{a: c, b: -s, c: s, d: c}
}

// Then returns the transform that applies t first and u after it.
func (t Affine) Then(u Affine) Affine {
	return Affine{
		a: u.a*t.a + u.b*t.c, b: u.a*t.b + u.b*t.d,
		c: u.c*t.a + u.d*t.c, d: u.c*t.b + u.d*t.d,
		e: u.a*t.e + u.b*t.f + u.e, f: u.c*t.e + u.d*t.f + u.f,
	}
}

// Apply maps a place.
func (t Affine) Apply(p Point) Point {
	return Point{t.a*p.X + t.b*p.Y + t.e, t.c*p.X + t.d*p.Y + t.f}
}

// ApplyVector maps a displacement: the shift is left out.
func (t Affine) ApplyVector(p Point) Point {
	return Point{t.a*p.X + t.b*p.Y, t.c*p.X + t.d*p.Y}
}

// det returns the determinant: negative for a mirroring transform, its size the growth of areas.
func (t Affine) det() float64 { return t.a*t.d - t.b*t.c }

// Scale returns the growth of lengths, the root of the growth of areas.
func (t Affine) Scale() float64 { return math.Sqrt(math.Abs(t.det())) }

// errSingular says that a transform flattens the plane and has no inverse.
var errSingular = errors.New("transform flattens the plane: it has no inverse")

// Inverse returns the transform that undoes t, or ErrSingular.
func (t Affine) Inverse() (Affine, error) {
	d := t.det()
	if d == 0 || math.IsNaN(d) || math.IsInf(d, 0) {
		return Affine{}, errSingular
	}
	i := Affine{a: t.d / d, b: -t.b / d, c: -t.c / d, d: t.a / d}
	s := i.ApplyVector(Point{t.e, t.f})
	i.e, i.f = -s.X, -s.Y
	return i, nil
}
