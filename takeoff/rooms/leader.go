package rooms

import (
	"slices"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
)

// Reach of leaders in heights of the lettering.
const (
	leaderStart = 0.9 // from the lettering to the line
	leaderLeast = 1.5 // from the lettering to its far end
	leaderParts = 5   // pieces of a line that may be a leader
)

// pointed finds the lines that lead from labels into rooms: they begin at the lettering, and end
// at nothing. It sets where each leads, and returns the shapes that are leaders.
func pointed(s *Sheet, drawn []dxf.Shape, work []lineWork, gs []group) map[int]bool {
	tree := treeOf(work)
	// Nothing else ends where a leader does; what runs through there, such as wiring, may be any line.
	free := func(at geom.Point, shape int) bool {
		ok := true
		near(tree, geom.BoxOf(at).Grow(touching), func(j int) {
			w := work[j]
			ok = ok && (w.shape == shape || min(w.A.Dist(at), w.B.Dist(at)) > touching)
		})
		return ok
	}
	var ends []wallEnd // dir is the other end
	var shapes []int
	for i, w := range work {
		if i > 0 && work[i-1].shape == w.shape {
			continue
		}
		sh := &drawn[w.shape]
		if n := len(sh.Points); !sh.Closed && n <= leaderParts+1 {
			a, b := s.ToBuilding.Apply(plan.At(sh.Points[0])), s.ToBuilding.Apply(plan.At(sh.Points[n-1]))
			ends, shapes = append(ends, wallEnd{a, b}, wallEnd{b, a}), append(shapes, w.shape, w.shape)
		}
	}
	lead := map[int]bool{}
	back, err := s.ToBuilding.Inverse()
	if err != nil || len(ends) == 0 {
		return lead
	}
	// The nearest label to each end.
	m := s.ToBuilding.Scale()
	var at []lineWork
	for k, e := range ends {
		at = append(at, lineWork{Segment: geom.Segment{A: e.at, B: e.at}, shape: k})
	}
	byEnd := treeOf(at)
	for i := range gs {
		g := &gs[i]
		if g.height == 0 {
			continue
		}
		around := geom.EmptyBox()
		grown := g.box.Grow(leaderLeast * g.height)
		for _, c := range []geom.Point{grown.Min, grown.Max, geom.Pt(grown.Min.X, grown.Max.Y), geom.Pt(grown.Max.X, grown.Min.Y)} {
			around = around.Extend(s.ToBuilding.Apply(c.Turn(g.turn)))
		}
		var hits []int
		near(byEnd, around, func(k int) { hits = append(hits, k) })
		slices.Sort(hits)
		for _, k := range hits {
			e := ends[k]
			if inFrame := back.Apply(e.at).Turn(-g.turn); !g.box.Grow(leaderStart * g.height).Contains(inFrame) {
				continue
			}
			if inFrame := back.Apply(e.dir).Turn(-g.turn); grown.Contains(inFrame) {
				continue
			}
			if !free(e.at, shapes[k]) || !free(e.dir, shapes[k]) || e.at.Dist(e.dir) < leaderLeast*g.height*m {
				continue
			}
			to := e.dir
			g.to, lead[shapes[k]] = &to, true
			break
		}
	}
	return lead
}
