package tree

import (
	"math"
	"slices"
)

// boundTerminals is the number of distinct places up to which Steiner spends
// time on a close lower bound: time grows about as the fourth power.
const boundTerminals = 60

// dualAscent returns a lower bound on the length of a Steiner tree over
// distinct places, usually within a few per cent of the optimum: R. T. Wong, "A
// dual ascent approach for Steiner tree problems on a directed graph",
// Mathematical Programming 28 (1984) 271-287, on the Hanan grid.
//
// Every tree, directed away from the first place, must enter each set of nodes
// that holds a terminal and not the root. A set's arcs may be charged for that
// together as long as no arc is charged more than its length; the sum of all
// charges is the bound.
func dualAscent(places []ipoint) int64 {
	a := newAscent(places)
	bound := int64(0)
	active := make([]int, 0, len(a.terms))
	cut := make([]int, len(a.terms)) // arcs into the set of each terminal, as last seen
	for i := 1; i < len(a.terms); i++ {
		active = append(active, i)
		cut[i] = 0
	}
	for len(active) > 0 {
		// The set with the fewest arcs goes first: a charge on few arcs blocks little.
		k := 0
		for i, t := range active {
			if cut[t] < cut[active[k]] {
				k = i
			}
		}
		t := active[k]
		arcs, done := a.reach(a.terms[t])
		if done {
			active = slices.Delete(active, k, k+1)
			continue
		}
		if cut[t] < len(arcs) {
			cut[t] = len(arcs) // has grown since: look again who is least
			continue
		}
		cut[t] = len(arcs)
		charge := int64(math.MaxInt64)
		for _, arc := range arcs {
			charge = min(charge, a.left[arc])
		}
		for _, arc := range arcs {
			a.left[arc] -= charge
		}
		bound += charge
	}
	return bound
}

// ascent is the Hanan grid with a directed arc each way between neighbours; arc
// 4*v+dir leads from v's neighbour in that direction to v.
type ascent struct {
	w, n  int
	terms []int   // nodes of the places
	left  []int64 // length of an arc not yet charged; negative where there is none
	mark  []int
	tick  int
	stack []int
	arcs  []int
}

func newAscent(places []ipoint) *ascent {
	var e exact
	e.grid(places)
	a := &ascent{w: len(e.xs), n: len(e.verts)}
	for _, p := range places {
		a.terms = append(a.terms, slices.Index(e.verts, p))
	}
	a.mark = make([]int, a.n)
	a.left = make([]int64, 4*a.n)
	for v := range a.n {
		for dir, u := range a.around(v) {
			a.left[4*v+dir] = -1
			if u >= 0 {
				a.left[4*v+dir] = e.verts[v].rect(e.verts[u])
			}
		}
	}
	return a
}

// around returns the neighbours of v, -1 off the grid.
func (a *ascent) around(v int) [4]int {
	out := [4]int{-1, -1, -1, -1}
	if x := v % a.w; x+1 < a.w {
		out[0] = v + 1
	}
	if v%a.w > 0 {
		out[2] = v - 1
	}
	if v+a.w < a.n {
		out[1] = v + a.w
	}
	if v >= a.w {
		out[3] = v - a.w
	}
	return out
}

// reach collects the nodes from which v can be entered along fully charged
// arcs. It returns the arcs that lead into that set, or true when the root is in it.
func (a *ascent) reach(v int) (arcs []int, root bool) {
	a.tick++
	a.mark[v] = a.tick
	a.stack = append(a.stack[:0], v)
	for i := 0; i < len(a.stack); i++ {
		v := a.stack[i]
		if v == a.terms[0] {
			return nil, true
		}
		for dir, u := range a.around(v) {
			if u >= 0 && a.left[4*v+dir] == 0 && a.mark[u] != a.tick {
				a.mark[u] = a.tick
				a.stack = append(a.stack, u)
			}
		}
	}
	a.arcs = a.arcs[:0]
	for _, v := range a.stack {
		for dir, u := range a.around(v) {
			if u >= 0 && a.mark[u] != a.tick {
				a.arcs = append(a.arcs, 4*v+dir)
			}
		}
	}
	return a.arcs, false
}
