package takeoff

import (
	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
	"loopwright/takeoff/words"
)

// wires lists the lines drawn on the wiring layers of a plan as polylines in
// metres, in the building's frame: those that reach into the region.
func wires(s *plan.Page, p Plan, toBuilding geom.Affine) [][]geom.Point {
	if len(p.Wiring) == 0 {
		return nil
	}
	var out [][]geom.Point
	for i := range s.Shapes {
		sh := &s.Shapes[i]
		if !sh.Visible || sh.Paper || !words.AnyName(p.Wiring, sh.EffLayer) || !p.part().Holds(sh.Points...) {
			continue
		}
		line := make([]geom.Point, 0, len(sh.Points)+1)
		for _, v := range sh.Points {
			line = append(line, toBuilding.Apply(plan.At(v)))
		}
		if sh.Closed && len(line) > 0 {
			line = append(line, line[0])
		}
		out = append(out, line)
	}
	return out
}
