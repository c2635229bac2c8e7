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

// The secondary cost must fall, never rise, and the length stay within what was allowed.
func TestTidyWithinNear(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	var before, after float64
	for k := range 12 {
		p := Problem{Points: scatter(rng, 40), Metric: Metric(k % 2), Open: k%4 > 1}
		plain := mustSolve(t, p)
		p.Near, p.Secondary = someNear, Tidy(p.Points, p.Metric, 0)
		tidied := mustSolve(t, p)
		a, b := p.Secondary.Cost(&p, plain.Order), p.Secondary.Cost(&p, tidied.Order)
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
	p := Problem{N: 20, Dist: zigzag, Points: q, Open: true, Near: 0.05, Secondary: Tidy(q, Rectilinear, 0)}
	r := mustSolve(t, p)
	if cost := p.Secondary.Cost(&p, r.Order); cost > 2 {
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
		p.Secondary = Tidy(p.Points, p.Metric, p.Axis)
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
		before := p.Secondary.Cost(&p, in.outward(s.order))
		change, _ := tid.change(&m, math.Inf(1))
		s.apply(&m)
		if s.in.free >= 0 && s.succ(in.start) != in.free && s.pred(in.start) != in.free {
			return // not a chain from the start
		}
		if got := p.Secondary.Cost(&p, in.outward(s.order)) - before; math.Abs(got-change) > 1e-9 {
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
		if got := Tidy(q, Rectilinear, 0).Turns(0, 1, 2); got != c.want {
			t.Errorf("%v %v: %v bends, want %v", c.b, c.c, got, c.want)
		}
		if got := Tidy(q, Euclidean, 0).Turns(0, 1, 2); !same(got, c.angle) {
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
			near.Near, near.Secondary = someNear, Tidy(p.Points, p.Metric, 0)
			for b.Loop() {
				start := time.Now()
				plain := mustSolve(b, p)
				middle := time.Now()
				tidied := mustSolve(b, near)
				b.ReportMetric(100*(near.Secondary.Cost(&near, tidied.Order)/near.Secondary.Cost(&near, plain.Order)-1), "%secondary")
				b.ReportMetric(100*(tidied.Length/plain.Length-1), "%length")
				b.ReportMetric(float64(time.Since(middle))/float64(middle.Sub(start)), "time-ratio")
			}
		})
	}
}
