package takeoff

import (
	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/words"
)

// inPlan reports whether all of a shape lies in a plan's region and outside what it ignores.
func inPlan(p Plan, pts []dxf.Vec3) bool {
	for _, v := range pts {
		if p.Region != nil && !p.Region.Contains(plane(v)) || inAny(p.Ignore, plane(v)) {
			return false
		}
	}
	return true
}

// walls lists the straight pieces drawn on the layers that fit, in drawing
// units: those that reach into the region, if there is one.
func (s *scene) walls(layers []string, region *geom.Box) []Wall {
	if len(layers) == 0 {
		return nil
	}
	fits := words.Remembered(func(layer string) bool { return words.AnyName(layers, layer) })
	var out []Wall
	for i := range s.shapes {
		sh := &s.shapes[i]
		if !fits(sh.EffLayer) || !sh.Visible || sh.Paper {
			continue
		}
		n := len(sh.Points)
		if !sh.Closed {
			n--
		}
		for k := range n {
			seg := geom.Segment{A: plane(sh.Points[k]), B: plane(sh.Points[(k+1)%len(sh.Points)])}
			if region == nil || region.Contains(seg.A) || region.Contains(seg.B) || seg.HitsBox(*region) {
				out = append(out, Wall{Segment: seg, Layer: sh.EffLayer})
			}
		}
	}
	return out
}

// wallLayers names the layers that walls seem to be drawn on, in the order in
// which the drawing lists its layers.
func (s *scene) wallLayers() []string {
	var out []string
	drawn := map[string]bool{}
	for i := range s.shapes {
		if !s.shapes[i].Paper && s.shapes[i].Visible {
			drawn[s.shapes[i].EffLayer] = true
		}
	}
	for _, l := range s.d.Layers {
		if drawn[l.Name] && words.IsWall(l.Name) {
			out = append(out, l.Name)
		}
	}
	return out
}
