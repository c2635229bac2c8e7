package loops

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"loopwright/route/tour"
	"loopwright/takeoff/geom"
)

// audit recomputes everything a result says, independently of the solver's bookkeeping.
func audit(t interface{ Fatalf(string, ...any) }, p *Problem, r *Result) {
	dist := p.distance()
	n := p.size()
	seen := make([]bool, n)
	seen[p.Depot] = true
	length, cost := 0.0, 0.0
	for k, route := range r.Routes {
		if len(route) == 0 {
			t.Fatalf("route %d is empty", k)
		}
		load := make([]float64, len(p.Capacity))
		way, groups := 0.0, map[int]bool{}
		at := p.Depot
		for _, v := range route {
			if seen[v] {
				t.Fatalf("place %d twice", v)
			}
			seen[v] = true
			way += dist(at, v)
			at = v
			for i := range load {
				load[i] += p.Demand[i][v]
			}
			if p.Group != nil {
				groups[p.Group[v]] = true
			}
		}
		if !p.Open {
			way += dist(at, p.Depot)
		}
		for i := range load {
			if load[i] > p.Capacity[i]*(1+1e-8) {
				t.Fatalf("route %d carries %v of %v", k, load[i], p.Capacity[i])
			}
		}
		length += way
		cost += way + p.GroupCost*float64(max(0, len(groups)-1))
		for _, v := range route {
			if p.Extra != nil {
				way += p.Extra[v]
			}
		}
		if p.MaxLength > 0 && way > p.MaxLength*(1+1e-6) {
			t.Fatalf("route %d is %v long, limit %v", k, way, p.MaxLength)
		}
		if m := moment(p, route); p.MaxMoment > 0 && m > p.MaxMoment*(1+1e-6) {
			t.Fatalf("route %d has a moment of %v, limit %v", k, m, p.MaxMoment)
		}
	}
	if slices.Contains(seen, false) {
		t.Fatalf("a place is on no route: %v", r.Routes)
	}
	if math.Abs(length-r.Length) > 1e-6*(1+length) || math.Abs(cost-r.Cost) > 1e-6*(1+cost) {
		t.Fatalf("length %v and cost %v, audited %v and %v", r.Length, r.Cost, length, cost)
	}
	if r.LowerBound > r.Cost*(1+1e-9) || len(r.Routes) < r.FewestEver {
		t.Fatalf("bounds %v, %d above the answer %v, %d", r.LowerBound, r.FewestEver, r.Cost, len(r.Routes))
	}
}

// moment is the greatest of a route over its resources, and its ends if it is closed: the definition, place by place.
func moment(p *Problem, route []int) float64 {
	dist, most := p.distance(), 0.0
	extra := func(v int) float64 {
		if p.Extra == nil {
			return 0
		}
		return p.Extra[v]
	}
	ends := [][]int{route}
	if !p.Open {
		back := slices.Clone(route)
		slices.Reverse(back)
		ends = append(ends, back)
	}
	for _, from := range ends {
		for _, demand := range p.Demand {
			at, way, sum := p.Depot, p.Lead, 0.0
			for _, v := range from {
				way += dist(at, v) + extra(v)
				sum += demand[v] * way
				at = v
			}
			most = math.Max(most, sum)
		}
	}
	return most
}

// cheapest tries all splits and orders by dynamic programming over subsets: the definition of the problem.
func cheapest(p *Problem) (cost float64, fewest int, fewestCost float64) {
	var places []int
	for i := range p.size() {
		if i != p.Depot {
			places = append(places, i)
		}
	}
	m := len(places)
	one := make([]float64, 1<<m) // least cost of one route over a subset
	for set := 1; set < 1<<m; set++ {
		one[set] = math.Inf(1)
		var list []int
		groups := map[int]bool{}
		extra, fits := 0.0, true
		for r := range p.Capacity {
			load := 0.0
			for k, i := range places {
				if set>>k&1 == 1 {
					load += p.Demand[r][i]
				}
			}
			fits = fits && load <= p.Capacity[r]
		}
		for k, i := range places {
			if set>>k&1 == 1 {
				list = append(list, i)
				if p.Group != nil {
					groups[p.Group[i]] = true
				}
				if p.Extra != nil {
					extra += p.Extra[i]
				}
			}
		}
		if !fits {
			continue
		}
		way := shortestRoute(p, list)
		if p.MaxLength > 0 && way+extra > p.MaxLength {
			continue
		}
		one[set] = way + p.GroupCost*float64(len(groups)-1)
	}
	best := make([][]float64, m+1) // routes, subset
	for k := range best {
		best[k] = make([]float64, 1<<m)
		for set := range best[k] {
			best[k][set] = math.Inf(1)
		}
	}
	best[0][0] = 0
	cost, fewestCost = math.Inf(1), math.Inf(1)
	full := 1<<m - 1
	for k := 1; k <= m; k++ {
		for set := 1; set < 1<<m; set++ {
			for sub := set; sub > 0; sub = (sub - 1) & set {
				best[k][set] = math.Min(best[k][set], best[k-1][set&^sub]+one[sub])
			}
		}
		cost = math.Min(cost, best[k][full])
		if fewest == 0 && !math.IsInf(best[k][full], 1) {
			fewest, fewestCost = k, best[k][full]
		}
	}
	return cost, fewest, fewestCost
}

func shortestRoute(p *Problem, list []int) float64 {
	dist, depot, open := p.distance(), p.Depot, p.Open
	best := math.Inf(1)
	var try func(k int, at int, way float64)
	try = func(k int, at int, way float64) {
		if k == len(list) {
			if !open {
				way += dist(at, depot)
			}
			if p.MaxMoment == 0 || moment(p, list) <= p.MaxMoment {
				best = math.Min(best, way)
			}
			return
		}
		for j := k; j < len(list); j++ {
			list[k], list[j] = list[j], list[k]
			try(k+1, list[k], way+dist(at, list[k]))
			list[k], list[j] = list[j], list[k]
		}
	}
	try(0, depot, 0)
	return best
}

func drawProblem(t *rapid.T, most int) Problem {
	n := rapid.IntRange(2, most).Draw(t, "n")
	p := Problem{Open: rapid.Bool().Draw(t, "open"), Depot: rapid.IntRange(0, n-1).Draw(t, "depot")}
	p.Metric = rapid.SampledFrom([]tour.Metric{tour.Euclidean, tour.Rectilinear}).Draw(t, "metric")
	for range n {
		p.Points = append(p.Points, geom.Point{X: float64(rapid.IntRange(0, 30).Draw(t, "x")), Y: float64(rapid.IntRange(0, 30).Draw(t, "y"))})
	}
	for range rapid.IntRange(1, 2).Draw(t, "resources") {
		row := make([]float64, n)
		for i := range row {
			row[i] = float64(rapid.IntRange(0, 4).Draw(t, "need"))
		}
		p.Demand, p.Capacity = append(p.Demand, row), append(p.Capacity, float64(rapid.IntRange(4, 10).Draw(t, "capacity")))
	}
	if rapid.Bool().Draw(t, "groups") {
		p.GroupCost = float64(rapid.IntRange(1, 20).Draw(t, "group cost"))
		for range n {
			p.Group = append(p.Group, rapid.IntRange(0, 2).Draw(t, "group"))
		}
	}
	if rapid.Bool().Draw(t, "moment") { // what is farthest must fit alone: it needs 4 over a way of 60 at most
		p.Lead = float64(rapid.IntRange(0, 3).Draw(t, "lead"))
		// No sum of whole numbers is at the limit exactly, where loads rounded up are over it.
		p.MaxMoment = float64(rapid.IntRange(4*(60+3+4), 1000).Draw(t, "max moment")) + 0.5
	}
	if rapid.Bool().Draw(t, "limit") {
		p.MaxLength = float64(rapid.IntRange(125, 200).Draw(t, "max length"))
		for range n {
			p.Extra = append(p.Extra, float64(rapid.IntRange(0, 4).Draw(t, "extra")))
		}
	}
	return p
}

// On up to seven places the search must find the cheapest of all splits.
func TestSolveEqualsAllSplits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t, 7)
		want, fewest, fewestCost := cheapest(&p)
		r, err := Solve(p)
		if err != nil {
			t.Fatal(err)
		}
		audit(t, &p, &r)
		if r.Cost > want*(1+1e-6)+1e-6 || r.Cost < want*(1-1e-6)-1e-6 {
			t.Fatalf("cost %v, cheapest of all splits %v: %v", r.Cost, want, r.Routes)
		}
		p.Fewest = true
		if r, err = Solve(p); err != nil {
			t.Fatal(err)
		}
		audit(t, &p, &r)
		if len(r.Routes) != fewest || r.Cost > fewestCost*(1+1e-6)+1e-6 {
			t.Fatalf("%d routes at %v, possible %d at %v", len(r.Routes), r.Cost, fewest, fewestCost)
		}
	})
}

func TestLargerSplitsAreSound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t, 12)
		p.Fewest = rapid.Bool().Draw(t, "fewest")
		r, err := Solve(p)
		if err != nil {
			t.Fatal(err)
		}
		audit(t, &p, &r)
	})
}

// A search that goes on is never worse: each round begins with the best split before it and keeps what is better.
func TestLongerIsNeverWorse(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2))
	for _, fewest := range []bool{false, true} {
		p := Problem{Demand: [][]float64{nil}, Capacity: []float64{17}, Fewest: fewest}
		for range 60 {
			p.Points = append(p.Points, geom.Point{X: rng.Float64() * 50, Y: rng.Float64() * 30})
			p.Demand[0] = append(p.Demand[0], float64(1+rng.IntN(5)))
		}
		in, err := newInstance(&p)
		if err != nil {
			t.Fatal(err)
		}
		s := newState(in)
		s.savings()
		best := found{s.lists(), s.cost}
		for round := range 12 {
			was := best
			best = further(in, best, 50<<round/3, 1/float64(1+round%3), uint64(round), fewest)
			s.restore(best.routes)
			if s.cost != best.cost {
				t.Fatalf("round %d: a split of cost %d is called %d", round, s.cost, best.cost)
			}
			if fewer := len(best.routes) < len(was.routes); best.cost > was.cost && !(fewest && fewer) || fewest && len(best.routes) > len(was.routes) {
				t.Errorf("round %d: %d routes at %d after %d at %d", round, len(best.routes), best.cost, len(was.routes), was.cost)
			}
		}
	}
}

// One loop that holds everything is a tour, which the tour solver proves.
func TestOneLoopIsATour(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 5 {
		p := Problem{Demand: [][]float64{nil}, Capacity: []float64{11}}
		for range 12 {
			p.Points = append(p.Points, geom.Point{X: rng.Float64() * 50, Y: rng.Float64() * 30})
			p.Demand[0] = append(p.Demand[0], 1)
		}
		r, err := Solve(p)
		if err != nil {
			t.Fatal(err)
		}
		want, err := tour.Solve(tour.Problem{Points: p.Points})
		if err != nil {
			t.Fatal(err)
		}
		if len(r.Routes) != 1 || math.Abs(r.Cost-want.Length) > 1e-6 {
			t.Errorf("%d loops of %v, tour %v", len(r.Routes), r.Cost, want.Length)
		}
	}
}

// Two clusters on either side of the depot, each just filling a loop.
func TestTwoClusters(t *testing.T) {
	p := Problem{Points: []geom.Point{{}}, Demand: [][]float64{{0}}, Capacity: []float64{2.5}}
	for k := range 50 { // 25 places of 0.1 A on each side: decimal amounts must add up to the capacity
		side := float64(1 - 2*(k%2))
		p.Points = append(p.Points, geom.Point{X: side * (20 + float64(k/2%5)), Y: float64(k / 10)})
		p.Demand[0] = append(p.Demand[0], 0.1)
	}
	r, err := Solve(p)
	if err != nil {
		t.Fatal(err)
	}
	audit(t, &p, &r)
	if len(r.Routes) != 2 {
		t.Errorf("%d routes, want one to each side", len(r.Routes))
	}
	for _, route := range r.Routes {
		for _, v := range route {
			if p.Points[v].X*p.Points[route[0]].X < 0 {
				t.Errorf("a route crosses the depot: %v", route)
			}
		}
	}
}

// The outcome must not depend on the order of input, and two runs must agree.
func TestSameAnswer(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	p := Problem{Demand: [][]float64{nil}, Capacity: []float64{12}}
	for range 80 {
		p.Points = append(p.Points, geom.Point{X: rng.Float64() * 50, Y: rng.Float64() * 30})
		p.Demand[0] = append(p.Demand[0], float64(1+rng.IntN(3)))
	}
	a, err := Solve(p)
	if err != nil {
		t.Fatal(err)
	}
	b, _ := Solve(p)
	if !slices.EqualFunc(a.Routes, b.Routes, slices.Equal) {
		t.Error("two runs differ")
	}
	perm := rng.Perm(80)
	q := p
	q.Points, q.Demand = make([]geom.Point, 80), [][]float64{make([]float64, 80)}
	for i, j := range perm {
		q.Points[j], q.Demand[0][j] = p.Points[i], p.Demand[0][i]
	}
	q.Depot = perm[0]
	if c, _ := Solve(q); math.Abs(c.Cost-a.Cost) > 1e-6 {
		t.Errorf("cost %v, in another order %v", a.Cost, c.Cost)
	}
}

func TestErrors(t *testing.T) {
	base := func() Problem {
		return Problem{Points: make([]geom.Point, 3), Demand: [][]float64{{0, 1, 2}}, Capacity: []float64{2}}
	}
	for name, c := range map[string]struct {
		change func(*Problem)
		want   error
	}{
		"none":      {func(p *Problem) { p.Points = nil }, errProblem},
		"depot":     {func(p *Problem) { p.Depot = 3 }, errProblem},
		"resources": {func(p *Problem) { p.Capacity = nil }, errProblem},
		"demands":   {func(p *Problem) { p.Demand[0] = p.Demand[0][:2] }, errProblem},
		"nan":       {func(p *Problem) { p.Demand[0][1] = math.NaN() }, errProblem},
		"negative":  {func(p *Problem) { p.MaxLength = -1 }, errProblem},
		"moment":    {func(p *Problem) { p.MaxMoment = math.Inf(1) }, errProblem},
		"too heavy": {func(p *Problem) { p.Points[1].X, p.MaxMoment = 100, 99 }, ErrInfeasible},
		"groups":    {func(p *Problem) { p.Group = []int{0} }, errProblem},
		"point":     {func(p *Problem) { p.Points[1].X = math.Inf(1) }, errProblem},
		"too big":   {func(p *Problem) { p.Demand[0][2] = 3 }, ErrInfeasible},
		"too far": {func(p *Problem) {
			p.Points[1].X = 100
			p.MaxLength = 150
		}, ErrInfeasible},
		"nothing to give": {func(p *Problem) { p.Capacity[0] = 0 }, ErrInfeasible},
	} {
		p := base()
		c.change(&p)
		if _, err := Solve(p); !errors.Is(err, c.want) {
			t.Errorf("%s: error %v", name, err)
		}
	}
	p := base()
	if r, err := Solve(p); err != nil || len(r.Routes) != 2 {
		t.Error(r, err)
	}
	if r, err := Solve(Problem{Points: make([]geom.Point, 1)}); err != nil || len(r.Routes) != 0 {
		t.Error("the depot alone:", r, err)
	}
}
