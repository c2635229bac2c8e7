package dxf

// BlockExtent returns the box around what a block shows, in block coordinates:
// its visible shapes and texts (by their estimated width) and those of blocks
// inside it. It is computed once per block.
func (d *Drawing) BlockExtent(name string) Extent {
	b, ok := d.Block(name)
	if !ok {
		return Extent{Empty: true}
	}
	work(d) // cycles are broken there
	d.extentMu.Lock()
	defer d.extentMu.Unlock()
	if e, ok := d.extents[b]; ok {
		return e
	}
	if d.extents == nil {
		d.extents = map[*Block]Extent{}
	}
	e := blockExtent(d, b)
	d.extents[b] = e
	return e
}

func blockExtent(d *Drawing, b *Block) Extent {
	box := emptyExtent
	if b.node.shapes+b.node.texts > defaultLimit {
		return Extent{Empty: true}
	}
	var notes notebook
	w := newWalker(d, Options{}, &notes)
	c := context{m: identity, path: w.root, depth: 1}
	shapes := shapeLister{walker: w}
	shapes.block(b, &c)
	for k := range shapes.out {
		if shapes.out[k].Visible {
			for _, p := range shapes.out[k].Points {
				box.include(p)
			}
		}
	}
	texts := textLister{walker: w}
	texts.block(b, &c)
	for k := range texts.out {
		if texts.out[k].Visible {
			for _, p := range texts.out[k].Box() {
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
	height := t.Height * (1 + t.Feed*float64(max(t.Lines, 1)-1))
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
