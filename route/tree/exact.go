package tree

import (
	"math"
	"math/bits"
	"slices"
)

// exactTerminals is the number of distinct places up to which Steiner returns an optimum.
const exactTerminals = 11

// exact is the dynamic programme of Dreyfus and Wagner on the Hanan grid of a
// few terminals. For a set S of terminals and a grid vertex v, cost[S][v] is the
// length of the shortest tree over S and v. It reuses its memory.
type exact struct {
	xs, ys []int64
	cost   []int64
	src    []int16 // vertex at which the tree of [S][v] stops being a plain path from v
	split  []int16 // subset of S that one side of the fork at src takes, 0 for a single terminal
	verts  []ipoint
	edges  [][2]ipoint
}

// solve returns the length and the edges of a shortest tree over distinct terminals.
func (e *exact) solve(terms []ipoint) (int64, [][2]ipoint) {
	e.edges = e.edges[:0]
	if len(terms) < 2 {
		return 0, nil
	}
	e.grid(terms)
	last := len(terms) - 1
	full := 1<<last - 1
	n := len(e.verts)
	size := (full + 1) * n
	e.cost = slices.Grow(e.cost[:0], size)[:size]
	e.src = slices.Grow(e.src[:0], size)[:size]
	e.split = slices.Grow(e.split[:0], size)[:size]
	for set := 1; set <= full; set++ {
		cost, src, split := e.cost[set*n:(set+1)*n], e.src[set*n:(set+1)*n], e.split[set*n:(set+1)*n]
		if set&(set-1) == 0 {
			t := terms[bits.TrailingZeros(uint(set))]
			at := int16(slices.Index(e.verts, t))
			for v := range cost {
				cost[v], src[v], split[v] = t.rect(e.verts[v]), at, 0
			}
			continue
		}
		e.fork(set, cost, split)
		for v := range src {
			src[v] = int16(v)
		}
		e.spread(cost, src)
	}
	root := slices.Index(e.verts, terms[last])
	e.trace(full, root)
	return e.cost[full*n+root], e.edges
}

func (e *exact) grid(terms []ipoint) {
	e.xs, e.ys, e.verts = e.xs[:0], e.ys[:0], e.verts[:0]
	for _, p := range terms {
		e.xs, e.ys = append(e.xs, p.x), append(e.ys, p.y)
	}
	slices.Sort(e.xs)
	slices.Sort(e.ys)
	e.xs, e.ys = slices.Compact(e.xs), slices.Compact(e.ys)
	for _, y := range e.ys {
		for _, x := range e.xs {
			e.verts = append(e.verts, ipoint{x, y})
		}
	}
}

// fork sets cost[v] to the best way of splitting set in two at v.
func (e *exact) fork(set int, cost []int64, split []int16) {
	n := len(cost)
	for v := range cost {
		cost[v] = math.MaxInt64
	}
	low := set & -set
	// Each split is met once: the side with the lowest terminal names it.
	for sub := (set - 1) & set; sub > 0; sub = (sub - 1) & set {
		if sub&low == 0 {
			continue
		}
		a := e.cost[sub*n : (sub+1)*n]
		b := e.cost[(set^sub)*n : (set^sub+1)*n]
		for v := range cost {
			if c := a[v] + b[v]; c < cost[v] {
				cost[v], split[v] = c, int16(sub)
			}
		}
	}
}

// spread lets every vertex be reached from every other: rectilinear distance
// comes apart by axis, so a pass each way along rows and columns is exact.
func (e *exact) spread(cost []int64, src []int16) {
	w, h := len(e.xs), len(e.ys)
	relax := func(u, v int, d int64) {
		if c := cost[u] + d; c < cost[v] {
			cost[v], src[v] = c, src[u]
		}
	}
	for r := range h {
		for i := 1; i < w; i++ {
			relax(r*w+i-1, r*w+i, e.xs[i]-e.xs[i-1])
		}
		for i := w - 1; i > 0; i-- {
			relax(r*w+i, r*w+i-1, e.xs[i]-e.xs[i-1])
		}
	}
	for i := range w {
		for r := 1; r < h; r++ {
			relax((r-1)*w+i, r*w+i, e.ys[r]-e.ys[r-1])
		}
		for r := h - 1; r > 0; r-- {
			relax(r*w+i, (r-1)*w+i, e.ys[r]-e.ys[r-1])
		}
	}
}

func (e *exact) trace(set, v int) {
	n := len(e.verts)
	u := int(e.src[set*n+v])
	if u != v {
		e.edges = append(e.edges, [2]ipoint{e.verts[v], e.verts[u]})
	}
	if sub := int(e.split[set*n+u]); set&(set-1) != 0 {
		e.trace(sub, u)
		e.trace(set^sub, u)
	}
}
