package takeoff

import (
	"fmt"
	"math"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
)

// turnSheets settles by how much each plan is turned on its sheet against the
// others, and brings walls into the building's frame. Plans whose turn the job
// does not give are turned so that their walls run as those of the first plan
// that shows walls.
func (t *taker) turnSheets() {
	var ref *Sheet
	for i := range t.req.Plans {
		if _, s := t.sheet(i); len(s.Walls) > 0 {
			ref = s
			break
		}
	}
	var target wallRaster
	for i := range t.req.Plans {
		_, s := t.sheet(i)
		turned := 0.0
		switch {
		case s.Plan.Turned != nil:
			turned = *s.Plan.Turned
		case ref != nil && s != ref && len(s.Walls) > 0:
			if target == nil {
				target = newWallRaster(ref, ref.turned())
			}
			turned = t.turnAgainst(ref, s, target)
		}
		s.ToBuilding = toBuilding(s.Plan, s.MetrePer, turned)
	}
	for i := range t.req.Plans {
		_, s := t.sheet(i)
		s.moveWalls()
		s.Axis, _ = axisOf(s.Walls)
	}
}

// moveWalls brings a sheet's walls from drawing units into the building's frame.
func (s *Sheet) moveWalls() {
	for k := range s.Walls {
		w := &s.Walls[k]
		w.A, w.B = s.ToBuilding.Apply(w.A), s.ToBuilding.Apply(w.B)
	}
}

const (
	turnNoise  = 0.05 // degrees: closer axes agree
	turnGain   = 1.25 // how much better walls must meet for a turn to be believed over none
	meetWithin = 0.2  // metres: a wall that meets another
)

// turned is by how much the job says a sheet is turned, 0 if it does not.
func (s *Sheet) turned() float64 {
	if s.Plan.Turned != nil {
		return *s.Plan.Turned
	}
	return 0
}

// turnAgainst returns the degrees by which sheet s is turned against ref, of
// which target shows the walls. The directions of walls tell the turn but for quarter turns; which of those is
// right shows in how many walls come to lie on walls.
func (t *taker) turnAgainst(ref, s *Sheet, target wallRaster) float64 {
	base := ref.turned()
	a, okA := axisOf(ref.Walls)
	b, okB := axisOf(s.Walls)
	if !okA || !okB {
		return base
	}
	diff := math.Remainder(b-a+base, 90)
	if math.Abs(diff-math.Remainder(base, 90)) < turnNoise {
		diff = math.Remainder(base, 90)
	}
	best, score := base, target.meets(s, base)
	fallback := score
	for k := range 4 {
		turn := math.Remainder(diff+90*float64(k), 360)
		if turn == base {
			continue // measured already
		}
		if m := target.meets(s, turn); m > turnGain*score && m > turnGain*fallback {
			best, score = turn, m
		}
	}
	if best == base && math.Abs(diff-math.Remainder(base, 90)) >= turnNoise && fallback < 0.5 {
		// Nothing lies on anything: levels without a common datum, or of different shape.
		best = diff
	}
	if best != base {
		t.find(Finding{Code: codeTurned, Severity: Note, Drawing: s.Plan.Drawing, Message: fmt.Sprintf(
			"by its walls, %s is turned %.4g degrees against %s: to settle it, write turned: %.4g in its row under plans",
			s.Plan.Level, best, ref.Plan.Level, best)})
	}
	return best
}

// axisOf returns the direction that most of the wall length runs along or
// square to, -45 < angle <= 45, and whether one stands out. (route/path finds
// axes for measuring in the same way, and knows nothing of this package.)
func axisOf(walls []plan.Wall) (float64, bool) {
	const bins = 360 // of a quarter of a degree over a quarter turn
	var hist [bins]float64
	total := 0.0
	for _, w := range walls {
		l := w.Len()
		if l > 0 && !math.IsInf(l, 0) && !math.IsNaN(l) {
			hist[int(math.Mod(w.B.Sub(w.A).Angle(), 90)*bins/90)%bins] += l
			total += l
		}
	}
	peak := 0
	for i := range hist {
		if around(&hist, i) > around(&hist, peak) {
			peak = i
		}
	}
	if total == 0 || around(&hist, peak) < 0.25*total {
		return 0, false
	}
	mid := (float64(peak) + 0.5) * 90 / bins
	for range 2 {
		sum, weight := 0.0, 0.0
		for _, w := range walls {
			d := math.Remainder(w.B.Sub(w.A).Angle()-mid, 90)
			if l := w.Len(); math.Abs(d) <= 0.5 && l > 0 {
				sum, weight = sum+d*l, weight+l
			}
		}
		if weight > 0 {
			mid += sum / weight
		}
	}
	if mid = math.Remainder(mid, 90); math.Abs(mid) < 1e-6 { // the noise of the mean
		mid = 0
	}
	return mid, true
}

func around(hist *[360]float64, i int) float64 {
	n := len(hist)
	return hist[i] + (hist[(i+1)%n]+hist[(i+n-1)%n])/2
}

// wallRaster marks where a sheet's walls stand: squares of meetWithin, 8 by 8 of them to a word.
type wallRaster map[[2]int]uint64

// cell returns the word that holds a square, and its bit there.
func (wallRaster) cell(x, y int) (word [2]int, bit uint64) {
	return [2]int{x >> 3, y >> 3}, 1 << (x&7 | y&7<<3)
}

func newWallRaster(s *Sheet, turned float64) wallRaster {
	r := wallRaster{}
	s.walk(turned, r.mark)
	return r
}

// meets returns the share of a sheet's wall length that lies on walls of the raster.
func (r wallRaster) meets(s *Sheet, turned float64) float64 {
	n, hit := 0, 0
	var at [2]int // points follow each other along walls: most stand in the word of the one before
	bits := r[at]
	s.walk(turned, func(p geom.Point) {
		n++
		word, bit := r.cell(int(math.Floor(p.X/meetWithin)), int(math.Floor(p.Y/meetWithin)))
		if word != at {
			at, bits = word, r[word]
		}
		if bits&bit != 0 {
			hit++
		}
	})
	if n == 0 {
		return 0
	}
	return float64(hit) / float64(n)
}

// walk visits points along a sheet's walls, about every 0.2 m, as they would lie for a turn.
func (s *Sheet) walk(turned float64, visit func(geom.Point)) {
	tr := toBuilding(s.Plan, s.MetrePer, turned)
	for _, w := range s.Walls {
		a, b := tr.Apply(w.A), tr.Apply(w.B)
		if !a.IsFinite() || !b.IsFinite() {
			continue
		}
		n := int(min(math.Ceil(a.Dist(b)/meetWithin), 5000))
		for k := range n {
			visit(a.Lerp(b, (float64(k)+0.5)/float64(max(n, 1))))
		}
	}
}
