package loops

import "math"

// fewestEver is the number of routes that the capacities alone demand.
func (in *instance) fewestEver() int {
	most := 0
	if in.n > 1 {
		most = 1
	}
	for r := range in.resources {
		total := int64(0)
		for v := 1; v < in.n; v++ {
			total += in.needs(int32(v))[r]
		}
		most = max(most, int((total+in.capacity-1)/in.capacity))
	}
	return most
}

// lowerBound is the larger of two: a shortest spanning tree of all places, with the legs back to the depot that the
// fewest routes need (take one depot leg off every closed route and a tree is left); and, for points, where the
// triangle inequality holds, the radial bound: every place pays its share of the way out and back (Haimovich,
// Rinnooy Kan, Mathematics of Operations Research 10, 1985).
func (in *instance) lowerBound(p *Problem, routes int) float64 {
	total := in.tree()
	if !in.open {
		for v := 1; v <= routes && v < in.n; v++ { // nodes are sorted by distance from the depot
			total += in.dist(0, int32(v))
		}
	}
	// Each of the distances was rounded by half a step at most.
	bound := float64(total-int64(in.n+routes)) * in.unit
	if p.Dist != nil {
		return math.Max(0, bound)
	}
	for r := range p.Capacity {
		radial := 0.0
		for v := 1; v < in.n; v++ {
			radial += float64(in.dist(0, int32(v))-1) * in.unit * float64(in.needs(int32(v))[r]) / float64(in.capacity)
		}
		if !in.open {
			radial *= 2
		}
		bound = math.Max(bound, radial)
	}
	return math.Max(0, bound)
}

// tree is the length of a shortest spanning tree (Prim).
func (in *instance) tree() int64 {
	cost := make([]int64, in.n)
	left := make([]int32, 0, in.n)
	for v := int32(1); int(v) < in.n; v++ {
		cost[v] = in.dist(0, v)
		left = append(left, v)
	}
	total := int64(0)
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
		total += cost[v]
		for _, w := range left {
			cost[w] = min(cost[w], in.dist(v, w))
		}
	}
	return total
}
