package geom

import (
	"errors"
	"math"
)

// Affine maps p to (A*x + B*y + E, C*x + D*y + F).
type Affine struct{ A, B, C, D, E, F float64 }

// Identity returns the transform that moves nothing.
func Identity() Affine { return Affine{A: 1, D: 1} }

// Shift returns the transform that adds d.
func Shift(d Point) Affine { return Affine{A: 1, D: 1, E: d.X, F: d.Y} }

// Scaling returns the transform that multiplies x by sx and y by sy.
func Scaling(sx, sy float64) Affine { return Affine{A: sx, D: sy} }

// Rotation returns the turn about the origin by deg degrees anticlockwise.
func Rotation(deg float64) Affine {
	s, c := SinCos(deg)
	return Affine{A: c, B: -s, C: s, D: c}
}

// Then returns the transform that applies t first and u after it.
func (t Affine) Then(u Affine) Affine {
	return Affine{
		A: u.A*t.A + u.B*t.C, B: u.A*t.B + u.B*t.D,
		C: u.C*t.A + u.D*t.C, D: u.C*t.B + u.D*t.D,
		E: u.A*t.E + u.B*t.F + u.E, F: u.C*t.E + u.D*t.F + u.F,
	}
}

// Apply maps a place.
func (t Affine) Apply(p Point) Point {
	return Point{t.A*p.X + t.B*p.Y + t.E, t.C*p.X + t.D*p.Y + t.F}
}

// ApplyVector maps a displacement: the shift is left out.
func (t Affine) ApplyVector(p Point) Point {
	return Point{t.A*p.X + t.B*p.Y, t.C*p.X + t.D*p.Y}
}

// Det returns the determinant: negative for a mirroring transform, its size the growth of areas.
func (t Affine) Det() float64 { return t.A*t.D - t.B*t.C }

// Scale returns the growth of lengths, the root of the growth of areas.
func (t Affine) Scale() float64 { return math.Sqrt(math.Abs(t.Det())) }

// ErrSingular says that a transform flattens the plane and has no inverse.
var ErrSingular = errors.New("transform flattens the plane: it has no inverse")

// Inverse returns the transform that undoes t, or ErrSingular.
func (t Affine) Inverse() (Affine, error) {
	d := t.Det()
	if d == 0 || math.IsNaN(d) || math.IsInf(d, 0) {
		return Affine{}, ErrSingular
	}
	i := Affine{A: t.D / d, B: -t.B / d, C: -t.C / d, D: t.A / d}
	s := i.ApplyVector(Point{t.E, t.F})
	i.E, i.F = -s.X, -s.Y
	return i, nil
}
