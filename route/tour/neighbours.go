package tour

import "sort"

// Neighbour lists: the nearest of all, and for points the nearest of each quadrant too, because around a cluster
// the nearest alone never lead out of it.
const (
	nearestOfAll  = 8
	perQuadrant   = 1
	neighbourhood = nearestOfAll + 4*perQuadrant
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
	in.width = min(10, real-1)
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
	list := make([]neighbour, 0, real-1)
	for b := range int32(real) {
		if b != a {
			list = append(list, neighbour{in.dist(a, b), b})
		}
	}
	sort.Slice(list, func(i, j int) bool { return nearer(list[i], list[j]) })
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

// sweep walks outward from a along x, in which the nodes are sorted, until the gap in x alone is too far.
func (in *instance) sweep(a int32, real int) []neighbour {
	var all []neighbour
	left, right := a-1, a+1
	for left >= 0 || int(right) < real {
		b := right
		if int(right) >= real || left >= 0 && in.x[a]-in.x[left] <= in.x[right]-in.x[a] {
			b = left
			left--
		} else {
			right++
		}
		gap := in.x[a] - in.x[b]
		if gap < 0 {
			gap = -gap
		}
		if len(all) == in.width && int64(gap) > all[in.width-1].dist {
			break
		}
		all = keep(all, neighbour{in.dist(a, b), b}, in.width)
	}
	return all
}
