package plan

import (
	"loopwright/takeoff/geom"
	"loopwright/takeoff/words"
)

// Wall is one drawn wall line.
type Wall struct {
	geom.Segment
	Layer string
}

// Walls lists the straight pieces drawn on the layers that fit, in drawing
// units: those that reach into the region, if there is one.
func (p *Page) Walls(layers []string, region *geom.Box) []Wall {
	if len(layers) == 0 {
		return nil
	}
	fits := words.Remembered(func(layer string) bool { return words.AnyName(layers, layer) })
	var out []Wall
	for i := range p.Shapes {
		sh := &p.Shapes[i]
		if !fits(sh.EffLayer) || !sh.Visible || sh.Paper {
			continue
		}
		n := len(sh.Points)
		if !sh.Closed {
			n--
		}
		for k := range n {
			seg := geom.Segment{A: At(sh.Points[k]), B: At(sh.Points[(k+1)%len(sh.Points)])}
			if region == nil || region.Contains(seg.A) || region.Contains(seg.B) || seg.HitsBox(*region) {
				out = append(out, Wall{Segment: seg, Layer: sh.EffLayer})
			}
		}
	}
	return out
}

// Draws reports whether something visible is drawn on a layer that fits a pattern and
// reaches into the region, if there is one.
func (p *Page) Draws(pattern string, region *geom.Box) bool {
	fits := words.Remembered(func(layer string) bool { return words.NameFits(pattern, layer) })
	for i := range p.Shapes {
		sh := &p.Shapes[i]
		if !sh.Visible || sh.Paper || !fits(sh.EffLayer) {
			continue
		}
		for k := range sh.Points {
			if at := At(sh.Points[k]); region == nil || region.Contains(at) || k > 0 && (geom.Segment{A: At(sh.Points[k-1]), B: at}).HitsBox(*region) {
				return true
			}
		}
	}
	return false
}

// WallLayers names the layers that walls seem to be drawn on, in the order in
// which the drawing lists its layers.
func (p *Page) WallLayers() []string { return p.linesOn(words.IsWall) }

// WiringLayers names the layers that circuits seem to be drawn on.
func (p *Page) WiringLayers() []string { return p.linesOn(words.IsWiring) }

// linesOn names the layers of a kind on which lines are drawn in model space.
func (p *Page) linesOn(kind func(layer string) bool) []string {
	var out []string
	drawn := map[string]bool{}
	for i := range p.Shapes {
		if !p.Shapes[i].Paper && p.Shapes[i].Visible {
			drawn[p.Shapes[i].EffLayer] = true
		}
	}
	for _, l := range p.Drawing.Layers {
		if drawn[l.Name] && kind(l.Name) {
			out = append(out, l.Name)
		}
	}
	return out
}
