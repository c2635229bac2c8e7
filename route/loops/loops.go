// Package loops splits places among circuits of limited capacity and orders each: every circuit begins at the depot
// (the panel) and comes back to it, or is a chain with a free end. In the literature this is the capacitated vehicle
// routing problem. It is a pure solver: distances, demands and limits in, routes out.
//
// The start is by savings (Clarke and Wright, Operations Research 12, 1964); the search ruins strings of neighbours
// and recreates them by greedy insertion with blinks (Christiaens and Vanden Berghe, "Slack induction by string
// removals for vehicle routing problems", Transportation Science 54, 2020), accepts by annealing, and lets a route carry
// too much for a while at a price that follows how often it does. At the end every loop is ordered by package tour,
// which orders better than cold ruins would.
//
// The search stops by itself: a hot round of so many iterations for each place, then warm ones of half its length, each
// from the best split before it, until one saves neither a route nor a thousandth of the cost. A further round is never
// worse. Length is counted in iterations and never by the clock, so the same input gives the same routes on every machine.
//
// Insertion looks only at positions beside the nearest places and at the ends of routes, and leaves a leg unseen whose far
// end cannot be near enough; changes are undone one by one from a log. The lower bound (spanning tree and depot legs; for
// points also the radial bound) holds but is weak.
//
// A limit on demand times way (MaxMoment) is kept by what each route remembers of its ways and loads, so that a position is
// judged without a walk along the route.
//
//	go test -run xxx -bench 'CVRPLIB|Level|Growth|Moment' -benchtime 1x ./route/loops
//
// Orders and splits are checked against exhaustive search in small cases, and against GLPK with subtour cuts.
package loops

import (
	"errors"
	"fmt"
	"math"

	"loopwright/route/tour"
	"loopwright/takeoff/geom"
)

// Problem is what has to be split. The zero value of each option is its plain meaning.
type Problem struct {
	// Points and Metric give the distances, or else N and Dist do: symmetric, finite, not negative.
	Points []geom.Point
	Metric tour.Metric
	Axis   float64 // degrees by which the rectilinear axes are turned
	N      int
	Dist   func(i, j int) float64

	Depot int
	Open  bool // chains with a free end instead of closed loops

	// Demand holds for each resource (addresses, amperes) what each place needs; Capacity what one route offers.
	Demand   [][]float64
	Capacity []float64

	// MaxLength is a hard limit on each route's length together with the Extra of its places; 0 means none. Series
	// resistance can be given as the length of cable that has it.
	MaxLength float64
	Extra     []float64

	// MaxMoment is a hard limit on what the demands of a route's places add up to, each times the length from the depot to
	// its place, that of Lead and of the Extra on the way and at the place included; in a closed route also counted from
	// its other end. It holds for each resource; 0 means none. A drop of voltage can be given as the moment that makes it.
	MaxMoment float64
	Lead      float64

	// Group numbers the group (a level, a zone) of each place, from 0; GroupCost is added, in the unit of length,
	// for every group beyond the first that a route touches. The depot's group does not count.
	Group     []int
	GroupCost float64

	// PartOf is the number of places of a larger problem that this is a part of, or 0: a search of the whole and
	// searches of its parts then take about as long.
	PartOf int

	Fewest bool // fewest routes first, then least cost; otherwise least cost
	Seed   uint64
}

// Result lists the routes.
type Result struct {
	Routes     [][]int // places in order, without the depot; routes sorted by their smallest place
	Cost       float64 // lengths and group costs
	Length     float64 // lengths alone, the ways from the depot and, if closed, back to it included
	LowerBound float64 // a cost that no split can undercut
	FewestEver int     // a number of routes that no split can undercut
	Iterations int
}

// Errors that Solve wraps.
var (
	errProblem    = errors.New("loops")            // the problem makes no sense
	ErrInfeasible = errors.New("loops infeasible") // some place fits no route at all
)

// Solve splits the places of p among routes. It fails with ErrInfeasible, naming the place, if one place alone
// exceeds a capacity or the length limit.
func Solve(p Problem) (Result, error) {
	if err := p.check(); err != nil {
		return Result{}, err
	}
	in, err := newInstance(&p)
	if err != nil {
		return Result{}, err
	}
	r := Result{FewestEver: in.fewestEver()}
	if in.n == 1 {
		return r, nil
	}
	s := newState(in)
	s.savings()
	routes := s.lists()
	if !p.Fewest || s.used > 1 { // one route for all can only be ordered, which is done below
		routes, r.Iterations = seek(s, &p)
	}
	if err := in.order(&p, routes); err != nil {
		return Result{}, err
	}
	in.report(&p, routes, &r)
	return r, nil
}

func (p *Problem) size() int {
	if p.Dist != nil {
		return p.N
	}
	return len(p.Points)
}

func (p *Problem) check() error {
	n := p.size()
	bad := func(format string, args ...any) error {
		return fmt.Errorf("%w: "+format, append([]any{errProblem}, args...)...)
	}
	good := func(v float64) bool { return v >= 0 && v < 1e150 }
	switch {
	case n < 1:
		return bad("no places")
	case n > placeLimit:
		return bad("%d places are too many for one split, %d at most; divide them among panels or levels first", n, placeLimit)
	case p.Depot < 0 || p.Depot >= n:
		return bad("depot %d is not one of the %d places", p.Depot, n)
	case len(p.Demand) != len(p.Capacity):
		return bad("%d demands for %d capacities", len(p.Demand), len(p.Capacity))
	case p.Extra != nil && len(p.Extra) != n:
		return bad("%d extra lengths for %d places", len(p.Extra), n)
	case p.Group != nil && len(p.Group) != n:
		return bad("%d groups for %d places", len(p.Group), n)
	case !good(p.MaxMoment) || !good(p.Lead):
		return bad("moment limit %v or lead %v is not a number from 0 up", p.MaxMoment, p.Lead)
	case !good(p.MaxLength) || !good(p.GroupCost):
		return bad("length limit %v or group cost %v is not a number from 0 up", p.MaxLength, p.GroupCost)
	}
	for r, row := range p.Demand {
		if len(row) != n {
			return bad("resource %d has %d demands for %d places", r, len(row), n)
		}
		for i, v := range row {
			if !good(v) {
				return bad("place %d needs %v of resource %d", i, v, r)
			}
		}
		if !good(p.Capacity[r]) {
			return bad("capacity %v of resource %d", p.Capacity[r], r)
		}
	}
	for i := range n {
		if p.Extra != nil && !good(p.Extra[i]) {
			return bad("place %d has extra length %v", i, p.Extra[i])
		}
		if p.Group != nil && (p.Group[i] < 0 || p.Group[i] > 1<<20) {
			return bad("place %d is in group %d", i, p.Group[i])
		}
	}
	// tour.Solve checks points and distances the same way; no tour is needed for that.
	at := tour.Problem{Points: p.Points, Metric: p.Metric, Axis: p.Axis, N: p.N, Dist: p.Dist, Start: p.Depot}
	if err := at.Check(); err != nil {
		return fmt.Errorf("%w: %w", errProblem, err)
	}
	return nil
}

// distance answers in the caller's unit.
func (p *Problem) distance() func(i, j int) float64 {
	if p.Dist != nil {
		return p.Dist
	}
	at := tour.Problem{Points: p.Points, Metric: p.Metric, Axis: p.Axis}
	return at.Distance
}

// order runs every route through the tour solver and keeps what is shorter.
func (in *instance) order(p *Problem, routes [][]int32) error {
	dist := p.distance()
	for k, route := range routes {
		places := []int{p.Depot}
		for _, v := range route {
			places = append(places, in.place[v])
		}
		one := tour.Problem{
			N: len(places), Dist: func(i, j int) float64 { return dist(places[i], places[j]) },
			Open: p.Open, Seed: p.Seed, NoBound: true,
		}
		was := make([]int, len(places))
		for i := range was {
			was[i] = i
		}
		one.Begin = was
		best, err := tour.Solve(one)
		if err != nil {
			return fmt.Errorf("%w: %w", errProblem, err)
		}
		if best.Length < one.Length(was) {
			ordered := make([]int32, len(route))
			for i, j := range best.Order[1:] {
				ordered[i] = int32(in.node(places[j]))
			}
			if !in.strained(ordered) {
				routes[k] = ordered
			}
		}
	}
	return nil
}

func (in *instance) report(p *Problem, routes [][]int32, r *Result) {
	dist := p.distance()
	for _, route := range routes {
		out := make([]int, len(route))
		at, groups := p.Depot, map[int]bool{}
		for k, v := range route {
			out[k] = in.place[v]
			r.Length += dist(at, out[k])
			at = out[k]
			if p.Group != nil {
				groups[p.Group[at]] = true
			}
		}
		if !p.Open {
			r.Length += dist(at, p.Depot)
		}
		if len(groups) > 1 {
			r.Cost += p.GroupCost * float64(len(groups)-1)
		}
		r.Routes = append(r.Routes, out)
	}
	r.Cost += r.Length
	sortRoutes(r.Routes)
	r.LowerBound = math.Min(in.lowerBound(p, r.FewestEver), r.Cost)
}
