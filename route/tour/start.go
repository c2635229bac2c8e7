package tour

import "sort"

// greedy builds a first ring from the shortest legs of the neighbour lists, then joins the pieces nearest first.
func (in *instance) greedy() []int32 {
	type leg struct {
		dist int64
		a, b int32
	}
	var legs []leg
	for a := range int32(in.n) {
		for k := range in.width {
			if b := in.near[int(a)*in.width+k]; a < b || !in.listed(b, a) {
				legs = append(legs, leg{in.nearDist[int(a)*in.width+k], a, b})
			}
		}
	}
	sort.Slice(legs, func(i, j int) bool {
		u, v := legs[i], legs[j]
		if u.dist != v.dist {
			return u.dist < v.dist
		}
		if u.a != v.a {
			return u.a < v.a
		}
		return u.b < v.b
	})
	f := newFragments(in.n)
	for _, l := range legs {
		f.join(l.a, l.b)
	}
	return f.chain(in)
}

func (in *instance) listed(a, b int32) bool {
	for k := range in.width {
		if in.near[int(a)*in.width+k] == b {
			return true
		}
	}
	return false
}

// fragments are paths that grow together; link holds up to two neighbours of each node, other the far end of the
// path that an end belongs to.
type fragments struct {
	link  [][2]int32
	other []int32
}

func newFragments(n int) *fragments {
	f := &fragments{make([][2]int32, n), make([]int32, n)}
	for v := range n {
		f.link[v] = [2]int32{-1, -1}
		f.other[v] = int32(v)
	}
	return f
}

func (f *fragments) open(v int32) bool { return f.link[v][1] < 0 }

func (f *fragments) join(a, b int32) {
	if !f.open(a) || !f.open(b) || f.other[a] == b || a == b {
		return
	}
	for _, e := range [2][2]int32{{a, b}, {b, a}} {
		if f.link[e[0]][0] < 0 {
			f.link[e[0]][0] = e[1]
		} else {
			f.link[e[0]][1] = e[1]
		}
	}
	c, d := f.other[a], f.other[b]
	f.other[c], f.other[d] = d, c
}

// chain walks the paths one after the other, going on at the nearest end of a path not walked yet.
func (f *fragments) chain(in *instance) []int32 {
	var ends []int32
	for v := range int32(in.n) {
		if f.open(v) {
			ends = append(ends, v)
		}
	}
	order := make([]int32, 0, in.n)
	walked := make([]bool, in.n)
	at := ends[0]
	for {
		prev := int32(-1)
		for v := at; v >= 0; {
			order = append(order, v)
			walked[v] = true
			next := f.link[v][0]
			if next == prev || next < 0 {
				next = f.link[v][1]
			}
			if next == prev {
				next = -1
			}
			prev, v = v, next
		}
		left := ends[:0]
		best, bestDist := int32(-1), int64(0)
		for _, e := range ends {
			if walked[e] {
				continue
			}
			left = append(left, e)
			if d := in.dist(prev, e); best < 0 || d < bestDist {
				best, bestDist = e, d
			}
		}
		ends = left
		if best < 0 {
			return order
		}
		at = best
	}
}
