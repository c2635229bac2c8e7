package path

import (
	"math"
	"slices"

	"loopwright/takeoff/geom"
)

// walker turns ways over the grid into polylines through the places. It has
// memory of its own, so that each goroutine brings one.
type walker struct {
	m       *Walls
	s       *search
	amid    []int // places whose L-shaped ways cross a wall
	corners []int32
	slid    []geom.Point
	step    []geom.Point
}

// row fills the costs from place i to all places after it in the order of before.
// The search goes as far as a way over the grid may still win, and no further.
func (w *walker) row(i int) {
	m := w.m
	amid, limit := w.amid[:0], int32(0)
	for j := range m.places {
		if !m.before(i, j) {
			continue
		}
		l := m.bend(i, j)
		m.costs[m.pair(i, j)] = l.Cost()
		if l.Crossings > 0 || len(m.regions) > 0 {
			amid, limit = append(amid, j), max(limit, m.grid.reach(l.Cost()))
		}
	}
	w.amid = amid
	if len(amid) == 0 {
		return
	}
	w.s.run(m.doors[i], limit)
	for _, j := range amid {
		cost := &m.costs[m.pair(i, j)]
		if g, ok := w.way(i, j, *cost); ok {
			*cost = math.Min(*cost, g.Cost())
		}
	}
}

// way returns the way over the grid from the place that the search began at to
// j, in the turned frame. It reports false where the grid cannot beat bound.
// The leg's points are only good until the next call.
func (w *walker) way(i, j int, bound float64) (Leg, bool) {
	m, g := w.m, w.m.grid
	end, best := -1, int32(unreached)
	for _, d := range m.doors[j] {
		if w.s.dist(d.node) == unreached {
			continue // beyond the limit of the search
		}
		if c := w.s.dist(d.node) + d.cost; c < best {
			end, best = d.node, c
		}
	}
	if end < 0 || best > g.reach(bound) {
		return Leg{}, false
	}
	w.corners = w.s.trace(end, w.corners[:0])
	slices.Reverse(w.corners)
	if !w.slide(m.turned[i], m.turned[j]) {
		return w.stepped(m.turned[i], m.turned[j]), true
	}
	l := m.measure(w.slid)
	if l.Cost() > float64(best)*g.unit+g.unit { // moving the runs cost a wall
		if k := w.stepped(m.turned[i], m.turned[j]); k.Cost() < l.Cost() {
			return k, true
		}
	}
	return l, true
}

// slide draws the way with its first and last run moved onto the places. It
// reports false where one straight run would have to meet both.
func (w *walker) slide(p, q geom.Point) bool {
	g := w.m.grid
	pts := w.slid[:0]
	for _, c := range w.corners {
		pts = append(pts, g.node(int(c)))
	}
	n := len(pts)
	if n < 3 {
		w.slid = pts
		return false
	}
	// With three corners the middle one takes one coordinate from each end.
	if pts[0].Y == pts[1].Y {
		pts[1].Y = p.Y
	} else {
		pts[1].X = p.X
	}
	if pts[n-1].Y == pts[n-2].Y {
		pts[n-2].Y = q.Y
	} else {
		pts[n-2].X = q.X
	}
	pts[0], pts[n-1] = p, q
	w.slid = straighten(pts)
	return true
}

// stepped draws the way as it runs over the grid, with a bend from each place to its node.
func (w *walker) stepped(p, q geom.Point) Leg {
	m, g := w.m, w.m.grid
	first, last := g.node(int(w.corners[0])), g.node(int(w.corners[len(w.corners)-1]))
	w.step = append(w.step[:0], Bend(p, first, 0, m.index).Points...)
	for _, c := range w.corners[1:] {
		w.step = append(w.step, g.node(int(c)))
	}
	w.step = append(w.step, Bend(last, q, 0, m.index).Points[1:]...)
	w.step = straighten(w.step)
	return m.measure(w.step)
}

// straighten drops points on which a rectilinear polyline does not turn. A way
// back over itself, which ends of runs can make, is cut short.
func straighten(pts []geom.Point) []geom.Point {
	out := pts[:1]
	for _, p := range pts[1:] {
		if p == out[len(out)-1] {
			continue
		}
		for n := len(out); n >= 2; n = len(out) {
			a, b := out[n-2], out[n-1]
			if a.X == b.X && b.X == p.X || a.Y == b.Y && b.Y == p.Y {
				out = out[:n-1]
				continue
			}
			break
		}
		if p != out[len(out)-1] {
			out = append(out, p)
		}
	}
	if len(out) == 1 {
		out = append(out, pts[len(pts)-1])
	}
	return out
}

// smooth replaces stretches of the way by one bend, or none, where that costs no more.
func (m *Walls) smooth(l Leg) Leg {
	for changed := true; changed; {
		changed = false
		n := len(l.Points)
		for i := 0; i+3 < n && !changed; i++ {
			for j := n - 1; j >= i+3 && !changed; j-- {
				for _, mid := range bends(l.Points[i], l.Points[j]) {
					pts := append(slices.Clone(l.Points[:i+1]), mid...)
					k := m.measure(straighten(append(pts, l.Points[j:]...)))
					if k.Cost() <= l.Cost()+1e-9 && len(k.Points) < n {
						l, changed = k, true
						break
					}
				}
			}
		}
	}
	return l
}

func bends(a, b geom.Point) [][]geom.Point {
	if a.X == b.X || a.Y == b.Y {
		return [][]geom.Point{nil}
	}
	return [][]geom.Point{{geom.Pt(b.X, a.Y)}, {geom.Pt(a.X, b.Y)}}
}

// saved returns the metres that corridors save on a polyline.
func saved(pts []geom.Point, regions []corridor) float64 {
	if len(regions) == 0 {
		return 0
	}
	sum := 0.0
	for i := 1; i < len(pts); i++ {
		sum += savedOn(geom.Segment{A: pts[i-1], B: pts[i]}, regions)
	}
	return sum
}

// savedOn cuts the segment where it meets an outline; each piece then lies
// wholly inside or outside of each region.
func savedOn(s geom.Segment, regions []corridor) float64 {
	length := s.Len()
	if length == 0 {
		return 0
	}
	box := s.Box()
	cuts := []float64{0, 1}
	for _, c := range regions {
		if c.box.Min.X > box.Max.X || c.box.Max.X < box.Min.X || c.box.Min.Y > box.Max.Y || c.box.Max.Y < box.Min.Y {
			continue
		}
		for i, a := range c.ring {
			if p, ok := s.Meet(geom.Segment{A: a, B: c.ring[(i+1)%len(c.ring)]}); ok {
				cuts = append(cuts, p.Dist(s.A)/length)
			}
		}
	}
	slices.Sort(cuts)
	sum := 0.0
	for i := 1; i < len(cuts); i++ {
		mid := s.A.Lerp(s.B, (cuts[i-1]+cuts[i])/2)
		best := 0.0
		for _, c := range regions {
			if c.box.Contains(mid) && c.ring.Contains(mid) {
				best = math.Max(best, c.saving)
			}
		}
		sum += best * (cuts[i] - cuts[i-1]) * length
	}
	return sum
}
