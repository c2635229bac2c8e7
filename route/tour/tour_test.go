package tour

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"loopwright/takeoff/geom"
)

// shortest tries all orders, which is the definition of the problem.
func shortest(p *Problem) float64 {
	order := []int{p.Start}
	for i := range p.size() {
		if i != p.Start {
			order = append(order, i)
		}
	}
	best := math.Inf(1)
	var try func(k int)
	try = func(k int) {
		if k == len(order) {
			best = math.Min(best, p.Length(order))
			return
		}
		for j := k; j < len(order); j++ {
			order[k], order[j] = order[j], order[k]
			try(k + 1)
			order[k], order[j] = order[j], order[k]
		}
	}
	try(1)
	return best
}

func drawProblem(t *rapid.T, least, most int) Problem {
	n := rapid.IntRange(least, most).Draw(t, "n")
	p := Problem{
		Metric: rapid.SampledFrom([]Metric{Euclidean, Rectilinear}).Draw(t, "metric"),
		Axis:   rapid.SampledFrom([]float64{0, 30, 90}).Draw(t, "axis"),
		Start:  rapid.IntRange(0, n-1).Draw(t, "start"),
		Open:   rapid.Bool().Draw(t, "open"),
	}
	coordinate := rapid.IntRange(0, 40) // coarse, so that ties and coinciding points come up
	for range n {
		p.Points = append(p.Points, geom.Pt(float64(coordinate.Draw(t, "x")), float64(coordinate.Draw(t, "y"))))
	}
	if rapid.Bool().Draw(t, "as function") {
		q := p
		p.N, p.Dist, p.Points = n, q.Distance, nil
	}
	return p
}

func mustSolve(t interface{ Fatal(...any) }, p Problem) Result {
	r, err := Solve(p)
	if err != nil {
		t.Fatal(err)
	}
	sorted := slices.Sorted(slices.Values(r.Order))
	for i, v := range sorted {
		if i != v {
			t.Fatal("not every place once:", r.Order)
		}
	}
	if len(sorted) != p.size() || r.Order[0] != p.Start {
		t.Fatal("wrong places or start:", r.Order)
	}
	if got := p.Length(r.Order); !same(got, r.Length) {
		t.Fatal("length", r.Length, "but measured", got)
	}
	if r.LowerBound > r.Best || r.Best > r.Length*(1+1e-9) {
		t.Fatal("bound, best, length out of order:", r.LowerBound, r.Best, r.Length)
	}
	return r
}

func same(a, b float64) bool { return math.Abs(a-b) <= 1e-7*(math.Abs(a)+math.Abs(b))+1e-12 }

func TestExactEqualsAllOrders(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t, 1, 8)
		r := mustSolve(t, p)
		if want := shortest(&p); !r.Exact || !same(r.Length, want) {
			t.Fatalf("length %v, shortest of all orders %v", r.Length, want)
		}
	})
}

func TestNineAllOrders(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 9))
	for range 6 {
		p := Problem{Points: scatter(rng, 9), Open: rng.IntN(2) == 0}
		if r, want := mustSolve(t, p), shortest(&p); !same(r.Length, want) {
			t.Fatalf("length %v, shortest of all orders %v", r.Length, want)
		}
	}
}

func scatter(rng *rand.Rand, n int) []geom.Point {
	q := make([]geom.Point, n)
	for i := range q {
		q[i] = geom.Pt(rng.Float64()*60, rng.Float64()*40)
	}
	return q
}

// The search must find what dynamic programming proves, where both can be run.
func TestSearchEqualsExact(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for k := range 40 {
		p := Problem{Points: scatter(rng, exactLimit), Open: k%2 == 0, Metric: Metric(k / 2 % 2)}
		want := mustSolve(t, p)
		in := newInstance(&p)
		ring, _ := in.anneal(nil, 0)
		if got := p.Length(in.outward(ring)); !same(got, want.Length) {
			t.Errorf("set %d: search %v, exact %v", k, got, want.Length)
		}
		if bound := in.lowerBound(ring) * in.unit; bound > want.Length*(1+1e-9) || bound < 0.8*want.Length {
			t.Errorf("set %d: bound %v, shortest %v", k, bound, want.Length)
		}
	}
}

// Places on a circle: the shortest tour is the polygon, the shortest chain leaves one side out.
func TestCircle(t *testing.T) {
	for _, n := range []int{3, 7, 12, 13, 50, 200} {
		var q []geom.Point
		for k := range n {
			a := 2 * math.Pi * float64(k*7%n) / float64(n)
			if n%7 == 0 {
				a = 2 * math.Pi * float64(k) / float64(n)
			}
			q = append(q, geom.Pt(100+10*math.Cos(a), 10*math.Sin(a)))
		}
		side := 20 * math.Sin(math.Pi/float64(n))
		if r := mustSolve(t, Problem{Points: q}); !same(r.Length, side*float64(n)) {
			t.Errorf("%d on a circle: %v, polygon %v", n, r.Length, side*float64(n))
		}
		if r := mustSolve(t, Problem{Points: q, Open: true}); !same(r.Length, side*float64(n-1)) {
			t.Errorf("%d on a circle: chain %v, want %v", n, r.Length, side*float64(n-1))
		}
	}
}

// A full grid with an even side has a tour of one step per place, and one of odd sides needs a diagonal (or, along
// the axes, one more step).
func TestFullGrid(t *testing.T) {
	for _, c := range []struct {
		w, h   int
		metric Metric
		want   float64
	}{
		{4, 4, Euclidean, 16}, {6, 5, Rectilinear, 30}, {10, 10, Euclidean, 100}, {20, 15, Rectilinear, 300},
		{5, 5, Euclidean, 24 + math.Sqrt2}, {7, 5, Rectilinear, 36}, {2, 40, Euclidean, 80},
	} {
		var q []geom.Point
		for i := range c.w * c.h {
			q = append(q, geom.Pt(float64(i%c.w), float64(i/c.w)))
		}
		r := mustSolve(t, Problem{Points: q, Metric: c.metric})
		if !same(r.Length, c.want) {
			t.Errorf("grid %d x %d: %v, want %v", c.w, c.h, r.Length, c.want)
		}
		if chain := mustSolve(t, Problem{Points: q, Metric: c.metric, Open: true}); !same(chain.Length, float64(c.w*c.h-1)) {
			t.Errorf("grid %d x %d: chain %v, want %d", c.w, c.h, chain.Length, c.w*c.h-1)
		}
	}
}

// Length is a property of the set: order, shift, quarter turn, mirror image and unit must not matter.
func TestLengthIgnoresFrame(t *testing.T) {
	images := []func(geom.Point) geom.Point{
		func(q geom.Point) geom.Point { return geom.Pt(q.X+1024, q.Y-77) },
		func(q geom.Point) geom.Point { return geom.Pt(-q.Y, q.X) },
		func(q geom.Point) geom.Point { return geom.Pt(-q.X, q.Y) },
		func(q geom.Point) geom.Point { return geom.Pt(q.Y, q.X) },
		func(q geom.Point) geom.Point { return geom.Pt(4*q.X, 4*q.Y) },
	}
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t, 4, 60)
		if p.Dist != nil || p.Axis == 30 {
			p.Dist, p.Axis = nil, 0
			for range p.N {
				p.Points = append(p.Points, geom.Pt(rapid.Float64Range(0, 50).Draw(t, "x"), rapid.Float64Range(0, 50).Draw(t, "y")))
			}
		}
		want := mustSolve(t, p).Length
		k := rapid.IntRange(0, len(images)-1).Draw(t, "image")
		perm := rapid.Permutation(indices(len(p.Points))).Draw(t, "permutation")
		q := p
		q.Points = make([]geom.Point, len(p.Points))
		for i, j := range perm {
			q.Points[j] = images[k](p.Points[i])
		}
		q.Start = perm[p.Start]
		if k == 4 {
			want *= 4
		}
		if got := mustSolve(t, q).Length; !same(got, want) {
			t.Fatalf("image %d: length %v, was %v", k, got, want)
		}
	})
}

func indices(n int) []int {
	list := make([]int, n)
	for i := range list {
		list[i] = i
	}
	return list
}

// A distance function must give the same as the points it measures, whatever their order.
func TestFunctionIgnoresInputOrder(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	q := scatter(rng, 70)
	at := Problem{Points: q, Metric: Rectilinear}
	perm := rng.Perm(70)
	a := mustSolve(t, Problem{N: 70, Dist: at.Distance})
	b := mustSolve(t, Problem{N: 70, Dist: func(i, j int) float64 { return at.Distance(perm[i], perm[j]) }, Start: slices.Index(perm, 0)})
	if a.Length != b.Length && !same(a.Length, b.Length) {
		t.Errorf("length %v, in another order %v", a.Length, b.Length)
	}
}

// Every move must change the length by exactly its gain; that is what makes the search honest.
func TestMovesGainWhatTheySay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t, 5, 30)
		p.Secondary = &Secondary{}
		in := newInstance(&p)
		s := &search{ring: newRing(in.greedy()), in: in, queued: make([]bool, in.n)}
		tid := &tidier{search: s, p: &p}
		for range 5 {
			var moves []move
			tid.each(int32(rapid.IntRange(0, in.n-1).Draw(t, "t1")), func(m move) { moves = append(moves, m) })
			if len(moves) == 0 {
				continue
			}
			m := moves[rapid.IntRange(0, len(moves)-1).Draw(t, "move")]
			before, was := in.length(s.order), slices.Clone(s.order)
			s.log = s.log[:0]
			s.apply(&m)
			if got := before - in.length(s.order); got != m.gain {
				t.Fatalf("move %+v gained %d", m, got)
			}
			s.undo()
			if !slices.Equal(was, s.order) {
				t.Fatal("undo did not restore the ring")
			}
			s.apply(&m)
		}
	})
}

func TestDirection(t *testing.T) {
	// From place 0 the first leg is the shorter one; with equal legs the lower index comes first.
	r := mustSolve(t, Problem{Points: []geom.Point{geom.Pt(0, 0), geom.Pt(5, 0), geom.Pt(5, 3), geom.Pt(0, 3)}})
	if !slices.Equal(r.Order, []int{0, 3, 2, 1}) {
		t.Error("rectangle:", r.Order)
	}
	r = mustSolve(t, Problem{Points: []geom.Point{geom.Pt(0, 0), geom.Pt(5, 0), geom.Pt(5, 5), geom.Pt(0, 5)}})
	if !slices.Equal(r.Order, []int{0, 1, 2, 3}) {
		t.Error("square:", r.Order)
	}
}

func TestErrors(t *testing.T) {
	line := func(i, j int) float64 { return math.Abs(float64(i - j)) }
	for name, p := range map[string]Problem{
		"none":        {},
		"start":       {Points: []geom.Point{{}}, Start: 1},
		"nan":         {Points: []geom.Point{geom.Pt(math.NaN(), 0)}},
		"infinite":    {Points: []geom.Point{geom.Pt(0, math.Inf(1))}},
		"asymmetric":  {N: 2, Dist: func(i, j int) float64 { return float64(i) }},
		"negative":    {N: 2, Dist: func(i, j int) float64 { return -1 }},
		"prefer":      {N: 3, Dist: line, Prefer: []int{1, 1}},
		"prefer far":  {N: 3, Dist: line, Prefer: []int{3}},
		"near":        {N: 3, Dist: line, Near: -1},
		"point count": {N: 3, Dist: line, Points: []geom.Point{{}}},
		"metric":      {Points: []geom.Point{{}}, Metric: 7},
	} {
		if _, err := Solve(p); !errors.Is(err, errProblem) {
			t.Errorf("%s: error %v", name, err)
		}
	}
}

// Coinciding places, collinear places and one far outlier are ordinary input.
func TestDegenerate(t *testing.T) {
	same := make([]geom.Point, 30)
	if r := mustSolve(t, Problem{Points: same}); r.Length != 0 {
		t.Error("coinciding:", r.Length)
	}
	var line []geom.Point
	for i := range 40 {
		line = append(line, geom.Pt(3, float64(i*17%40)))
	}
	if r := mustSolve(t, Problem{Points: line}); math.Abs(r.Length-78) > 1e-6 {
		t.Error("collinear:", r.Length)
	}
	if r := mustSolve(t, Problem{Points: line, Open: true}); math.Abs(r.Length-39) > 1e-6 {
		t.Error("collinear chain:", r.Length)
	}
	line[7] = geom.Pt(1e6, 0)
	mustSolve(t, Problem{Points: line, Open: true})
}

func TestSameSeedSameOrder(t *testing.T) {
	q := scatter(rand.New(rand.NewPCG(5, 6)), 150)
	a, b := mustSolve(t, Problem{Points: q, Seed: 7}), mustSolve(t, Problem{Points: q, Seed: 7})
	if !slices.Equal(a.Order, b.Order) {
		t.Error("two runs differ")
	}
}

// A search that goes on is never worse, and its length is that of its ring.
func TestLongerIsNeverWorse(t *testing.T) {
	for _, open := range []bool{false, true} {
		in := newInstance(&Problem{Points: scatter(rand.New(rand.NewPCG(7, 6)), 120), Open: open})
		a := in.annealing(nil, 1)
		for round := range 8 {
			was := a.length
			if saved := a.round(40 << round); saved != was-a.length || saved < 0 || in.length(a.best) != a.length {
				t.Errorf("round %d: from %d to %d, told %d, the ring measures %d", round, was, a.length, saved, in.length(a.best))
			}
		}
	}
}

// Places on one spot leave nothing to find, and the search ends.
func TestOneSpot(t *testing.T) {
	for _, open := range []bool{false, true} {
		if r := mustSolve(t, Problem{Points: make([]geom.Point, 30), Open: open}); r.Length != 0 || len(r.Order) != 30 {
			t.Errorf("open %v: %v of %d places", open, r.Length, len(r.Order))
		}
	}
}

// More places than a matrix is kept for: their distances are computed, and the tour is the same.
func TestManyPlaces(t *testing.T) {
	defer func(m, s int) { matrixLimit, storeLimit = m, s }(matrixLimit, storeLimit)
	rng := rand.New(rand.NewPCG(8, 8))
	for k := range 8 {
		p := Problem{Points: scatter(rng, 60), Metric: Metric(k % 2), Open: k/2%2 == 1}
		if k/4 == 1 {
			by := p
			p = Problem{N: len(p.Points), Dist: by.Distance, Open: p.Open}
		}
		matrixLimit, storeLimit = 100, 100
		want := mustSolve(t, p)
		matrixLimit, storeLimit = 50, 50
		if got := mustSolve(t, p); !slices.Equal(got.Order, want.Order) || got.LowerBound != want.LowerBound {
			t.Errorf("set %d: length %v without a matrix, %v with one", k, got.Length, want.Length)
		}
	}
}
