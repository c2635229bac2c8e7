// Package tour orders places along one cable: a closed tour that comes back to where it started, or an open chain
// whose far end is free. It is a pure solver: distances in, an order out.
//
// Up to ExactLimit places the order is optimal, by dynamic programming (Held and Karp, "A dynamic programming
// approach to sequencing problems", J. SIAM 10, 1962). Above that it is a local search: sequential 3-opt moves over
// neighbour lists (Lin, Bell System Technical Journal 44, 1965; Or's segment insertion is one of them), shaken by
// local double bridges (Martin, Otto, Felten, Complex Systems 5, 1991) whose outcome is accepted by annealing, in rounds
// that double in length until one finds next to nothing: a longer search is never worse. Length is counted in kicks and
// never by the clock, so the same input gives the same order on every machine. A lower bound from one-trees (Held and
// Karp, Operations Research 18, 1970) comes with every answer.
//
// Distances are whole steps of a grid inside, 2^-29 of the extent, so that gains are exact and no fused multiply-add
// shows. Points are first put into a canonical frame (the first of their eight quarter turns and mirror images, sorted):
// the length depends on neither input order, shift, unit, quarter turns nor mirroring. With a distance function only the
// input order is taken out, ties aside. Neighbour lists take two places of each quadrant first: nearest places alone lose
// several percent on clustered plans.
//
// Within Near of the best length an earlier order is kept (Prefer), or bends and crossings are lowered (Secondary).
//
//	LOOPWRIGHT_REFERENCE=1 go test -v -run AgainstTSPLIB ./route/tour   # gaps to published optima
//	go test -run xxx -bench 'TSPLIB|Tidy' -benchtime 1x ./route/tour
//
// On even data tours lie a few percent above the bound at most; on strongly clustered data the bound is weaker.
package tour

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"loopwright/takeoff/geom"
)

// exactLimit is the largest number of places, the start included, that is solved to proven optimality.
const exactLimit = 12

// Metric says how the distance between two points is measured.
type Metric int

// The two metrics for points.
const (
	Euclidean   Metric = iota // straight line
	Rectilinear               // along two perpendicular axes
)

// Problem is a set of places, how far apart they are, and what is wanted. The zero value of every option is its
// plain meaning: a closed Euclidean tour from place 0, shortest length and nothing else.
type Problem struct {
	// Points are the places. If Dist is set too, Points only serve to count turns and crossings.
	Points []geom.Point
	Metric Metric
	// Axis turns the axes of the rectilinear metric, in degrees counterclockwise from the x axis.
	Axis float64

	// N and Dist give the distances instead of Points. Dist must be symmetric, finite and not negative.
	N    int
	Dist func(i, j int) float64

	Start int  // where the tour begins
	Open  bool // open chain with a free end instead of a closed tour

	Seed uint64

	// Near is the share, such as 0.01, by which the answer may be longer than the best length found in
	// exchange for a lower secondary cost or for keeping Prefer. 0 switches both off.
	Near float64
	// Secondary is what to lower among near-equal tours; nil leaves the shortest as it is.
	Secondary *Secondary
	// Prefer is an earlier order of some of these places. Places that are missing from it are inserted where they
	// cost least; if the outcome is within Near of the best length, it is the answer.
	Prefer []int
	// Begin is an order of all places that may be good, to start the search from; nil for none.
	Begin []int
	// NoBound leaves Result.LowerBound at 0 where the search is not exact: finding it takes a good part of the time.
	NoBound bool
}

// Result is an order of all places, beginning with Problem.Start.
type Result struct {
	Order  []int
	Length float64 // in the unit of the distances; the way back to the start is counted if the tour is closed
	// LowerBound is a length that no order can undercut. It equals Length when Exact is set.
	LowerBound float64
	Exact      bool // Order is proven shortest (before Near was spent on turns, crossings or an earlier order)
	Iterations int  // kicks tried
	// Best is the best length found before Near was spent; Length where it was not.
	Best float64
	// Kept says that Order is Problem.Prefer with the new places inserted.
	Kept bool
}

// errProblem is wrapped by every error of Solve: the problem itself does not make sense.
var errProblem = errors.New("tour")

// FromMatrix makes a distance function of a square symmetric matrix.
func FromMatrix(m [][]float64) func(i, j int) float64 {
	return func(i, j int) float64 { return m[i][j] }
}

// Solve orders the places of p. The length of the answer does not depend on the order in which the places are
// given; for points it does not depend on shifting, mirroring or turning them by quarter turns either (places
// that coincide and rounding below 1e-9 of the extent aside).
func Solve(p Problem) (Result, error) {
	if err := p.Check(); err != nil {
		return Result{}, err
	}
	n := p.size()
	if n <= 3 {
		return p.settle(nil, p.trivial(), true, 0), nil
	}
	in := newInstance(&p)
	if n <= exactLimit {
		return p.settle(in, in.outward(heldKarp(&p, in.place)), true, 0), nil
	}
	var given []int32
	if p.Begin != nil {
		given = in.inward(p.begin())
	}
	ring, kicks := in.anneal(given, p.Seed)
	r := p.settle(in, in.outward(ring), false, kicks)
	r.LowerBound = 0
	if !p.NoBound {
		r.LowerBound = math.Min(in.lowerBound(ring)*in.unit, r.Best)
	}
	return r, nil
}

// settle turns the shortest order found into the answer: an earlier order or a tidier one if near enough.
func (p *Problem) settle(in *instance, order []int, exact bool, kicks int) Result {
	order = p.direct(order)
	best := p.Length(order)
	r := Result{Order: order, Length: best, LowerBound: best, Exact: exact, Iterations: kicks, Best: best}
	limit := best * (1 + p.Near)
	if p.Near > 0 && len(p.Prefer) > 0 {
		kept := p.completed()
		if length := p.Length(kept); length <= limit {
			r.Order, r.Length, r.Kept = kept, length, true
			return r
		}
	}
	if p.Near > 0 && p.Secondary != nil && in != nil {
		room := int64(best * p.Near / in.unit)
		tidied := p.direct(in.outward(in.tidy(p, in.inward(order), room)))
		if length := p.Length(tidied); length <= limit {
			r.Order, r.Length = tidied, length
		}
	}
	return r
}

func (p *Problem) size() int {
	if p.Dist != nil {
		return p.N
	}
	return len(p.Points)
}

// Check reports what is wrong with the problem, if anything; Solve begins with it.
func (p *Problem) Check() error {
	n := p.size()
	bad := func(format string, args ...any) error {
		return fmt.Errorf("%w: "+format, append([]any{errProblem}, args...)...)
	}
	switch {
	case n < 1:
		return bad("no places to order")
	case n > math.MaxInt32/64:
		return bad("%d places are too many", n)
	case p.Dist != nil && len(p.Points) != 0 && len(p.Points) != n:
		return bad("%d points for %d distances", len(p.Points), n)
	case p.Start < 0 || p.Start >= n:
		return bad("start %d is not one of the %d places", p.Start, n)
	case !(p.Near >= 0) || math.IsInf(p.Near, 0):
		return bad("near %v is not a share from 0 up", p.Near)
	case p.Metric != Euclidean && p.Metric != Rectilinear:
		return bad("metric %d is unknown", p.Metric)
	case math.IsNaN(p.Axis) || math.IsInf(p.Axis, 0):
		return bad("axis %v is not an angle", p.Axis)
	}
	for i, q := range p.Points {
		if !finite(q.X) || !finite(q.Y) {
			return bad("point %d (%v, %v) is not finite", i, q.X, q.Y)
		}
	}
	if p.Begin != nil && len(p.Begin) != n {
		return bad("the order to begin with has %d of %d places", len(p.Begin), n)
	}
	for _, order := range [][]int{p.Prefer, p.Begin} {
		seen := make([]bool, n)
		for _, i := range order {
			if i < 0 || i >= n || seen[i] {
				return bad("the earlier order names place %d twice or it is not one of the %d places", i, n)
			}
			seen[i] = true
		}
	}
	if p.Dist == nil {
		return nil
	}
	return p.checkDist(bad)
}

func (p *Problem) checkDist(bad func(string, ...any) error) error {
	for i := range p.N {
		for j := range i {
			d := p.Dist(i, j)
			if !finite(d) || d < 0 {
				return bad("distance %v from %d to %d is not a length", d, i, j)
			}
			if back := p.Dist(j, i); back != d {
				return bad("distance from %d to %d is %v one way and %v the other", i, j, d, back)
			}
		}
	}
	return nil
}

// finite also refuses values so large that their squares overflow.
func finite(v float64) bool { return math.Abs(v) < 1e150 }

// Distance measures from place i to place j.
func (p *Problem) Distance(i, j int) float64 {
	if p.Dist != nil {
		return p.Dist(i, j)
	}
	a, b := p.Points[i], p.Points[j]
	if p.Metric == Euclidean {
		return math.Hypot(a.X-b.X, a.Y-b.Y)
	}
	a, b = turned(a, p.Axis), turned(b, p.Axis)
	return math.Abs(a.X-b.X) + math.Abs(a.Y-b.Y)
}

// turned returns the point in axes turned by the angle in degrees, exactly for quarter turns.
func turned(q geom.Point, axis float64) geom.Point {
	if axis == 0 {
		return q
	}
	var s, c float64
	switch math.Mod(math.Mod(axis, 360)+360, 360) {
	case 0:
		s, c = 0, 1
	case 90:
		s, c = 1, 0
	case 180:
		s, c = 0, -1
	case 270:
		s, c = -1, 0
	default:
		s, c = math.Sincos(axis * math.Pi / 180)
	}
	// The conversions keep the compiler from fusing multiply and add, which would differ between machines.
	return geom.Pt(float64(q.X*c)+float64(q.Y*s), float64(q.Y*c)-float64(q.X*s))
}

// Length measures an order of places: the sum of its legs, and of the way back if the tour is closed.
func (p *Problem) Length(order []int) float64 {
	sum := 0.0
	for k := 1; k < len(order); k++ {
		sum += p.Distance(order[k-1], order[k])
	}
	if !p.Open && len(order) > 1 {
		sum += p.Distance(order[len(order)-1], order[0])
	}
	return sum
}

// direct begins a closed tour at the start and picks its direction: first leg the shorter one, then lower index.
func (p *Problem) direct(order []int) []int {
	n := len(order)
	if p.Open || n < 2 {
		return order
	}
	at := 0
	for order[at] != p.Start {
		at++
	}
	out := make([]int, 0, n)
	out = append(append(out, order[at:]...), order[:at]...)
	first, last := p.Distance(p.Start, out[1]), p.Distance(p.Start, out[n-1])
	if last < first || last == first && out[n-1] < out[1] {
		for i, j := 1, n-1; i < j; i, j = i+1, j-1 {
			out[i], out[j] = out[j], out[i]
		}
	}
	return out
}

// begin is Begin, of a chain with the start in front.
func (p *Problem) begin() []int {
	if !p.Open {
		return p.Begin
	}
	at := slices.Index(p.Begin, p.Start)
	return slices.Concat([]int{p.Start}, p.Begin[:at], p.Begin[at+1:])
}

// trivial solves up to three places, where only the open chain has a choice.
func (p *Problem) trivial() []int {
	order := []int{p.Start}
	for i := range p.size() {
		if i != p.Start {
			order = append(order, i)
		}
	}
	if len(order) == 3 {
		swapped := []int{order[0], order[2], order[1]}
		if p.Length(swapped) < p.Length(order) {
			return swapped
		}
	}
	return order
}
