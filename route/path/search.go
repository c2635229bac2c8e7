package path

import (
	"math"
	"slices"
)

// search finds cheapest ways from one place to every node: Dijkstra's method
// with a ring of buckets in place of a heap, since costs are small whole numbers.
// Of ways that cost the same it takes the one with fewer bends.
type search struct {
	g    *grid
	key  []int64 // cost to a node, shifted by bendBits, plus the bends on the way
	from []int8  // direction of the step that led here, 0..3, or -1 at a start
	// The buckets are linked lists in one array: head by cost modulo the ring's
	// size, and entries that name a node and the next entry.
	head    []int32
	entries []entry
}

type entry struct{ node, next int32 }

// Directions of a step.
const (
	east = iota
	north
	west
	south
)

// turns says whether the way bends, by the direction a node was reached in plus one, and the next.
var turns = [5][4]int64{{}, {0, 1, 1, 1}, {1, 0, 1, 1}, {1, 1, 0, 1}, {1, 1, 1, 0}}

const (
	unreached = math.MaxInt32
	bendBits  = 16
)

// dist returns the cost to node n, unreached where the search did not come.
func (s *search) dist(n int) int32 { return int32(s.key[n] >> bendBits) }

func newSearch(g *grid) *search {
	n := g.w * g.h
	return &search{g: g, key: make([]int64, n), from: make([]int8, n)}
}

// door is a node next to a place, and what the way between them costs.
type door struct {
	node int
	cost int32
}

// run fills key and from for all nodes that cost no more than limit to
// reach; what it holds for others is not final.
func (s *search) run(starts []door, limit int32) {
	span := int(s.g.span)
	for _, d := range starts {
		span = max(span, int(d.cost)+1)
	}
	size := 1
	for size < span {
		size *= 2
	}
	s.head = slices.Grow(s.head[:0], size)[:size]
	for i := range s.head {
		s.head[i] = -1
	}
	for i := range s.key {
		s.key[i] = unreached << bendBits
	}
	s.entries = s.entries[:0]
	for _, d := range starts {
		if d.cost < s.dist(d.node) {
			s.key[d.node], s.from[d.node] = int64(d.cost)<<bendBits, -1
			s.entries = append(s.entries, entry{int32(d.node), s.head[int(d.cost)&(size-1)]})
			s.head[int(d.cost)&(size-1)] = int32(len(s.entries) - 1)
		}
	}
	s.drain(limit)
}

// drain is the loop in which nearly all time goes, and is written for it: one
// function, local slices.
func (s *search) drain(limit int32) {
	var (
		w, n    = s.g.w, len(s.key)
		steps   = s.g.steps[:4*n]
		key     = s.key[:n]
		from    = s.from[:n]
		head    = s.head
		mask    = int32(len(head) - 1)
		entries = s.entries
		waiting = len(entries)
	)
	for d := int32(0); waiting > 0 && d <= limit; d++ {
		e := head[d&mask]
		head[d&mask] = -1
		// Steps cost at least 1, so that nothing joins the bucket being emptied.
		for ; e >= 0; e = entries[e].next {
			waiting--
			u := int(entries[e].node)
			k := key[u]
			if int32(k>>bendBits) != d {
				continue
			}
			turn := &turns[from[u]+1]
			around := [4]int{u + 1, u + w, u - 1, u - w}
			for dir, step := range steps[4*u : 4*u+4 : 4*u+4] {
				if step == 0 {
					continue
				}
				v := around[dir]
				next, old := k+int64(step)<<bendBits+turn[dir], key[v]
				if next >= old {
					continue
				}
				key[v], from[v] = next, int8(dir)
				if c := int32(next >> bendBits); c != int32(old>>bendBits) {
					entries = append(entries, entry{int32(v), head[c&mask]})
					head[c&mask] = int32(len(entries) - 1)
					waiting++
				}
			}
		}
	}
	s.entries = entries
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
