package path

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sync"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
	"loopwright/takeoff/parallel"
)

// WallOptions steers a Walls measurer. The zero value is usable.
type WallOptions struct {
	// Corridors are regions in which cable likes to run; inside them a metre
	// costs 1 - Saving, which is kept below 0.9.
	Corridors []geom.Ring
	Saving    float64
	// MaxPlaces is the number of places above which the search is given up for
	// L-shaped ways; default DefaultMaxPlaces.
	MaxPlaces int
	Units     measure.System // in which notes give lengths
}

// defaultMaxPlaces is the number of places up to which ways amid walls are searched for.
const defaultMaxPlaces = 2000

// Walls measures amid walls. A wall is a penalty, never a barrier: every place
// can be reached, and a gap or a stray line shifts the cost only.
//
// Between two places it compares both L-shaped ways, and where each of them
// crosses a wall also the cheapest way over a grid of cells. The way that wins is
// measured through the places themselves, not over cells.
type Walls struct {
	places  []geom.Point
	turned  []geom.Point
	angle   float64
	index   *Index // in the turned frame
	regions []corridor
	grid    *grid
	doors   [][]door
	note    string

	walkers sync.Pool // of *walker

	once  sync.Once
	costs []float64 // upper triangle by rows, once Cost was called
}

// NewWalls prepares to measure between places amid walls, on the axes given. It
// refuses places whose coordinates are not finite or beyond 1e9 m.
func NewWalls(places []geom.Point, walls []Wall, axes Axes, opt WallOptions) (*Walls, error) {
	for i, p := range places {
		if !sensible(p) {
			return nil, fmt.Errorf("place %d lies at (%v, %v): coordinates must be numbers of metres within 1e9; are the drawing's units right?", i, p.X, p.Y)
		}
	}
	m := &Walls{places: places, angle: axes.Angle, note: axes.Note}
	box := geom.EmptyBox()
	for _, p := range places {
		t := p.Turn(-m.angle)
		m.turned = append(m.turned, t)
		box = box.Extend(t)
	}
	turned := make([]Wall, 0, len(walls))
	for _, w := range walls {
		w.A, w.B = w.A.Turn(-m.angle), w.B.Turn(-m.angle)
		turned = append(turned, w)
	}
	m.index = newIndex(turned)
	m.setCorridors(opt)
	limit := opt.MaxPlaces
	if limit <= 0 {
		limit = defaultMaxPlaces
	}
	switch {
	case len(m.index.walls) == 0:
		m.addNote("no walls given: measured rectilinear")
	case len(places) > limit:
		m.addNote(fmt.Sprintf("more than %d places: walls weighed on L-shaped routes only", limit))
	case len(places) > 1:
		m.grid = newGrid(box)
		if m.grid.cell > coarse {
			m.addNote(fmt.Sprintf("the places spread over %s: routes around walls are searched in steps of %s", opt.Units.Size(box.Width(), box.Height(), 0), opt.Units.Length(m.grid.cell, 1)))
		}
		m.walkers.New = func() any { return &walker{m: m, s: newSearch(m.grid)} }
		m.grid.load(m.index, m.regions)
		m.doors = make([][]door, len(places))
		for i := range places {
			m.doors[i] = m.doorsOf(i)
		}
	}
	return m, nil
}

func (m *Walls) addNote(s string) {
	if m.note != "" {
		m.note += "; "
	}
	m.note += s
}

func (m *Walls) setCorridors(opt WallOptions) {
	for _, r := range opt.Corridors {
		ring := make(geom.Ring, len(r))
		for i, p := range r {
			ring[i] = p.Turn(-m.angle)
		}
		m.regions = append(m.regions, corridor{ring, ring.Box(), math.Min(opt.Saving, 0.9)})
	}
}

// doorsOf returns the nodes around place i with the cost of the way to each, so
// that a place next to a wall is not taken to stand on the wrong side of it.
func (m *Walls) doorsOf(i int) []door {
	p := m.turned[i]
	var out []door
	for _, n := range m.grid.corners(p) {
		l := Bend(p, m.grid.node(n), 0, m.index)
		out = append(out, door{n, int32(math.Round(math.Min(l.Cost(), 2*maxPenalty) / m.grid.unit))})
	}
	return out
}

// Angle returns the turn of the axes in degrees.
func (m *Walls) Angle() float64 { return m.angle }

// Note returns why a simpler way of measuring took over, or "".
func (m *Walls) Note() string { return m.note }

// Cost implements Measurer. The first call computes all pairs.
func (m *Walls) Cost(i, j int) float64 {
	if i == j {
		return 0
	}
	if m.grid == nil {
		return m.bend(i, j).Cost()
	}
	m.once.Do(m.allPairs)
	return m.costs[m.pair(i, j)]
}

// pair is where costs holds the pair of i and j.
func (m *Walls) pair(i, j int) int {
	i, j = min(i, j), max(i, j)
	n := len(m.places)
	return i*(2*n-i-1)/2 + j - i - 1
}

// allPairs fills costs. Rows do not depend on one another, so that the number of
// processors changes nothing.
func (m *Walls) allPairs() {
	n := len(m.places)
	m.costs = make([]float64, n*(n-1)/2)
	parallel.For(n, func(i int) {
		w := m.walkers.Get().(*walker)
		defer m.walkers.Put(w)
		w.row(i)
	})
}

// Leg implements Measurer.
func (m *Walls) Leg(i, j int) Leg {
	a, b := i, j
	if m.before(j, i) {
		a, b = j, i
	}
	l := m.leg(a, b)
	for k, p := range l.Points {
		l.Points[k] = p.Turn(m.angle)
	}
	// Turning there and back costs the last digits.
	l.Points[0], l.Points[len(l.Points)-1] = m.places[a], m.places[b]
	l.Note = m.note
	if a != i {
		return l.reverse()
	}
	return l
}

// before orders places by where they are: every search starts at the earlier of
// the two, so that the order in which places are given changes nothing.
func (m *Walls) before(i, j int) bool {
	p, q := m.turned[i], m.turned[j]
	return cmp.Or(cmp.Compare(p.X, q.X), cmp.Compare(p.Y, q.Y), cmp.Compare(i, j)) < 0
}

// leg returns the way from i to j in the turned frame, i before j.
func (m *Walls) leg(i, j int) Leg {
	l := m.bend(i, j)
	if i == j || m.grid == nil || l.Crossings == 0 && len(m.regions) == 0 {
		return l
	}
	w := m.walkers.Get().(*walker)
	defer m.walkers.Put(w)
	w.s.run(m.doors[i], m.grid.reach(l.Cost()))
	if g, ok := w.way(i, j, l.Cost()); ok && g.Cost() < l.Cost() {
		l = g
	}
	l.Points = slices.Clone(l.Points)
	return m.smooth(l)
}

// bend returns the better L-shaped way in the turned frame.
func (m *Walls) bend(i, j int) Leg {
	l := Bend(m.turned[i], m.turned[j], 0, m.index)
	l.Via = ViaWalls
	if len(m.index.walls) == 0 {
		l.Via = ViaRectilinear
	}
	return m.discount(l)
}

// discount takes off what corridors save on the way.
func (m *Walls) discount(l Leg) Leg {
	l.Penalty -= saved(l.Points, m.regions)
	return l
}

// measure measures a polyline in the turned frame.
func (m *Walls) measure(pts []geom.Point) Leg {
	l := Leg{Points: pts, Length: geom.PathLen(pts), Via: ViaWalls}
	l.Crossings, l.Penalty = m.index.crossings(pts)
	return m.discount(l)
}
