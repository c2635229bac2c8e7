package tour

import (
	"math"
	"slices"
	"sort"
)

// Neighbour lists: the nearest of all, and for points the nearest of each quadrant too, because around a cluster
// the nearest alone never lead out of it.
const (
	width       = 10
	perQuadrant = 2
	// sweepLimit ends the search for a quadrant that is empty because the node lies on the rim.
	sweepLimit = 5000
)

type neighbour struct {
	dist int64
	node int32
}

func (in *instance) neighbours() {
	real := in.n
	if in.free >= 0 {
		real--
	}
	in.width = min(width, real-1)
	in.near = make([]int32, in.n*in.width)
	in.nearDist = make([]int64, in.n*in.width)
	for a := range int32(real) {
		var list []neighbour
		if in.x != nil {
			list = in.sweep(a, real)
		} else {
			list = in.scan(a, real)
		}
		in.setNear(a, list)
	}
	if in.free >= 0 {
		list := make([]neighbour, 0, in.width)
		list = append(list, neighbour{0, in.start})
		for b := int32(0); len(list) < in.width; b++ {
			if b != in.start {
				list = append(list, neighbour{apart, b})
			}
		}
		in.setNear(in.free, list)
	}
}

func (in *instance) setNear(a int32, list []neighbour) {
	for k, c := range list[:in.width] {
		in.near[int(a)*in.width+k], in.nearDist[int(a)*in.width+k] = c.node, c.dist
	}
}

func nearer(u, v neighbour) bool { return u.dist < v.dist || u.dist == v.dist && u.node < v.node }

// scan looks at all nodes, for distances that come from a matrix or function.
func (in *instance) scan(a int32, real int) []neighbour {
	var list []neighbour
	for b := range int32(real) {
		if b != a {
			list = keep(list, neighbour{in.dist(a, b), b}, in.width)
		}
	}
	return list
}

// keep inserts c into the sorted list of at most limit neighbours.
func keep(list []neighbour, c neighbour, limit int) []neighbour {
	if len(list) == limit {
		if !nearer(c, list[limit-1]) {
			return list
		}
		list = list[:limit-1]
	}
	list = append(list, c)
	for k := len(list) - 1; k > 0 && nearer(list[k], list[k-1]); k-- {
		list[k], list[k-1] = list[k-1], list[k]
	}
	return list
}

// quadrant numbers the quarter of the plane in which b lies as seen from a, half-open so that every b lies in one.
func (in *instance) quadrant(a, b int32) int {
	dx, dy := in.x[b]-in.x[a], in.y[b]-in.y[a]
	switch {
	case dx > 0 && dy >= 0:
		return 0
	case dx <= 0 && dy > 0:
		return 1
	case dx < 0 && dy <= 0:
		return 2
	}
	return 3
}

// sweep walks outward from a along x, in which the nodes are sorted, until the gap in x alone is too far.
func (in *instance) sweep(a int32, real int) []neighbour {
	var all []neighbour
	var quarter [4][]neighbour
	wanted := func(b int32, gap int64) bool {
		if len(all) < in.width || gap <= all[in.width-1].dist {
			return true
		}
		// To the right only quarters 0 and 3 lie, to the left 1 and 2.
		one, two := quarter[1], quarter[2]
		if b > a {
			one, two = quarter[0], quarter[3]
		}
		return len(one) < perQuadrant || gap <= one[perQuadrant-1].dist ||
			len(two) < perQuadrant || gap <= two[perQuadrant-1].dist
	}
	for _, step := range [2]int32{1, -1} {
		for b, seen := a+step, 0; b >= 0 && int(b) < real && seen < sweepLimit; b, seen = b+step, seen+1 {
			if !wanted(b, int64(math.Abs(in.x[b]-in.x[a]))) {
				break
			}
			c := neighbour{in.dist(a, b), b}
			all = keep(all, c, in.width)
			q := in.quadrant(a, b)
			quarter[q] = keep(quarter[q], c, perQuadrant)
		}
	}
	// The quarters first, then the nearest of all until the list is full.
	var list []neighbour
	for _, q := range quarter {
		list = append(list, q...)
	}
	for _, c := range all {
		if len(list) < in.width && !slices.Contains(list, c) {
			list = append(list, c)
		}
	}
	sort.Slice(list, func(i, j int) bool { return nearer(list[i], list[j]) })
	return list
}
