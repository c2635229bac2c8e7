package rooms

import (
	"cmp"
	"maps"
	"slices"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
)

// drawn is what of a sheet may be walls, metres in the building's frame.
type drawn struct {
	named    []plan.Wall // on the layers that somebody named, or that sound like walls
	work     []lineWork  // where no layer is: what may bound rooms by its shape
	lead     map[int]bool
	openings []opening
}

// drawn lists what of a sheet may be walls, and sets where the leaders of its groups lead.
func (s *Sheet) drawn(gs []group) drawn {
	var d drawn
	layers := s.Part.Walls
	if len(layers) == 0 {
		layers = s.Page.WallLayers()
	}
	for _, w := range s.Page.Walls(layers, s.Part.Region) {
		if !s.Part.Ignores(w.A) || !s.Part.Ignores(w.B) {
			w.A, w.B = s.ToBuilding.Apply(w.A), s.ToBuilding.Apply(w.B)
			d.named = append(d.named, w)
		}
	}
	shapes := s.Page.Shapes
	if len(d.named) == 0 {
		shapes = slices.Concat(shapes, s.Page.Fills())
	}
	work := s.candidates(shapes, gs)
	d.lead = pointed(s, shapes, work, gs)
	d.openings = s.doors()
	if len(d.named) == 0 {
		d.work = s.inBuilding(work)
	}
	return d
}

// walls are the walls of a sheet: of those layers only where some are given.
func (d *drawn) walls(layers map[string]bool) []plan.Wall {
	if len(d.named) > 0 {
		return d.named
	}
	drop := make([]bool, len(d.work))
	for i, w := range d.work {
		drop[i] = d.lead[w.shape] || layers != nil && !layers[w.layer]
	}
	work := without(d.work, drop)
	work = without(work, treads(work))
	work = without(work, looseEnds(work))
	work = without(work, through(work))
	out := make([]plan.Wall, len(work))
	for i, w := range work {
		out[i] = plan.Wall{Segment: w.Segment, Layer: w.layer}
	}
	return out
}

// layOut cuts a level into squares by the walls on some layers, all if none are given; nil where there are no walls.
func layOut(ds []drawn, layers map[string]bool, squares float64) *grid {
	var walls []plan.Wall
	var hulls []geom.Ring
	var openings []opening
	for i := range ds {
		ws := ds[i].walls(layers)
		walls, hulls, openings = append(walls, ws...), append(hulls, hull(ws)), append(openings, ds[i].openings...)
	}
	g := newGrid(walls, squares)
	if g != nil {
		g.closeOpenings(walls, openings)
		g.closeHulls(walls, hulls)
	}
	return g
}

const (
	trialSquares = 1 << 18 // of a grid on which layers are tried
	mostLayers   = 10      // layers that are tried, those with most linework
)

// parted counts the labels that have a space to themselves.
func parted(g *grid, labels []group) int {
	if g == nil {
		return 0
	}
	held := map[int]int{}
	in := standingOn(g, slices.Clone(labels))
	for _, k := range in {
		held[k]++
	}
	n := 0
	for _, k := range in {
		if k >= 0 && held[k] == 1 {
			n++
		}
	}
	return n
}

// wallLayers picks the layers whose lines part the labels best, each in a space of its own; nil where
// the walls are on no layers of their own.
func wallLayers(ds []drawn, labels []group) map[string]bool {
	long := map[string]float64{}
	for i := range ds {
		for _, w := range ds[i].work {
			long[w.layer] += w.Len()
		}
	}
	order := slices.SortedFunc(maps.Keys(long), func(a, b string) int { return cmp.Or(cmp.Compare(long[b], long[a]), cmp.Compare(a, b)) })
	if len(order) < 2 || len(labels) < 2 {
		return nil
	}
	order = order[:min(len(order), mostLayers)]
	tried := func(layers map[string]bool) int { return parted(layOut(ds, layers, trialSquares), labels) }
	all := tried(nil)
	alone := map[string]int{}
	for _, l := range order {
		alone[l] = tried(map[string]bool{l: true})
	}
	slices.SortStableFunc(order, func(a, b string) int { return cmp.Compare(alone[b], alone[a]) })
	chosen, best := map[string]bool{order[0]: true}, alone[order[0]]
	for _, l := range order[1:] {
		with := maps.Clone(chosen)
		with[l] = true
		if n := tried(with); 20*n > 21*best && n > best {
			chosen, best = with, n
		}
	}
	if 20*best < 19*all {
		return nil
	}
	return chosen
}

// lettered reports which shapes are drawn around lettering: the boxes of labels.
func lettered(s *Sheet, gs []group) func(*dxf.Shape) bool {
	tree := treeOf(nil)
	for i, g := range gs {
		around := geom.EmptyBox()
		for _, c := range []geom.Point{g.box.Min, g.box.Max, geom.Pt(g.box.Min.X, g.box.Max.Y), geom.Pt(g.box.Max.X, g.box.Min.Y)} {
			around = around.Extend(c.Turn(g.turn))
		}
		tree.Insert([2]float64{around.Min.X, around.Min.Y}, [2]float64{around.Max.X, around.Max.Y}, i)
	}
	return func(sh *dxf.Shape) bool {
		if !sh.Closed || len(sh.Points) > 64 {
			return false
		}
		found := false
		near(tree, geom.BoxOf(plan.At(sh.Points[0])).Grow(6/s.ToBuilding.Scale()), func(i int) {
			g := gs[i]
			room, around := g.box.Grow(2.5*g.height), geom.EmptyBox()
			for _, v := range sh.Points {
				around = around.Extend(plan.At(v).Turn(-g.turn))
			}
			found = found || encloses(room, around) && around.Contains(g.box.Center())
		})
		return found
	}
}
