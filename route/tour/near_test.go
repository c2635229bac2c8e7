package tour

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"loopwright/takeoff/geom"
)

// someNear is the share by which the tours here may be longer.
const someNear = 0.01

// crossingCost makes a crossing as bad as two turns: the drafter's choice, not a measured one.
const crossingCost = 2

// tidying counts direction changes along the legs and crossings between them. Under the rectilinear metric a leg that
// is oblique to the axes has one bend of its own and may leave and arrive along either axis, whichever turns less;
// under the Euclidean metric a turn is counted by its angle in quarter turns.
func tidying(points []geom.Point, metric Metric, axis float64) *Secondary {
	if metric == Euclidean {
		return &Secondary{Turns: func(prev, at, next int) float64 {
			return bendAngle(points[prev], points[at], points[next])
		}, Crossing: crossingCost}
	}
	q := make([]geom.Point, len(points))
	lo, hi := math.Inf(1), math.Inf(-1)
	for i, p := range points {
		q[i] = turned(p, axis)
		lo, hi = math.Min(lo, math.Min(q[i].X, q[i].Y)), math.Max(hi, math.Max(q[i].X, q[i].Y))
	}
	flat := 1e-9 * (hi - lo) // offsets below this are rounding
	return &Secondary{Turns: func(prev, at, next int) float64 {
		return bendSquare(q[prev], q[at], q[next], flat)
	}, Crossing: crossingCost}
}

// bendAngle is the angle between two legs in quarter turns: 0 straight on, 2 straight back.
func bendAngle(a, b, c geom.Point) float64 {
	ux, uy, vx, vy := b.X-a.X, b.Y-a.Y, c.X-b.X, c.Y-b.Y
	if ux == 0 && uy == 0 || vx == 0 && vy == 0 {
		return 0
	}
	return math.Abs(math.Atan2(float64(ux*vy)-float64(uy*vx), float64(ux*vx)+float64(uy*vy))) / (math.Pi / 2)
}

// bendSquare counts the quarter turns at b and half of each leg's own bend. A leg may run in one axis direction, or in
// either of two if it is oblique; offsets up to flat are none.
func bendSquare(a, b, c geom.Point, flat float64) float64 {
	inX, inY := heading(b.X-a.X, flat), heading(b.Y-a.Y, flat)
	outX, outY := heading(c.X-b.X, flat), heading(c.Y-b.Y, flat)
	if inX == 0 && inY == 0 || outX == 0 && outY == 0 {
		return 0
	}
	turn := 2.0
	switch {
	case inX*outX > 0 || inY*outY > 0:
		turn = 0
	case inX*outY != 0 || inY*outX != 0:
		turn = 1
	}
	if inX*inY != 0 {
		turn += 0.5
	}
	if outX*outY != 0 {
		turn += 0.5
	}
	return turn
}

func heading(offset, flat float64) int {
	if math.Abs(offset) <= flat {
		return 0
	}
	return sign(offset)
}

// secondaryCost is the secondary cost of an order of places of the problem.
func secondaryCost(p *Problem, order []int) float64 {
	c := p.Secondary
	n := len(order)
	sum := 0.0
	if c.Turns != nil {
		for k := 1; k < n; k++ {
			if k+1 == n && (p.Open || n < 3) {
				break
			}
			sum += c.Turns(order[k-1], order[k], order[(k+1)%n])
		}
	}
	if c.Crossing == 0 || len(p.Points) == 0 {
		return sum
	}
	legs := n
	if p.Open {
		legs--
	}
	for k := range legs {
		for j := range k {
			if cross(p.Points[order[j]], p.Points[order[j+1]], p.Points[order[k]], p.Points[order[(k+1)%n]]) {
				sum += c.Crossing
			}
		}
	}
	return sum
}

// The secondary cost must fall, never rise, and the length stay within what was allowed.
func TestTidyWithinNear(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	var before, after float64
	for k := range 12 {
		p := Problem{Points: scatter(rng, 40), Metric: Metric(k % 2), Open: k%4 > 1}
		plain := mustSolve(t, p)
		p.Near, p.Secondary = someNear, tidying(p.Points, p.Metric, 0)
		tidied := mustSolve(t, p)
		a, b := secondaryCost(&p, plain.Order), secondaryCost(&p, tidied.Order)
		if b > a+1e-9 || tidied.Length > plain.Length*1.01*(1+1e-9) || tidied.Best != plain.Length {
			t.Errorf("set %d: cost %v to %v, length %v to %v", k, a, b, plain.Length, tidied.Length)
		}
		before, after = before+a, after+b
	}
	t.Logf("secondary cost %.1f to %.1f (%.1f %%)", before, after, 100*(after/before-1))
	if !(after < before) {
		t.Error("nothing was tidied in twelve sets")
	}
}

// Two rows of rooms along a corridor: going up one side and down the other is one step longer than the zigzag that
// this distance function makes shortest, and has no turns.
func TestTidyPrefersStraightRows(t *testing.T) {
	var q []geom.Point
	for i := range 20 {
		q = append(q, geom.Pt(float64(i/2), float64(i%2)))
	}
	zigzag := func(i, j int) float64 {
		a, b := q[i], q[j]
		d := math.Abs(a.X-b.X) + math.Abs(a.Y-b.Y)
		if a.X != b.X {
			d *= 1.001 // along the row a little dearer than across
		}
		return d
	}
	p := Problem{N: 20, Dist: zigzag, Points: q, Open: true, Near: 0.05, Secondary: tidying(q, Rectilinear, 0)}
	r := mustSolve(t, p)
	if cost := secondaryCost(&p, r.Order); cost > 2 {
		t.Errorf("two rows with %v turns: %v", cost, r.Order)
	}
}

// The change that the tidier computes from the legs of a move must equal the difference of whole costs.
func TestTidyChange(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t, 5, 25)
		if len(p.Points) == 0 {
			t.Skip("needs points")
		}
		p.Secondary = tidying(p.Points, p.Metric, p.Axis)
		in := newInstance(&p)
		s := &search{ring: newRing(in.greedy()), in: in, queued: make([]bool, in.n)}
		tid := &tidier{search: s, p: &p}
		tid.crossings = tid.countCrossings()
		var moves []move
		tid.each(int32(rapid.IntRange(0, in.n-1).Draw(t, "t1")), func(m move) { moves = append(moves, m) })
		if len(moves) == 0 {
			return
		}
		m := moves[rapid.IntRange(0, len(moves)-1).Draw(t, "move")]
		before := secondaryCost(&p, in.outward(s.order))
		change, _ := tid.change(&m, math.Inf(1))
		s.apply(&m)
		if s.in.free >= 0 && s.succ(in.start) != in.free && s.pred(in.start) != in.free {
			return // not a chain from the start
		}
		if got := secondaryCost(&p, in.outward(s.order)) - before; math.Abs(got-change) > 1e-9 {
			t.Fatalf("change %v, whole costs differ by %v", change, got)
		}
	})
}

func TestBends(t *testing.T) {
	for _, c := range []struct {
		b, c  geom.Point
		want  float64
		angle float64
	}{
		{geom.Pt(2, 0), geom.Pt(5, 0), 0, 0},         // straight on
		{geom.Pt(2, 0), geom.Pt(2, 3), 1, 1},         // a corner
		{geom.Pt(2, 0), geom.Pt(1, 0), 2, 2},         // back
		{geom.Pt(2, 0), geom.Pt(4, 2), 0.5, 0.5},     // an oblique leg: its own bend, half of it counted here
		{geom.Pt(2, 2), geom.Pt(4, 4), 1, 0},         // two oblique legs
		{geom.Pt(2, 0), geom.Pt(0, 2), 1 + 0.5, 1.5}, // back and aside: leaves sideways
		{geom.Pt(0, 0), geom.Pt(3, 0), 0, 0},         // coinciding places
	} {
		q := []geom.Point{geom.Pt(0, 0), c.b, c.c}
		if got := tidying(q, Rectilinear, 0).Turns(0, 1, 2); got != c.want {
			t.Errorf("%v %v: %v bends, want %v", c.b, c.c, got, c.want)
		}
		if got := tidying(q, Euclidean, 0).Turns(0, 1, 2); !same(got, c.angle) {
			t.Errorf("%v %v: %v quarter turns, want %v", c.b, c.c, got, c.angle)
		}
	}
}

func TestCross(t *testing.T) {
	q := []geom.Point{geom.Pt(0, 0), geom.Pt(2, 2), geom.Pt(0, 2), geom.Pt(2, 0), geom.Pt(1, 1)}
	if !cross(q[0], q[1], q[2], q[3]) || cross(q[0], q[2], q[1], q[3]) || cross(q[0], q[4], q[2], q[3]) {
		t.Error("diagonals cross, sides do not, touching is no crossing")
	}
}

// One device added to a numbered floor must not renumber it.
func TestEarlierOrderIsKept(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 22))
	for k := range 8 {
		p := Problem{Points: scatter(rng, 50), Open: k%2 == 0, Near: someNear}
		old := mustSolve(t, p)
		p.Points = append(p.Points, geom.Pt(rng.Float64()*60, rng.Float64()*40))
		p.Prefer = old.Order
		r := mustSolve(t, p)
		if !r.Kept {
			continue // allowed: the insertion was dearer than 1 %
		}
		if r.Length > r.Best*(1+someNear)*(1+1e-9) {
			t.Errorf("set %d: kept order is %.2f %% longer", k, 100*(r.Length/r.Best-1))
		}
		if without := slices.DeleteFunc(slices.Clone(r.Order), func(i int) bool { return i == 50 }); !slices.Equal(without, old.Order) {
			t.Errorf("set %d: the old order changed", k)
		}
	}
	p := Problem{Points: scatter(rng, 50), Near: someNear, Prefer: rng.Perm(50)}
	if r := mustSolve(t, p); r.Kept {
		t.Error("a random order is not near enough to keep")
	}
}

// Completing an order must put every missing place where it costs least.
func TestCompleted(t *testing.T) {
	q := []geom.Point{geom.Pt(0, 0), geom.Pt(10, 0), geom.Pt(20, 0), geom.Pt(30, 0), geom.Pt(14, 1), geom.Pt(31, 0)}
	p := Problem{Points: q, Open: true, Prefer: []int{1, 2, 3}}
	if got := p.completed(); !slices.Equal(got, []int{0, 1, 4, 2, 3, 5}) {
		t.Error(got)
	}
	p.Prefer = []int{3, 0, 1} // the start moves to the front of a chain
	if got := p.completed(); got[0] != 0 || len(got) != 6 {
		t.Error(got)
	}
	p.Open = false
	if got := p.completed(); got[0] != 0 || len(got) != 6 {
		t.Error(got)
	}
}

// How much the tidying takes off turns and crossings, what it adds in length, and what share of the time it needs.
func BenchmarkTidy(b *testing.B) {
	for _, n := range []int{60, 250, 1000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			p := Problem{Points: scatter(rand.New(rand.NewPCG(31, 32)), n), Metric: Rectilinear}
			near := p
			near.Near, near.Secondary = someNear, tidying(p.Points, p.Metric, 0)
			for b.Loop() {
				start := time.Now()
				plain := mustSolve(b, p)
				middle := time.Now()
				tidied := mustSolve(b, near)
				b.ReportMetric(100*(secondaryCost(&near, tidied.Order)/secondaryCost(&near, plain.Order)-1), "%secondary")
				b.ReportMetric(100*(tidied.Length/plain.Length-1), "%length")
				b.ReportMetric(float64(time.Since(middle))/float64(middle.Sub(start)), "time-ratio")
			}
		})
	}
}
