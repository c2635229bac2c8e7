package path

import (
	"math"

	"loopwright/takeoff/geom"
)

// Straight measures along the straight line.
type Straight struct {
	places []geom.Point
	walls  *Index
	note   string
}

// NewStraight measures between places. walls may be nil; with walls, their
// crossings are counted and penalised.
func NewStraight(places []geom.Point, walls *Index) *Straight {
	return &Straight{places: places, walls: walls}
}

// Cost implements Measurer.
func (s *Straight) Cost(i, j int) float64 {
	if s.walls == nil {
		return s.places[i].Dist(s.places[j])
	}
	return s.Leg(i, j).Cost()
}

// Leg implements Measurer.
func (s *Straight) Leg(i, j int) Leg {
	a, b := min(i, j), max(i, j)
	l := Leg{Points: []geom.Point{s.places[a], s.places[b]}, Via: ViaStraight, Note: s.note}
	l.Length = s.places[a].Dist(s.places[b])
	l.Crossings, l.Penalty = s.walls.crossings(l.Points)
	if i > j {
		return l.reverse()
	}
	return l
}

// Rectilinear measures along two directions at right angles, turned against the
// coordinate axes.
type Rectilinear struct {
	places []geom.Point
	axes   Axes
	walls  *Index
	note   string
	turn   [2]float64 // sine and cosine of the turn back to the axes
}

// NewRectilinear measures between places on axes. Two places of one wing are
// measured on that wing's axes, others on the building's. walls may be nil; with
// walls, of the two L-shaped ways the one with the lower penalty is taken.
func NewRectilinear(places []geom.Point, axes Axes, walls *Index) *Rectilinear {
	r := &Rectilinear{places: places, axes: axes, walls: walls, note: axes.Note}
	r.turn[0], r.turn[1] = geom.SinCos(-axes.Angle)
	return r
}

// Cost implements Measurer.
func (r *Rectilinear) Cost(i, j int) float64 {
	switch {
	case r.walls != nil:
		return r.Leg(i, j).Cost()
	case len(r.axes.Wings) > 0:
		return r.axes.dist(r.places[i], r.places[j])
	}
	// RectDist, with the turn reckoned once: this is asked for every pair of places.
	d := r.places[i].Sub(r.places[j])
	sin, cos := r.turn[0], r.turn[1]
	return math.Abs(d.X*cos-d.Y*sin) + math.Abs(d.X*sin+d.Y*cos)
}

// Leg implements Measurer.
func (r *Rectilinear) Leg(i, j int) Leg {
	a, b := min(i, j), max(i, j)
	angle := r.axes.between(r.places[a], r.places[b])
	l := Bend(r.places[a], r.places[b], angle, r.walls)
	l.Note = r.note
	if i > j {
		return l.reverse()
	}
	return l
}

// OtherBend returns the points of an L-shaped leg by the other corner: as long as
// the one given, and ok where it meets no more walls either.
func (r *Rectilinear) OtherBend(points []geom.Point) (other []geom.Point, ok bool) {
	if len(points) != 3 {
		return nil, false
	}
	a, corner, b := points[0], points[1], points[2]
	other = []geom.Point{a, a.Add(b).Sub(corner), b}
	crossings, penalty := r.walls.crossings(points)
	n, p := r.walls.crossings(other)
	return other, n <= crossings && p <= penalty
}

// rectDist returns the rectilinear distance on axes turned by angle degrees.
func rectDist(a, b geom.Point, angle float64) float64 {
	return a.Sub(b).Turn(-angle).Rect(geom.Point{})
}

// Bend returns the L-shaped leg from a to b on axes turned by angle degrees. Of
// the two bends it takes the one with the lower wall penalty, then with fewer
// crossings, then the one that first runs along the turned x axis seen from the
// end that is lower in (x, y): the leg from b to a is the same line. walls may
// be nil.
func Bend(a, b geom.Point, angle float64, walls *Index) Leg {
	if b.X < a.X || b.X == a.X && b.Y < a.Y {
		return Bend(b, a, angle, walls).reverse()
	}
	d := b.Sub(a).Turn(-angle)
	length := math.Abs(d.X) + math.Abs(d.Y)
	if d.X == 0 || d.Y == 0 {
		l := Leg{Points: []geom.Point{a, b}, Length: length, Via: ViaRectilinear}
		l.Crossings, l.Penalty = walls.crossings(l.Points)
		return l
	}
	corner := a.Add(geom.Pt(d.X, 0).Turn(angle))
	other := a.Add(geom.Pt(0, d.Y).Turn(angle))
	l := Leg{Points: []geom.Point{a, corner, b}, Length: length, Via: ViaRectilinear}
	l.Crossings, l.Penalty = walls.crossings(l.Points)
	if l.Crossings == 0 {
		return l
	}
	m := Leg{Points: []geom.Point{a, other, b}, Length: length, Via: ViaRectilinear}
	m.Crossings, m.Penalty = walls.crossings(m.Points)
	if m.Penalty < l.Penalty || m.Penalty == l.Penalty && m.Crossings < l.Crossings {
		return m
	}
	return l
}
