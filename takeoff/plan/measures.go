package plan

import (
	"slices"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
)

// Extent is the box around what is drawn on a plan and counts, drawing units.
func (p *Page) Extent(of Part, counts func(*dxf.Shape) bool) geom.Box {
	b := geom.EmptyBox()
	for i := range p.Shapes {
		sh := &p.Shapes[i]
		if !sh.Visible || !of.Holds(sh.Points...) || !counts(sh) {
			continue
		}
		for _, v := range sh.Points {
			b = b.Extend(At(v))
		}
	}
	return b
}

// Storey is the box around the walls, or around all symbols and texts where no walls are known.
func (p *Page) Storey(of Part) geom.Box {
	layers := of.Walls
	if len(layers) == 0 {
		layers = p.WallLayers()
	}
	b := geom.EmptyBox()
	for _, wall := range p.Walls(layers, of.Region) {
		b = b.Extend(wall.A).Extend(wall.B)
	}
	all := geom.EmptyBox()
	if len(of.Walls) == 0 { // few lines on a layer that sounds like walls are not the plan
		all = p.marks(of)
	}
	if sizeless(b) || max(b.Width(), b.Height()) < 0.2*max(all.Width(), all.Height()) {
		b = all
	}
	if sizeless(b) {
		b = p.marks(of)
	}
	if sizeless(b) {
		b = p.Extent(of, func(sh *dxf.Shape) bool { return b.Empty() || len(sh.Path) == 0 }) // a lone symbol's own lines are not a plan
	}
	return b
}

// sizeless reports whether a box is empty or one point: it measures nothing.
func sizeless(b geom.Box) bool { return b.Empty() || max(b.Width(), b.Height()) == 0 }

// marks is the box around all symbols and texts of a plan.
func (p *Page) marks(of Part) geom.Box {
	b := geom.EmptyBox()
	for i := range p.Inserts {
		if in := &p.Inserts[i]; !in.Paper && in.Visible && of.Holds(in.Pos) {
			b = b.Extend(At(in.Pos))
		}
	}
	for i := range p.Texts {
		if t := &p.Texts[i]; !t.Paper && t.Visible && of.Holds(t.Pos) {
			b = b.Extend(At(t.Pos))
		}
	}
	return b
}

// Lettering is the middle height of the texts.
func (p *Page) Lettering(of Part) float64 {
	var hs []float64
	for i := range p.Texts {
		t := &p.Texts[i]
		if !t.Paper && t.Visible && t.Height > 0 && of.Holds(t.Pos) {
			hs = append(hs, t.Height)
		}
	}
	if len(hs) < 3 {
		return 0
	}
	return Median(hs)
}

func Median(v []float64) float64 {
	v = slices.Clone(v)
	slices.Sort(v)
	return v[len(v)/2]
}
