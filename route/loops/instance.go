package loops

import (
	"fmt"
	"math"
	"slices"
	"sort"
)

// span is the number of steps that the longest distance is divided into; whole numbers make undoing exact.
const span = 1 << 29

// placeLimit bounds the memory for stored distances, 4 bytes a pair.
const placeLimit = 12000

// An instance numbers the depot 0 and the other places from 1, by distance from the depot, so that the outcome does
// not depend on how they were listed. Node n is the end of every route: the depot again, or nowhere for a chain.
type instance struct {
	n      int
	place  []int
	nodeOf []int
	open   bool
	unit   float64
	ask    func(i, j int) float64
	matrix []int32 // (n+1) x (n+1)

	resources int
	demand    []int64 // by node, then resource, in shares of a route's capacity
	weight    []int64 // of each node: the largest of its demands
	capacity  int64   // of every resource
	limit     int64   // of length with extra, or 0
	extra     []int64
	moments   *moments // nil for no limit
	group     []int32
	groups    int
	price     int64

	near  [][]int32 // other nodes than the depot, nearest first
	tight int       // how many of them are looked at for a position beside them
}

// neighbours bounds the lists that the ruin walks along.
const neighbours = 200

func newInstance(p *Problem) (*instance, error) {
	n := p.size()
	in := &instance{n: n, open: p.Open, ask: p.distance(), capacity: whole + int64(n)}
	in.sort(p)
	in.measure()
	in.resources, in.weight = len(p.Capacity), make([]int64, n)
	in.extra = make([]int64, n)
	in.group = make([]int32, n)
	for v, i := range in.place {
		for r := range p.Capacity {
			need := share(p.Demand[r][i], p.Capacity[r])
			in.demand, in.weight[v] = append(in.demand, need), max(in.weight[v], need)
		}
		if p.Extra != nil {
			in.extra[v] = int64(math.Ceil(p.Extra[i] / in.unit))
		}
		if p.Group != nil {
			in.group[v] = int32(p.Group[i])
			in.groups = max(in.groups, p.Group[i]+1)
		}
	}
	in.limit, in.price = int64(p.MaxLength/in.unit), int64(math.Round(p.GroupCost/in.unit))
	if p.GroupCost == 0 {
		in.groups = 0
	}
	in.setMoments(p)
	if err := in.feasible(p); err != nil {
		return nil, err
	}
	in.neighbourhood()
	return in, nil
}

// whole is a route's capacity in the units in which demands are kept: whole numbers, so that amounts that add up to
// the capacity in the decimal system still do (a 2^-40 share for each place is allowed for rounding).
const whole = 1 << 40

func share(need, capacity float64) int64 {
	switch {
	case need == 0:
		return 0
	case need > capacity:
		return math.MaxInt64 / 2
	}
	return int64(math.Round(need / capacity * whole))
}

func (in *instance) sort(p *Problem) {
	far := make([]float64, in.n)
	sum := make([]float64, in.n)
	for i := range far {
		far[i] = in.ask(p.Depot, i)
		for r := range p.Demand {
			sum[i] += p.Demand[r][i]
		}
		in.place = append(in.place, i)
	}
	sort.SliceStable(in.place, func(a, b int) bool {
		i, j := in.place[a], in.place[b]
		if (i == p.Depot) != (j == p.Depot) {
			return i == p.Depot
		}
		return far[i] < far[j] || far[i] == far[j] && sum[i] > sum[j]
	})
	in.nodeOf = make([]int, in.n)
	for v, i := range in.place {
		in.nodeOf[i] = v
	}
}

// needs are the demands of node v, by resource.
func (in *instance) needs(v int32) []int64 {
	return in.demand[int(v)*in.resources : int(v+1)*in.resources]
}

func (in *instance) node(place int) int { return in.nodeOf[place] }

func (in *instance) measure() {
	longest := 0.0
	for a := range in.n {
		for b := range a {
			longest = math.Max(longest, in.ask(a, b))
		}
	}
	if longest == 0 {
		longest = 1
	}
	in.unit = longest / span
	w := in.n + 1
	m := make([]int32, w*w)
	for a := range int32(w) {
		for b := range a {
			d := int32(in.compute(a, b))
			m[int(a)*w+int(b)], m[int(b)*w+int(a)] = d, d
		}
	}
	in.matrix = m
}

func (in *instance) dist(a, b int32) int64 {
	return int64(in.matrix[int(a)*(in.n+1)+int(b)])
}

// row holds the distances from node v to all nodes, the end included.
func (in *instance) row(v int32) []int32 {
	w := in.n + 1
	return in.matrix[int(v)*w : int(v+1)*w]
}

func (in *instance) compute(a, b int32) int64 {
	end := int32(in.n)
	if a == end || b == end {
		if in.open {
			return 0
		}
		a, b = a%end, b%end // the end is the depot
	}
	if a == b {
		return 0
	}
	return int64(math.Round(in.ask(in.place[a], in.place[b]) / in.unit))
}

// feasible names the first place, in the caller's order, that fits no route.
func (in *instance) feasible(p *Problem) error {
	for i, v := range in.nodeOf {
		if v == 0 {
			continue
		}
		for r, need := range in.needs(int32(v)) {
			if need > in.capacity {
				return fmt.Errorf("%w: place %d needs %v of resource %d, a whole route has %v", ErrInfeasible, i, p.Demand[r][i], r, p.Capacity[r])
			}
		}
		way := in.dist(0, int32(v)) + in.dist(int32(v), int32(in.n)) + in.extra[v]
		if p.MaxLength > 0 && way > in.limit {
			return fmt.Errorf("%w: place %d alone makes a route of %.6g, the limit is %.6g", ErrInfeasible, i, float64(way)*in.unit, p.MaxLength)
		}
		if in.strained([]int32{int32(v)}) {
			return fmt.Errorf("%w: place %d alone is over the moment of %v", ErrInfeasible, i, p.MaxMoment)
		}
	}
	return nil
}

func (in *instance) neighbourhood() {
	in.near = make([][]int32, in.n)
	width := min(neighbours, max(0, in.n-2))
	in.tight = min(closeBy, width)
	all := make([]int32, in.n*width)
	keys := make([]uint64, 0, in.n) // distance and node: sorted as one number
	for a := int32(1); int(a) < in.n; a++ {
		keys = keys[:0]
		row := in.row(a)
		for b := int32(1); int(b) < in.n; b++ {
			if a != b {
				keys = append(keys, uint64(row[b])<<32|uint64(b))
			}
		}
		least(keys, width)
		slices.Sort(keys[:width])
		list := all[int(a)*width : int(a+1)*width]
		for k, key := range keys[:width] {
			list[k] = int32(key)
		}
		in.near[a] = list
	}
}

// least brings the k smallest of different keys to the front, in any order.
func least(keys []uint64, k int) {
	for len(keys) > 16 && 0 < k && k < len(keys) {
		a, b, c := keys[0], keys[len(keys)/2], keys[len(keys)-1]
		pivot := max(min(a, b), min(max(a, b), c))
		i, j := 0, len(keys)-1
		for i <= j {
			for keys[i] < pivot {
				i++
			}
			for keys[j] > pivot {
				j--
			}
			if i <= j {
				keys[i], keys[j] = keys[j], keys[i]
				i, j = i+1, j-1
			}
		}
		// All up to j are at most the pivot, all from i on at least.
		switch {
		case k <= j+1:
			keys = keys[:j+1]
		case k > i:
			keys, k = keys[i:], k-i
		default:
			return
		}
	}
	if k < len(keys) {
		slices.Sort(keys)
	}
}

// beside are the nodes beside which a place for v is sought, besides the ends of routes.
func (in *instance) beside(v int32) []int32 { return in.near[v][:in.tight] }
