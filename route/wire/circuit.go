package wire

import (
	"fmt"
	"math"
)

// Class is the pathway class of a circuit.
type Class byte

// The pathway classes that a circuit can be laid in.
const (
	ClassA Class = 'A' // loop that returns to the control unit
	ClassB Class = 'B' // chain or tree
	ClassX Class = 'X' // loop with isolation around every device
)

// Looped reports whether the class returns to the control unit.
func (c Class) Looped() bool { return c == ClassA || c == ClassX }

// Node is a place on a circuit: the control unit, a device or a branch point.
type Node struct {
	Series float64 // ohms that this device puts in series on the pathway, such as an isolator's
	Load   float64 // amperes that it draws; NaN means not known
}

// Leg is the cable between two neighbouring nodes.
type Leg struct {
	From, To int     // indices of nodes
	Length   float64 // one-way cable in metres
}

// Circuit is a circuit as laid. Nodes[0] is the control unit. A class B circuit
// is a tree (a chain is the tree without branches); a class A or X circuit is
// one loop that leaves node 0 by the first leg listed there, passes every other
// node once and comes back to node 0. Legs may be listed in any order and either way round.
//
// A device's series resistance stands on the side from which it is fed, so the
// device's own voltage and the loop measured to it include it.
type Circuit struct {
	Class Class
	Nodes []Node
	Legs  []Leg
}

// run is a circuit in feeding order: every node after the one that feeds it.
type run struct {
	order  []int     // nodes, the control unit first
	parent []int     // node that feeds each node; -1 for the control unit
	length []float64 // of the leg that feeds each node
	last   int       // looped classes: the node from which the return leg goes home
	back   float64   // looped classes: length of the return leg
	cable  float64   // sum of all legs
}

// walk checks the circuit and puts it into feeding order.
func (c Circuit) walk() (run, error) {
	if err := c.check(); err != nil {
		return run{}, err
	}
	n := len(c.Nodes)
	at := make([][]int, n) // legs at each node
	r := run{parent: make([]int, n), length: make([]float64, n)}
	for i, l := range c.Legs {
		at[l.From] = append(at[l.From], i)
		at[l.To] = append(at[l.To], i)
		r.cable += l.Length
	}
	if c.Class.Looped() && len(c.Legs) > 0 {
		return c.walkLoop(r, at)
	}
	return c.walkTree(r, at)
}

func (c Circuit) check() error {
	if c.Class != ClassA && c.Class != ClassB && c.Class != ClassX {
		return fmt.Errorf("pathway class %q: use A, B or X", string(rune(c.Class)))
	}
	if len(c.Nodes) == 0 {
		return fmt.Errorf("a circuit needs node 0, the control unit")
	}
	for i, n := range c.Nodes {
		if !(n.Series >= 0) || math.IsInf(n.Series, 0) {
			return fmt.Errorf("node %d: series resistance %v ohm; give zero or more", i, n.Series)
		}
		if n.Load < 0 || math.IsInf(n.Load, 0) {
			return fmt.Errorf("node %d: load %v A; give zero or more, or NaN where it is not known", i, n.Load)
		}
	}
	for i, l := range c.Legs {
		if l.From < 0 || l.From >= len(c.Nodes) || l.To < 0 || l.To >= len(c.Nodes) || l.From == l.To {
			return fmt.Errorf("leg %d runs from node %d to node %d; give two different nodes of 0 to %d", i, l.From, l.To, len(c.Nodes)-1)
		}
		if !(l.Length >= 0) || math.IsInf(l.Length, 0) {
			return fmt.Errorf("leg %d: length %v m; give zero or more", i, l.Length)
		}
	}
	return nil
}

// other returns the node at the far end of leg i from node v.
func (c Circuit) other(i, v int) int {
	if c.Legs[i].From == v {
		return c.Legs[i].To
	}
	return c.Legs[i].From
}

func (c Circuit) walkTree(r run, at [][]int) (run, error) {
	if len(c.Legs) != len(c.Nodes)-1 {
		return run{}, fmt.Errorf("a class %c circuit of %d nodes needs %d legs and has %d", c.Class, len(c.Nodes), len(c.Nodes)-1, len(c.Legs))
	}
	for i := range r.parent {
		r.parent[i] = -2
	}
	r.parent[0] = -1
	r.order = append(r.order, 0)
	for k := 0; k < len(r.order); k++ {
		v := r.order[k]
		for _, i := range at[v] {
			if w := c.other(i, v); r.parent[w] == -2 {
				r.parent[w], r.length[w] = v, c.Legs[i].Length
				r.order = append(r.order, w)
			}
		}
	}
	for v, p := range r.parent {
		if p == -2 {
			return run{}, fmt.Errorf("node %d is not connected to the control unit", v)
		}
	}
	return r, nil
}

func (c Circuit) walkLoop(r run, at [][]int) (run, error) {
	for v, legs := range at {
		if len(legs) != 2 {
			return run{}, fmt.Errorf("node %d has %d legs; in a class %c loop every node has two", v, len(legs), c.Class)
		}
	}
	r.parent[0] = -1
	r.order = append(r.order, 0)
	leg, v := at[0][0], 0
	for {
		w := c.other(leg, v)
		if w == 0 {
			r.last, r.back = v, c.Legs[leg].Length
			break
		}
		r.parent[w], r.length[w] = v, c.Legs[leg].Length
		r.order = append(r.order, w)
		if at[w][0] == leg {
			leg = at[w][1]
		} else {
			leg = at[w][0]
		}
		v = w
	}
	if len(r.order) != len(c.Nodes) {
		return run{}, fmt.Errorf("the loop from the control unit passes %d of %d nodes; a class %c circuit is one loop", len(r.order), len(c.Nodes), c.Class)
	}
	return r, nil
}

// reversed returns a looped run fed from the return terminals.
func (r run) reversed() run {
	n := len(r.order)
	out := run{parent: make([]int, n), length: make([]float64, n), cable: r.cable, order: []int{0}}
	out.parent[0] = -1
	prev, length := 0, r.back
	for k := n - 1; k > 0; k-- {
		v := r.order[k]
		out.order = append(out.order, v)
		out.parent[v], out.length[v] = prev, length
		prev, length = v, r.length[v]
	}
	out.last, out.back = prev, length
	return out
}
