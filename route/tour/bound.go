package tour

import (
	"fmt"
	"math"
)

// Lower bound from one-trees: a spanning tree of all nodes but one, and that one's two cheapest legs, is never
// longer than the shortest ring, whatever is added to all legs of a node and taken off again. Subgradient ascent
// (Held, Wolfe, Crowder, Mathematical Programming 6, 1974) looks for the additions that raise the bound most, on
// the neighbour lists and the legs of the ring found; the bound itself is then measured on all legs.
type oneTree struct {
	in      *instance
	special int32     // the free end of a chain; -1: any leaf will do
	extra   []float64 // added to all legs of a node
	degree  []int
	parent  []int32  // in the spanning tree
	edges   [][]edge // sparse graph for the ascent
	front   *frontier
}

// An edge leads to a node; the length is as measured.
type edge struct {
	to     int32
	length float64
}

// The ascent doubles its step as long as that raises the bound and then halves it with every period, as Helsgaun
// does (European Journal of Operational Research 126, 2000). The first step is a share of the mean leg.
const (
	ascentPeriod = 100
	firstStep    = 0.01
	ascentMost   = 300 // rounds of the first period
)

// Bound returns a length that no order of the places of p can undercut, given a good order: the better it is, the
// sooner the bound is good. It is that of Solve without the search, for callers who order by other distances than they
// bound.
func Bound(p Problem, order []int) (float64, error) {
	if err := p.Check(); err != nil {
		return 0, err
	}
	if len(order) != p.size() {
		return 0, fmt.Errorf("%w: an order of %d places for %d", errProblem, len(order), p.size())
	}
	if p.size() <= exactLimit {
		p.Near = 0
		r, err := Solve(p)
		return r.LowerBound, err
	}
	in := newInstance(&p)
	return math.Min(in.lowerBound(in.inward(order))*in.unit, p.Length(order)), nil
}

// lowerBound returns a bound in grid steps, ring being the best found.
func (in *instance) lowerBound(ring []int32) float64 {
	t := &oneTree{in: in, special: -1, extra: make([]float64, in.n), degree: make([]int, in.n), parent: make([]int32, in.n)}
	forced := 0.0
	if in.free >= 0 {
		t.special, forced = in.free, apart
	}
	t.connect(ring)
	upper := float64(in.length(ring)) - forced
	best := math.Inf(-1)
	bestExtra := make([]float64, in.n)
	before, rounds := make([]int, in.n), 0
	step, first := firstStep*upper/float64(in.n), true
	for period := ascentPeriod; period > 0; period, step = period/2, step/2 {
		for round := 0; round < period; round++ {
			rounds++
			bound := t.measure(false) - forced
			if bound > best {
				best = bound
				copy(bestExtra, t.extra)
				if first {
					step *= 2
				}
				if round == period-1 && rounds < ascentMost {
					round = -1
				}
			} else if first && round > period/2 {
				first, round, step = false, 0, step*3/4
			}
			if !t.climb(step, before) {
				period = 0
				break
			}
		}
	}
	copy(t.extra, bestExtra)
	// Distances were rounded to grid steps, and so were coordinates.
	return math.Max(0, t.measure(true)-forced-1.5*float64(in.n))
}

// climb adds to the nodes of high degree and takes from the leaves; it reports false if the one-tree is a ring. Part
// of the last direction is kept, which damps the zigzag of plain ascent.
func (t *oneTree) climb(step float64, before []int) bool {
	moved := false
	for v, d := range t.degree {
		if int32(v) == t.special {
			continue
		}
		moved = moved || d != 2
		t.extra[v] += step * float64(7*(d-2)+3*before[v]) / 10
		before[v] = d - 2
	}
	return moved
}

func (t *oneTree) connect(ring []int32) {
	n := t.in.n
	t.edges = make([][]edge, n)
	add := func(a, b int32) {
		length := float64(t.in.dist(a, b))
		t.edges[a] = append(t.edges[a], edge{b, length})
		t.edges[b] = append(t.edges[b], edge{a, length})
	}
	for a := range int32(n) {
		for k := range t.in.width {
			if b := t.in.near[int(a)*t.in.width+k]; a < b || !t.in.listed(b, a) {
				add(a, b)
			}
		}
	}
	for k, a := range ring { // the ring without the special node, if any, is a path that connects all others
		add(a, ring[(k+1)%n])
	}
	t.front = newFrontier(n)
}

func (t *oneTree) cost(a, b int32) float64 {
	return float64(t.in.dist(a, b)) + t.extra[a] + t.extra[b]
}

// measure returns the bound that the present additions give and notes the degrees of the one-tree.
func (t *oneTree) measure(allLegs bool) float64 {
	clear(t.degree)
	sum := 0.0
	if allLegs {
		sum = t.spanAll()
	} else {
		sum = t.spanSparse()
	}
	if t.special < 0 {
		sum += t.closeLeaf(allLegs)
	} else {
		sum += t.closeSpecial()
	}
	for _, e := range t.extra {
		sum -= 2 * e
	}
	return sum
}

// closeSpecial adds the two cheapest legs of the node that the tree left out.
func (t *oneTree) closeSpecial() float64 {
	first, second := math.Inf(1), math.Inf(1)
	var one, two int32
	for v := range int32(t.in.n) {
		if v == t.special {
			continue
		}
		if c := t.cost(t.special, v); c < first {
			second, two = first, one
			first, one = c, v
		} else if c < second {
			second, two = c, v
		}
	}
	t.degree[one]++
	t.degree[two]++
	t.degree[t.special] = 2
	return first + second
}

// closeLeaf takes for the special node the leaf of the tree whose second leg is dearest, as Helsgaun does: a tree
// without one of its leaves is a shortest tree of the others, and the leaf hangs on its cheapest leg.
func (t *oneTree) closeLeaf(allLegs bool) float64 {
	dearest, leaf, to := math.Inf(-1), int32(-1), int32(-1)
	for v := range int32(t.in.n) {
		if t.degree[v] != 1 {
			continue
		}
		if c, w := t.second(v); c > dearest {
			dearest, leaf, to = c, v, w
		}
	}
	if allLegs {
		dearest, to = t.secondOfAll(leaf)
	}
	t.degree[leaf]++
	t.degree[to]++
	return dearest
}

// second finds the cheapest leg of a leaf in the sparse graph that is not in the tree.
func (t *oneTree) second(leaf int32) (float64, int32) {
	best, at := math.Inf(1), int32(-1)
	for _, e := range t.edges[leaf] {
		if w := e.to; w != t.parent[leaf] && t.parent[w] != leaf {
			if c := e.length + t.extra[leaf] + t.extra[w]; c < best {
				best, at = c, w
			}
		}
	}
	return best, at
}

// secondOfAll is second among all legs.
func (t *oneTree) secondOfAll(leaf int32) (float64, int32) {
	best, at := math.Inf(1), int32(-1)
	for w := range int32(t.in.n) {
		if w != leaf && w != t.parent[leaf] && t.parent[w] != leaf {
			if c := t.cost(leaf, w); c < best {
				best, at = c, w
			}
		}
	}
	return best, at
}

// root is any node but the special one.
func (t *oneTree) root() int32 {
	if t.special == 0 {
		return 1
	}
	return 0
}

// spanAll is Prim's algorithm over all legs.
func (t *oneTree) spanAll() float64 {
	n := int32(t.in.n)
	cost, parent := make([]float64, n), t.parent
	parent[t.root()] = -1
	left := make([]int32, 0, n)
	for v := range n {
		if v != t.special && v != t.root() {
			left = append(left, v)
			cost[v], parent[v] = t.cost(t.root(), v), t.root()
		}
	}
	sum := 0.0
	for len(left) > 0 {
		k := 0
		for i, v := range left {
			if cost[v] < cost[left[k]] {
				k = i
			}
		}
		v := left[k]
		left[k] = left[len(left)-1]
		left = left[:len(left)-1]
		sum += cost[v]
		t.degree[v]++
		t.degree[parent[v]]++
		for _, w := range left {
			if c := t.cost(v, w); c < cost[w] {
				cost[w], parent[w] = c, v
			}
		}
	}
	return sum
}

// spanSparse is Prim's algorithm over the sparse graph.
func (t *oneTree) spanSparse() float64 {
	sum, f := 0.0, t.front
	f.begin(t.root())
	t.parent[t.root()] = -1
	for len(f.heap) > 0 {
		v := f.pop()
		if from := t.parent[v]; from >= 0 {
			sum += f.cost[v]
			t.degree[v]++
			t.degree[from]++
		}
		extra := t.extra[v]
		for _, e := range t.edges[v] {
			if w := e.to; w != t.special && f.lower(w, e.length+extra+t.extra[w]) {
				t.parent[w] = v
			}
		}
	}
	return sum
}
