package dxf

import (
	"math"

	"loopwright/takeoff/dxf/tags"
)

// Insert is one block reference as it appears in the world: nested ones and the
// elements of arrays each count.
type Insert struct {
	Block       string      // name of the block as stored
	Effective   string      // name of the block it stands for, see EffectiveBy
	EffectiveBy EffectiveBy // how Effective was found
	Layer       string      // as stored
	EffLayer    string      // the insert's layer for an entity on layer 0 inside a block
	Handle      tags.Handle
	Path        []string // blocks it sits in, outermost first; shared, do not change
	Pos         Vec3     // insertion point in the world
	Rotation    float64  // direction of the block's x axis in plan, degrees in [0,360)
	XScale      float64  // length of the block's x axis in the world, not negative
	YScale      float64  // length of its y axis, negative where mirrored in plan
	ZScale      float64  // length of its z axis, not negative
	Transform   Affine   // block coordinates to world
	Attribs     []Attrib
	Visible     bool
	Hidden      Hidden // why it is not visible
	Paper       bool   // in paper space
	Defined     bool   // the block is defined in this file and is no external reference
	Clipped     bool   // it has a clip boundary of its own
	Offset      int    // of the INSERT in the file
}

// Attrib is an attribute of an insert.
type Attrib struct {
	Tag, Value string
	Pos        Vec3 // alignment point in the world
	Height     float64
	Layer      string
	Handle     tags.Handle
	Offset     int  // of the ATTRIB, or of the ATTDEF of a constant one
	Constant   bool // from the block definition
	Invisible  bool // flag 70 bit 1
}

// Hidden says why something is not visible.
type Hidden uint8

// The reasons. What is inherited from an insert around it comes before its own.
const (
	NotHidden       Hidden = iota
	HiddenFrozen           // its layer, or that of an insert around it, is frozen
	HiddenOff              // its layer is off
	HiddenInvisible        // it, or an insert around it, has the invisible flag (60)
	HiddenClipped          // it lies outside the clip boundary of an insert around it
)

func (h Hidden) String() string {
	return [...]string{"", "frozen layer", "layer off", "invisible", "outside clip"}[h]
}

// Options say what to list.
type Options struct {
	Paper bool // paper space too
	// Limit bounds how many inserts, texts or shapes are listed in all; 0 means
	// DefaultLimit (five times that for shapes) beyond what is stored outside blocks,
	// so that a long drawing is no bomb.
	Limit int
	// ChordError is how far a flattened curve may be from the true one, in drawing
	// units; 0 means one thousandth of the size of the curve.
	ChordError float64
	// Keep tells which shapes are wanted, by effective layer and kind; nil means all.
	Keep func(layer string, kind ShapeKind) bool
}

// DefaultLimit is far more than the blocks of any plan expand to: 40 storeys of
// 300 rooms with 10 devices each make an eighth of it.
const DefaultLimit = 1_000_000

// maxDepth bounds how deep blocks may be nested; plans stay below ten.
const maxDepth = 100

// context is where an expansion stands.
type context struct {
	m      Affine
	path   *pathNode
	layer  *layerRef // of the insert around, for layer 0; nil outside blocks
	hidden Hidden    // inherited: frozen or invisible
	clips  [][]Vec3  // boundaries in the world
	paper  bool
	depth  int
}

// effective returns the layer that governs an entity.
func (c *context) effective(l *layerRef) *layerRef {
	if l.zero && c.layer != nil {
		return c.layer
	}
	return l
}

// hides tells why an entity on a layer at a place is hidden. A frozen layer
// hides what an insert on it contains; a layer that is off hides only what is on
// it, as CAD programs do.
func (c *context) hides(l *layerRef, invisible bool, p Vec3) Hidden {
	switch def := l.def; {
	case c.hidden != NotHidden:
		return c.hidden
	case invisible:
		return HiddenInvisible
	case def != nil && def.Frozen:
		return HiddenFrozen
	case def != nil && def.Off:
		return HiddenOff
	}
	for _, boundary := range c.clips {
		if !inside(boundary, p) {
			return HiddenClipped
		}
	}
	return NotHidden
}

// placement is one element of an insert in the world.
type placement struct {
	m          Affine // block to world
	pos        Vec3
	shift      Vec3 // of this element against the first one, in the world
	dx, dy, dz Vec3 // images of the axes without the insert's own scales
}

// place computes where an element of an insert's array stands. Columns and rows
// are spaced along the insert's own turned axes and are not scaled (DXF
// reference, INSERT; MINSERT).
func (r *rawInsert) place(c *context, base Vec3, col, row int) placement {
	o := ocs(r.extrusion)
	sin, cos := sincos(r.rotation)
	dx := o.Direction(Vec3{cos, sin, 0})
	dy := o.Direction(Vec3{-sin, cos, 0})
	dz := o.Z
	shift := dx.times(float64(col) * r.dcol).add(dy.times(float64(row) * r.drow))
	local := Affine{X: dx.times(r.scale.X), Y: dy.times(r.scale.Y), Z: dz.times(r.scale.Z)}
	at := o.Apply(r.pos).add(shift)
	local.T = at.sub(local.Direction(base))
	if c.depth == 0 { // the world is the space it stands in
		return placement{local, at, shift, dx, dy, dz}
	}
	return placement{
		m: c.m.Then(local), pos: c.m.Apply(at), shift: c.m.Direction(shift),
		dx: c.m.Direction(dx), dy: c.m.Direction(dy), dz: c.m.Direction(dz),
	}
}

// angles fills in rotation and scales in the form that callers rely on: the x axis gives the
// rotation and is positive, mirroring shows in the y scale.
func (in *Insert) angles(p *placement, scale Vec3) {
	dx, dy := p.dx, p.dy
	if scale.X < 0 {
		dx = dx.times(-1)
	}
	if scale.Y < 0 {
		dy = dy.times(-1)
	}
	in.XScale = dx.length() * math.Abs(scale.X)
	in.YScale = dy.length() * math.Abs(scale.Y)
	in.ZScale = p.dz.length() * math.Abs(scale.Z)
	if in.YScale != 0 && dx.X*dy.Y-dx.Y*dy.X < 0 {
		in.YScale = -in.YScale
	}
	in.Rotation = angle(dx)
}

// angle is the direction of a vector in plan, degrees in [0,360).
func angle(v Vec3) float64 {
	if v.X == 0 && v.Y == 0 {
		return 0
	}
	a := math.Atan2(v.Y, v.X) * 180 / math.Pi
	if a < 0 {
		a += 360
	}
	if a >= 360 || a == 0 { // also turns -0 into 0
		a = 0
	}
	return a
}
