package wire

import (
	"fmt"
	"math"

	"loopwright/route/circuit"
)

// Node is a place on a circuit: the control unit, a device or a branch point.
type Node struct {
	Series float64 // ohms that this device puts in series on the pathway, such as an isolator's
	Load   float64 // amperes that it draws; NaN means not known
}

// Leg is the cable between two neighboring nodes.
type Leg struct {
	circuit.Ends
	Length float64 // one-way cable in metres
}

// Circuit is a circuit as laid, in the shape that [circuit.Check] asks for.
// Nodes[0] is the control unit; a loop leaves it by the first leg listed there.
//
// A device's series resistance stands on the side from which it is fed, so the
// device's own voltage and the loop measured to it include it.
type Circuit struct {
	Class circuit.Class
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
	r := run{order: []int{0}, parent: make([]int, n), length: make([]float64, n)}
	for i, l := range c.Legs {
		at[l.From], at[l.To] = append(at[l.From], i), append(at[l.To], i)
		r.cable += l.Length
	}
	r.parent[0] = -1
	if c.Class.Looped() && len(c.Legs) > 0 {
		c.walkLoop(&r, at)
	} else {
		c.walkTree(&r, at)
	}
	return r, nil
}

func (c Circuit) check() error {
	if err := circuit.Check(c.Class, len(c.Nodes), c.Legs); err != nil {
		return err
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
		if !(l.Length >= 0) || math.IsInf(l.Length, 0) {
			return fmt.Errorf("leg %d: length %v m; give zero or more", i, l.Length)
		}
	}
	return nil
}

func (c Circuit) walkTree(r *run, at [][]int) {
	fed := make([]bool, len(c.Nodes))
	fed[0] = true
	for k := 0; k < len(r.order); k++ {
		v := r.order[k]
		for _, i := range at[v] {
			if w := c.Legs[i].Other(v); !fed[w] {
				fed[w], r.parent[w], r.length[w] = true, v, c.Legs[i].Length
				r.order = append(r.order, w)
			}
		}
	}
}

func (c Circuit) walkLoop(r *run, at [][]int) {
	leg, v := at[0][0], 0
	for {
		w := c.Legs[leg].Other(v)
		if w == 0 {
			r.last, r.back = v, c.Legs[leg].Length
			return
		}
		r.parent[w], r.length[w] = v, c.Legs[leg].Length
		r.order = append(r.order, w)
		leg = at[w][0] + at[w][1] - leg // the other of the two
		v = w
	}
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
