package dxf

import "math"

// Vec3 is a point or direction in drawing units.
type Vec3 struct{ X, Y, Z float64 }

func (a Vec3) add(b Vec3) Vec3      { return Vec3{a.X + b.X, a.Y + b.Y, a.Z + b.Z} }
func (a Vec3) sub(b Vec3) Vec3      { return Vec3{a.X - b.X, a.Y - b.Y, a.Z - b.Z} }
func (a Vec3) times(f float64) Vec3 { return Vec3{a.X * f, a.Y * f, a.Z * f} }
func (a Vec3) length() float64      { return math.Sqrt(a.X*a.X + a.Y*a.Y + a.Z*a.Z) }
func (a Vec3) cross(b Vec3) Vec3 {
	return Vec3{a.Y*b.Z - a.Z*b.Y, a.Z*b.X - a.X*b.Z, a.X*b.Y - a.Y*b.X}
}

func (a Vec3) unit() (Vec3, bool) {
	// scaling first keeps the squares of very large and very small vectors finite
	m := max(math.Abs(a.X), math.Abs(a.Y), math.Abs(a.Z))
	if m == 0 || math.IsInf(m, 0) || math.IsNaN(m) {
		return Vec3{}, false
	}
	a = Vec3{a.X / m, a.Y / m, a.Z / m}
	return a.times(1 / a.length()), true
}

// Affine maps points: x' = M·p + T, with the columns of M being the images of
// the axes.
type Affine struct{ X, Y, Z, T Vec3 }

// Identity maps every point to itself.
var Identity = Affine{X: Vec3{1, 0, 0}, Y: Vec3{0, 1, 0}, Z: Vec3{0, 0, 1}}

// Apply maps a point.
func (m Affine) Apply(p Vec3) Vec3 { return m.Direction(p).add(m.T) }

// Direction maps a direction: the same without the translation.
func (m Affine) Direction(p Vec3) Vec3 {
	return Vec3{
		m.X.X*p.X + m.Y.X*p.Y + m.Z.X*p.Z,
		m.X.Y*p.X + m.Y.Y*p.Y + m.Z.Y*p.Z,
		m.X.Z*p.X + m.Y.Z*p.Y + m.Z.Z*p.Z,
	}
}

// Then returns the map that applies inner first and m after it.
func (m Affine) Then(inner Affine) Affine {
	return Affine{m.Direction(inner.X), m.Direction(inner.Y), m.Direction(inner.Z), m.Apply(inner.T)}
}

// Inverse returns the map back; false if m flattens space.
func (m Affine) Inverse() (Affine, bool) {
	yz, zx, xy := m.Y.cross(m.Z), m.Z.cross(m.X), m.X.cross(m.Y)
	det := m.X.X*yz.X + m.X.Y*yz.Y + m.X.Z*yz.Z
	if det == 0 || math.IsNaN(det) || math.IsInf(det, 0) {
		return Affine{}, false
	}
	inv := Affine{
		X: Vec3{yz.X, zx.X, xy.X}.times(1 / det),
		Y: Vec3{yz.Y, zx.Y, xy.Y}.times(1 / det),
		Z: Vec3{yz.Z, zx.Z, xy.Z}.times(1 / det),
	}
	inv.T = inv.Direction(m.T).times(-1)
	return inv, true
}

// finite tells whether every number of the map is one.
func (m Affine) finite() bool {
	sum := 0.0
	for _, v := range [...]Vec3{m.X, m.Y, m.Z, m.T} {
		sum += v.X*0 + v.Y*0 + v.Z*0 // infinities and NaN become NaN
	}
	return sum == 0
}

// ocs returns the map from the object coordinate system of an extrusion
// direction to the world. DXF reference, Arbitrary axis algorithm.
func ocs(extrusion Vec3) Affine {
	n, ok := extrusion.unit()
	if !ok || n == (Vec3{0, 0, 1}) {
		return Identity
	}
	var ax Vec3
	if math.Abs(n.X) < 1.0/64 && math.Abs(n.Y) < 1.0/64 {
		ax = Vec3{0, 1, 0}.cross(n)
	} else {
		ax = Vec3{0, 0, 1}.cross(n)
	}
	ax, _ = ax.unit()
	ay, _ := n.cross(ax).unit()
	return Affine{X: ax, Y: ay, Z: n}
}

// sincos gives exact values at quarter turns, so that a device turned by 90
// degrees does not end up a rounding error beside its grid.
func sincos(degrees float64) (sin, cos float64) {
	switch r := math.Mod(degrees, 360); r {
	case 0:
		return 0, 1
	case 90, -270:
		return 1, 0
	case 180, -180:
		return 0, -1
	case 270, -90:
		return -1, 0
	default:
		return math.Sincos(r * math.Pi / 180)
	}
}

// Extent is a box; an empty one holds nothing.
type Extent struct {
	Min, Max Vec3
	Empty    bool
}

var emptyExtent = Extent{
	Min: Vec3{math.Inf(1), math.Inf(1), math.Inf(1)}, Max: Vec3{math.Inf(-1), math.Inf(-1), math.Inf(-1)}, Empty: true,
}

func (e *Extent) include(p Vec3) {
	e.Min = Vec3{min(e.Min.X, p.X), min(e.Min.Y, p.Y), min(e.Min.Z, p.Z)}
	e.Max = Vec3{max(e.Max.X, p.X), max(e.Max.Y, p.Y), max(e.Max.Z, p.Z)}
	e.Empty = false
}
