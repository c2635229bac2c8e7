package path

import "math"

// search finds cheapest ways from one place to every node: Dijkstra's method
// with a ring of buckets in place of a heap, since costs are small whole numbers.
// Of ways that cost the same it takes the one with fewer bends.
type search struct {
	g       *grid
	dist    []int32
	bends   []uint16
	from    []int8 // direction of the step that led here, 0..3, or -1 at a start
	buckets [][]int32
}

// Directions of a step.
const (
	east = iota
	north
	west
	south
)

const unreached = math.MaxInt32

func newSearch(g *grid) *search {
	n := g.w * g.h
	return &search{g: g, dist: make([]int32, n), bends: make([]uint16, n), from: make([]int8, n)}
}

// door is a node next to a place, and what the way between them costs.
type door struct {
	node int
	cost int32
}

// run fills dist, bends and from for all nodes.
func (s *search) run(starts []door) {
	span := int(s.g.span)
	for _, d := range starts {
		span = max(span, int(d.cost)+1)
	}
	size := 1
	for size < span {
		size *= 2
	}
	for len(s.buckets) < size {
		s.buckets = append(s.buckets, nil)
	}
	for i := range s.dist {
		s.dist[i] = unreached
	}
	mask := int32(size - 1)
	waiting := 0
	push := func(n int, d int32) {
		s.buckets[d&mask] = append(s.buckets[d&mask], int32(n))
		waiting++
	}
	for _, d := range starts {
		if d.cost < s.dist[d.node] {
			s.dist[d.node], s.from[d.node], s.bends[d.node] = d.cost, -1, 0
			push(d.node, d.cost)
		}
	}
	w := s.g.w
	for d := int32(0); waiting > 0; d++ {
		bucket := &s.buckets[d&mask]
		// Steps cost at least 1, so that nothing joins the bucket being emptied.
		for _, id := range *bucket {
			n := int(id)
			if s.dist[n] != d {
				continue
			}
			x := n % w
			if x+1 < w {
				s.relax(n, n+1, east, s.g.right[n], push)
			}
			if x > 0 {
				s.relax(n, n-1, west, s.g.right[n-1], push)
			}
			if n+w < len(s.dist) {
				s.relax(n, n+w, north, s.g.up[n], push)
			}
			if n >= w {
				s.relax(n, n-w, south, s.g.up[n-w], push)
			}
		}
		waiting -= len(*bucket)
		*bucket = (*bucket)[:0]
	}
}

func (s *search) relax(n, m int, dir int8, step int32, push func(int, int32)) {
	d := s.dist[n] + step
	if d > s.dist[m] {
		return
	}
	b := s.bends[n]
	if s.from[n] >= 0 && s.from[n] != dir {
		b++
	}
	if d < s.dist[m] {
		s.dist[m], s.from[m], s.bends[m] = d, dir, b
		push(m, d)
	} else if b < s.bends[m] {
		s.from[m], s.bends[m] = dir, b
	}
}

// trace appends the corners of the way from the start to node n, both ends
// included, walking back from n.
func (s *search) trace(n int, out []int32) []int32 {
	back := [4]int{-1, -s.g.w, 1, s.g.w}
	out = append(out, int32(n))
	for last := s.from[n]; s.from[n] >= 0; {
		n += back[s.from[n]]
		if s.from[n] != last {
			out = append(out, int32(n))
			last = s.from[n]
		}
	}
	return out
}
