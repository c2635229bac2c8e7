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
type Affine struct{ x, y, z, t Vec3 }

// identity maps every point to itself.
var identity = Affine{x: Vec3{1, 0, 0}, y: Vec3{0, 1, 0}, z: Vec3{0, 0, 1}}

// Apply maps a point.
func (m Affine) Apply(p Vec3) Vec3 { return m.direction(p).add(m.t) }

// direction maps a direction: the same without the translation.
func (m Affine) direction(p Vec3) Vec3 {
	return Vec3{
		m.x.X*p.X + m.y.X*p.Y + m.z.X*p.Z,
		m.x.Y*p.X + m.y.Y*p.Y + m.z.Y*p.Z,
		m.x.Z*p.X + m.y.Z*p.Y + m.z.Z*p.Z,
	}
}

// then returns the map that applies inner first and m after it.
func (m Affine) then(inner Affine) Affine {
	return Affine{m.direction(inner.x), m.direction(inner.y), m.direction(inner.z), m.Apply(inner.t)}
}

// inverse returns the map back; false if m flattens space.
func (m Affine) inverse() (Affine, bool) {
	yz, zx, xy := m.y.cross(m.z), m.z.cross(m.x), m.x.cross(m.y)
	det := m.x.X*yz.X + m.x.Y*yz.Y + m.x.Z*yz.Z
	if det == 0 || math.IsNaN(det) || math.IsInf(det, 0) {
		return Affine{}, false
	}
	inv := Affine{
		x: Vec3{yz.X, zx.X, xy.X}.times(1 / det),
		y: Vec3{yz.Y, zx.Y, xy.Y}.times(1 / det),
		z: Vec3{yz.Z, zx.Z, xy.Z}.times(1 / det),
	}
	inv.t = inv.direction(m.t).times(-1)
	return inv, true
}

// farthest is the largest coordinate in drawing units that is taken for one. The widest
// coordinates of surveys have eight digits before the point in metres, eleven in millimetres;
// beyond, an entity is damaged, and whatever is computed from it may overflow.
const farthest = 1e11

// Drawable reports whether a place is one, and not a damaged number: NaN is none.
func (v Vec3) Drawable() bool {
	return math.Abs(v.X) <= farthest && math.Abs(v.Y) <= farthest && math.Abs(v.Z) <= farthest
}

// near reports whether a block placed by m is drawn somewhere.
func (m Affine) near() bool {
	return m.x.Drawable() && m.y.Drawable() && m.z.Drawable() && m.t.Drawable()
}

// ocs returns the map from the object coordinate system of an extrusion
// direction to the world. DXF reference, Arbitrary axis algorithm.
func ocs(extrusion Vec3) Affine {
	n, ok := extrusion.unit()
	if !ok || n == (Vec3{0, 0, 1}) {
		return identity
	}
	var ax Vec3
	if math.Abs(n.X) < 1.0/64 && math.Abs(n.Y) < 1.0/64 {
		ax = Vec3{0, 1, 0}.cross(n)
	} else {
		ax = Vec3{0, 0, 1}.cross(n)
	}
	ax, _ = ax.unit()
	ay, _ := n.cross(ax).unit()
	return Affine{x: ax, y: ay, z: n}
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
