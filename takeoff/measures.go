package takeoff

import (
	"slices"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
)

// extent is the box around what is drawn on a plan and counts, drawing units.
func (p *page) extent(of part, counts func(*dxf.Shape) bool) geom.Box {
	b := geom.EmptyBox()
	for i := range p.shapes {
		sh := &p.shapes[i]
		if !sh.Visible || !of.holds(sh.Points...) || !counts(sh) {
			continue
		}
		for _, v := range sh.Points {
			b = b.Extend(plane(v))
		}
	}
	return b
}

// storey is the box around the walls, or around all symbols and texts where no walls are known.
func (p *page) storey(of part) geom.Box {
	layers := of.Walls
	if len(layers) == 0 {
		layers = p.wallLayers()
	}
	b := geom.EmptyBox()
	for _, wall := range p.walls(layers, of.Region) {
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
		b = p.extent(of, func(sh *dxf.Shape) bool { return b.Empty() || len(sh.Path) == 0 }) // a lone symbol's own lines are no plan
	}
	return b
}

// sizeless reports whether a box is empty or one point: it measures nothing.
func sizeless(b geom.Box) bool { return b.Empty() || max(b.Width(), b.Height()) == 0 }

// marks is the box around all symbols and texts of a plan.
func (p *page) marks(of part) geom.Box {
	b := geom.EmptyBox()
	for i := range p.inserts {
		if in := &p.inserts[i]; !in.Paper && in.Visible && of.holds(in.Pos) {
			b = b.Extend(plane(in.Pos))
		}
	}
	for i := range p.texts {
		if t := &p.texts[i]; !t.Paper && t.Visible && of.holds(t.Pos) {
			b = b.Extend(plane(t.Pos))
		}
	}
	return b
}

// lettering is the middle height of the texts.
func (p *page) lettering(of part) float64 {
	var hs []float64
	for i := range p.texts {
		t := &p.texts[i]
		if !t.Paper && t.Visible && t.Height > 0 && of.holds(t.Pos) {
			hs = append(hs, t.Height)
		}
	}
	if len(hs) < 3 {
		return 0
	}
	return median(hs)
}

func median(v []float64) float64 {
	v = slices.Clone(v)
	slices.Sort(v)
	return v[len(v)/2]
}
