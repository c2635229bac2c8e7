package tree

import (
	"math"
	"slices"
)

// boundTerminals is the number of distinct places up to which Steiner spends
// time on a close lower bound: time grows about as the third power, to a tenth of
// a second here. It takes in every circuit that an address range of 159 allows.
const boundTerminals = 160

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
	active := make([]*cutset, 0, len(places))
	for _, v := range a.terms[1:] {
		c := &cutset{in: make([]bool, a.n)}
		a.enter(c, v)
		active = append(active, c)
	}
	for len(active) > 0 {
		// The set with the fewest arcs goes first: a charge on few arcs blocks little.
		k := 0
		for i, c := range active {
			if len(c.arcs) < len(active[k].arcs) {
				k = i
			}
		}
		c := active[k]
		seen := len(c.arcs)
		a.grow(c)
		switch {
		case c.root:
			active = slices.Delete(active, k, k+1)
		case len(c.arcs) <= seen: // if it has grown, look again who is least
			bound += a.charge(c)
		}
	}
	return bound
}

// ascent is the Hanan grid with a directed arc each way between neighbours: arc
// 4*v+dir leads to v from its neighbour in that direction.
type ascent struct {
	n     int
	step  [4]int  // from a node to its neighbour in each direction
	terms []int   // nodes of the places, the root first
	left  []int64 // length of an arc that is not charged yet, negative for no arc
	queue []int
}

// cutset is the set of nodes from which a terminal can be reached along fully
// charged arcs. It only grows.
type cutset struct {
	in   []bool
	arcs []int // into the set, from outside when last looked at
	root bool  // the root is in it
}

func newAscent(places []ipoint) *ascent {
	var e exact
	e.grid(places)
	w, h := len(e.xs), len(e.ys)
	a := &ascent{n: w * h, step: [4]int{1, w, -1, -w}, left: make([]int64, 4*w*h)}
	for _, p := range places {
		a.terms = append(a.terms, slices.Index(e.verts, p))
	}
	for v := range a.n {
		x, y := v%w, v/w
		for dir, ok := range [4]bool{x+1 < w, y+1 < h, x > 0, y > 0} {
			a.left[4*v+dir] = -1
			if ok {
				a.left[4*v+dir] = e.verts[v].rect(e.verts[v+a.step[dir]])
			}
		}
	}
	return a
}

// tail returns the node that an arc leaves.
func (a *ascent) tail(arc int) int { return arc/4 + a.step[arc%4] }

// enter adds node v to c, and all from which v can be reached along fully charged arcs.
func (a *ascent) enter(c *cutset, v int) {
	c.in[v] = true
	a.queue = append(a.queue[:0], v)
	for i := 0; i < len(a.queue); i++ {
		v := a.queue[i]
		c.root = c.root || v == a.terms[0]
		for dir := range 4 {
			left := a.left[4*v+dir]
			if left < 0 || c.in[v+a.step[dir]] {
				continue
			}
			if left > 0 {
				c.arcs = append(c.arcs, 4*v+dir)
				continue
			}
			c.in[v+a.step[dir]] = true
			a.queue = append(a.queue, v+a.step[dir])
		}
	}
}

// grow brings c up to date with the charges made since.
func (a *ascent) grow(c *cutset) {
	for i := 0; i < len(c.arcs); i++ {
		if u := a.tail(c.arcs[i]); a.left[c.arcs[i]] == 0 && !c.in[u] {
			a.enter(c, u)
		}
	}
	c.arcs = slices.DeleteFunc(c.arcs, func(arc int) bool { return c.in[a.tail(arc)] })
}

// charge charges all arcs into c as much as the shortest of them can bear.
func (a *ascent) charge(c *cutset) int64 {
	least := int64(math.MaxInt64)
	for _, arc := range c.arcs {
		least = min(least, a.left[arc])
	}
	for _, arc := range c.arcs {
		a.left[arc] -= least
	}
	return least
}
