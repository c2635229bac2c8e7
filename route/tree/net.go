package tree

import (
	"math"
	"slices"
)

// net is a tree under construction: the first `terms` nodes are terminals, the
// rest are Steiner points, of which those without neighbours are unused.
// An edge stands for both of its L-shaped paths: the bend is chosen at the end.
type net struct {
	at    []ipoint
	adj   [][]int32
	terms int
	free  []int32

	// Scratch space of walks, by node.
	from []int32
	top  []int32 // end of the longest edge on the way from the start; its other end is from[top]
	far  []int64 // length of that edge
	mark []int32
	tick int32
	// Optimal lengths found so far, by the places sorted; unused entries are zero.
	known map[[windowSize]ipoint]int64
	exact
}

func newNet(at []ipoint) *net {
	return &net{at: slices.Clone(at), adj: make([][]int32, len(at)), terms: len(at)}
}

func (t *net) clone() *net {
	c := &net{terms: t.terms}
	c.copyFrom(t)
	return c
}

// copyFrom makes t the same tree as u and keeps t's memory.
func (t *net) copyFrom(u *net) {
	t.at = append(t.at[:0], u.at...)
	t.free = append(t.free[:0], u.free...)
	if len(t.adj) > len(u.adj) {
		t.adj = t.adj[:len(u.adj)]
	}
	for len(t.adj) < len(u.adj) {
		t.adj = append(t.adj, nil)
	}
	for i := range u.adj {
		t.adj[i] = append(t.adj[i][:0], u.adj[i]...)
	}
}

func (t *net) length(a, b int32) int64 { return t.at[a].rect(t.at[b]) }

func (t *net) total() int64 {
	sum := int64(0)
	for a := range t.adj {
		for _, b := range t.adj[a] {
			if int32(a) < b {
				sum += t.length(int32(a), b)
			}
		}
	}
	return sum
}

func (t *net) link(a, b int32) {
	t.adj[a] = append(t.adj[a], b)
	t.adj[b] = append(t.adj[b], a)
}

func (t *net) unlink(a, b int32) {
	t.adj[a] = drop(t.adj[a], b)
	t.adj[b] = drop(t.adj[b], a)
}

func drop(s []int32, v int32) []int32 {
	i := slices.Index(s, v)
	return slices.Delete(s, i, i+1)
}

func (t *net) steiner(n int32) bool { return int(n) >= t.terms }

// add returns a new Steiner point without neighbours.
func (t *net) add(p ipoint) int32 {
	if n := len(t.free); n > 0 {
		id := t.free[n-1]
		t.free = t.free[:n-1]
		t.at[id] = p
		return id
	}
	t.at = append(t.at, p)
	t.adj = append(t.adj, nil)
	return int32(len(t.at) - 1)
}

// tidy takes out a Steiner point that joins fewer than three edges. The path
// never grows by that.
func (t *net) tidy(n int32) {
	if !t.steiner(n) {
		return
	}
	switch len(t.adj[n]) {
	case 0:
		if !slices.Contains(t.free, n) {
			t.free = append(t.free, n)
		}
	case 1:
		a := t.adj[n][0]
		t.unlink(n, a)
		t.free = append(t.free, n)
		t.tidy(a)
	case 2:
		a, b := t.adj[n][0], t.adj[n][1]
		t.unlink(n, a)
		t.unlink(n, b)
		t.link(a, b)
		t.free = append(t.free, n)
	}
}

// spanning returns the minimum spanning tree over the distinct places, by
// Prim's method on the full graph: without a heap that takes n^2 steps.
func (c *canon) spanning() *net {
	t := newNet(c.at)
	n := len(c.at)
	near := make([]int32, n)
	dist := make([]int64, n)
	done := make([]bool, n)
	for i := range dist {
		dist[i] = math.MaxInt64
	}
	for cur, left := 0, n-1; left > 0; left-- {
		done[cur] = true
		best := -1
		for j := range dist {
			if done[j] {
				continue
			}
			if d := c.at[cur].rect(c.at[j]); d < dist[j] {
				dist[j], near[j] = d, int32(cur)
			}
			if best < 0 || dist[j] < dist[best] {
				best = j
			}
		}
		t.link(near[best], int32(best))
		cur = best
	}
	return t
}
