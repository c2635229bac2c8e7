package dxf

import "math"

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

// BlockExtent returns the box around what a block shows, in block coordinates:
// its visible shapes and texts (by their estimated width) and those of blocks
// inside it. It is computed once per block.
func (d *Drawing) BlockExtent(name string) Extent {
	b, ok := d.Block(name)
	if !ok {
		return Extent{Empty: true}
	}
	d.work() // cycles are broken there
	d.extentMu.Lock()
	defer d.extentMu.Unlock()
	if e, ok := d.extents[b]; ok {
		return e
	}
	if d.extents == nil {
		d.extents = map[*Block]Extent{}
	}
	e := d.blockExtent(b)
	d.extents[b] = e
	return e
}

func (d *Drawing) blockExtent(b *Block) Extent {
	box := emptyExtent
	if b.node.shapes+b.node.texts > DefaultLimit {
		return Extent{Empty: true}
	}
	var notes notebook
	e := expander{d: d, names: newNames(d), root: &pathNode{}, notes: &notes}
	c := context{m: Identity, path: e.root, depth: 1}
	e.blockShapes(b, &c)
	for k := range e.shapes {
		if e.shapes[k].Visible {
			for _, p := range e.shapes[k].Points {
				box.include(p)
			}
		}
	}
	e.blockTexts(b, &c)
	for k := range e.texts {
		if e.texts[k].Visible {
			for _, p := range e.texts[k].Box() {
				box.include(p)
			}
		}
	}
	if box.Empty {
		return Extent{Empty: true}
	}
	return box
}

// Box returns the estimated corners of a text in plan: start and end of the
// bottom, end and start of the top.
func (t *Text) Box() [4]Vec3 {
	height := t.Height * (1 + lineFeed*float64(max(t.Lines, 1)-1))
	x, y := 0.0, 0.0
	switch t.Align.H {
	case Center:
		x = -t.Width / 2
	case Right:
		x = -t.Width
	}
	switch t.Align.V {
	case Middle:
		y = -height / 2
	case Top:
		y = -height
	}
	sin, cos := sincos(t.Rotation)
	at := func(x, y float64) Vec3 { return Vec3{t.Pos.X + x*cos - y*sin, t.Pos.Y + x*sin + y*cos, t.Pos.Z} }
	return [4]Vec3{at(x, y), at(x+t.Width, y), at(x+t.Width, y+height), at(x, y+height)}
}
