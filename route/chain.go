package route

import (
	"math"

	"loopwright/route/circuit"
	"loopwright/route/path"
	"loopwright/route/tour"
	"loopwright/takeoff/geom"
)

// matrixLimit is the number of places up to which all costs are kept in a table.
const matrixLimit = 2000

// layChain lays the circuit as one cable from device to device: back to the
// panel in class A and X, open-ended in class B.
func (f *floorplan) layChain(c *Circuit, prefer []string) error {
	p, plane := f.tourProblem(c.Pathway)
	p.Prefer = f.indexes(prefer)
	p.Begin = f.given()
	p.NoBound = f.penalised()
	r, err := tour.Solve(p)
	if err != nil {
		return err
	}
	order := r.Order
	f.chainOf(c, order)
	c.Exact = r.Exact && r.Length == r.Best && !f.penalised()
	switch {
	case f.penalised():
		c.LowerBound, err = f.chainBound(order, c.Pathway)
	case plane: // the plane knows no drops: those that every order has come on top
		c.LowerBound = r.LowerBound + f.leastDrops(c.Pathway)
	default:
		c.LowerBound = r.LowerBound
	}
	return err
}

// given is the order in which the devices came: a good one where splitting the
// building found it, and else one that the search passes over.
func (f *floorplan) given() []int {
	order := make([]int, len(f.places))
	for i := range order {
		order[i] = i
	}
	return order
}

// chainBound bounds a chain in metres where the order was chosen by cost: no leg
// is shorter than the rectilinear way between its ends, whatever walls it meets.
func (f *floorplan) chainBound(order []int, class circuit.Class) (float64, error) {
	if len(f.places) > matrixLimit {
		return 0, nil
	}
	least := tour.FromMatrix(f.table(f.leastMetres))
	return tour.Bound(tour.Problem{N: len(f.places), Dist: least, Open: !class.Looped()}, order)
}

// leastMetres is a length that no leg between two places undercuts.
func (f *floorplan) leastMetres(i, j int) float64 {
	if i == j {
		return 0
	}
	i, j = min(i, j), max(i, j) // the same sum either way, to the last bit
	p, q := &f.places[i], &f.places[j]
	s, t := p.on, q.on
	apart := f.apart(i, j)
	drops := f.drop(i, j, apart) + f.drop(j, i, apart)
	if s == t {
		return s.least(p.pos, q.pos) + drops
	}
	way := math.Inf(1)
	for k, r := range f.risers {
		_, ok1 := s.risers[k]
		_, ok2 := t.risers[k]
		if ok1 && ok2 {
			way = min(way, s.least(p.pos, r.Pos)+t.least(r.Pos, q.pos))
		}
	}
	return way + rise(s.level, t.level) + drops
}

// least is the shortest that the level's way of measuring can come to.
func (s *storey) least(a, b geom.Point) float64 {
	if _, ok := s.m.(*path.Straight); ok || len(s.axes.Wings) > 0 {
		return a.Dist(b)
	}
	return s.along(a.Sub(b)).Rect(geom.Point{})
}

// along is a step seen in the level's axes.
func (s *storey) along(d geom.Point) geom.Point {
	sin, cos := s.turn[0], s.turn[1]
	return geom.Pt(d.X*cos-d.Y*sin, d.X*sin+d.Y*cos)
}

// leastDrops is the vertical cable of a chain in the plane in any order: one at each
// end at the panel, two drops a device, and in an open chain one at the last, taken as the largest.
func (f *floorplan) leastDrops(class circuit.Class) float64 {
	if f.stacked() {
		return 0
	}
	sum, most := f.places[0].rise, 0.0
	if class.Looped() {
		sum *= 2
	}
	for i := range f.places[1:] {
		d := f.drop(i+1, 0, true)
		sum += 2 * d
		most = max(most, d)
	}
	if !class.Looped() {
		sum -= most
	}
	return sum
}

// penalised reports whether cost is more than metres.
func (f *floorplan) penalised() bool {
	for _, s := range f.storeys {
		if _, ok := s.m.(*path.WingedWalls); ok {
			return true
		}
	}
	return len(f.storeys) > 1 && f.opt.Weights.LevelChange > 0
}

// tourProblem sets up what is to be ordered, and says whether it is points in
// the plane instead of a table of costs.
func (f *floorplan) tourProblem(class circuit.Class) (p tour.Problem, plane bool) {
	p = tour.Problem{Open: !class.Looped(), Seed: f.opt.Seed}
	if f.opt.Along != AlongStraight {
		p.Near = f.opt.Near
	}
	plane = f.plane(&p)
	if !plane {
		p.N = len(f.places)
		p.Dist = f.cost
		if p.N <= matrixLimit {
			p.Dist = tour.FromMatrix(f.table(f.cost))
		}
	}
	if p.Near > 0 {
		p.Secondary = &tour.Secondary{Turns: f.turnCost}
		if len(f.storeys) == 1 {
			p.Secondary.Crossing = 1
		}
	}
	return p, plane
}

// plane sets up points instead of a table where one level is measured in the
// plain plane, and reports whether it is.
func (f *floorplan) plane(p *tour.Problem) bool {
	if len(f.storeys) != 1 || len(f.places) <= matrixLimit && f.stacked() {
		return false
	}
	for _, pl := range f.places {
		p.Points = append(p.Points, pl.pos)
	}
	for _, s := range f.storeys {
		switch s.m.(type) {
		case *path.Straight:
			p.Metric = tour.Euclidean
			return true
		case *path.Rectilinear:
			p.Metric, p.Axis = tour.Rectilinear, s.axes.Angle
			return len(s.axes.Wings) == 0
		}
	}
	return false
}

// table asks once for what is asked again and again.
func (f *floorplan) table(dist func(i, j int) float64) [][]float64 {
	n := len(f.places)
	m := make([][]float64, n)
	cells := make([]float64, n*n)
	for i := range m {
		m[i] = cells[i*n : (i+1)*n]
		for j := range i {
			m[i][j] = dist(i, j)
			m[j][i] = m[i][j]
		}
	}
	return m
}

// turnCost is how much a fitter must bend the run at a place and on the legs
// that meet there: 1 for a change of direction, half a bend for each L-shaped leg.
func (f *floorplan) turnCost(prev, at, next int) float64 {
	a, b, c := &f.places[prev], &f.places[at], &f.places[next]
	if a.level != b.level || b.level != c.level {
		return 1
	}
	in, out := b.on.along(b.pos.Sub(a.pos)), b.on.along(c.pos.Sub(b.pos))
	cost := 0.0
	bent := func(x, y float64) bool { return math.Abs(x) > 0.05 && math.Abs(y) > 0.05 }
	if bent(in.X, in.Y) {
		cost += 0.5
	}
	if bent(out.X, out.Y) {
		cost += 0.5
	}
	if cross := in.Cross(out); in.Dot(out) < 0 || cross*cross > 0.05*0.05*in.Dot(in)*out.Dot(out) {
		cost++
	}
	return cost
}

// indexes turns ids into place indexes; ids of devices that are gone are left out.
func (f *floorplan) indexes(ids []string) []int {
	if len(ids) == 0 {
		return nil
	}
	at := make(map[string]int, len(f.places))
	for i, p := range f.places {
		at[p.id] = i
	}
	out := []int{0}
	for _, id := range ids {
		if i, ok := at[id]; ok && i > 0 {
			out = append(out, i)
		}
	}
	return out
}
