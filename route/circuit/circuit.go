// Package circuit is what a circuit is to all who work on one: its pathway class,
// the ends of its legs, and the shape that the class asks for, checked once.
package circuit

import "fmt"

// Class is the pathway class of a circuit, in the words of the fire alarm code.
type Class string

// The classes that are laid.
const (
	ClassA Class = "A" // loop: survives a single open
	ClassB Class = "B" // chain or tree: an open loses what lies beyond it
	ClassX Class = "X" // loop: survives a single open or short
)

// Looped reports whether a circuit of the class comes back to the control unit.
func (c Class) Looped() bool { return c == ClassA || c == ClassX }

// Ends are the two neighbors, by index, between which a leg runs.
type Ends struct{ From, To int }

// Between returns the ends of a leg, for a leg of any kind that holds them.
func (e Ends) Between() Ends { return e }

// Other returns the end across from node v.
func (e Ends) Other(v int) int {
	if e.From == v {
		return e.To
	}
	return e.From
}

// Check returns an error unless the legs join the nodes, numbered from 0 for the
// control unit, in the shape of the class: a tree in class B; in class A and X
// one loop that leaves node 0, passes every other node once and comes back. Legs
// may come in any order and either way round.
func Check[L interface{ Between() Ends }](class Class, nodes int, legs []L) error {
	if class != ClassA && class != ClassB && class != ClassX {
		return fmt.Errorf("pathway class %q: use A, B or X", class)
	}
	if nodes == 0 {
		return fmt.Errorf("a circuit needs node 0, the control unit")
	}
	at := make([][]int, nodes) // neighbors of each node
	for i, l := range legs {
		e := l.Between()
		if e.From < 0 || e.From >= nodes || e.To < 0 || e.To >= nodes || e.From == e.To {
			return fmt.Errorf("leg %d runs from node %d to node %d; give two different nodes of 0 to %d", i, e.From, e.To, nodes-1)
		}
		at[e.From], at[e.To] = append(at[e.From], e.To), append(at[e.To], e.From)
	}
	looped := class.Looped() && nodes+len(legs) > 1 // a control unit alone is in shape
	if !looped && len(legs) != nodes-1 {
		return fmt.Errorf("a class %s circuit of %d nodes needs %d legs and has %d", class, nodes, nodes-1, len(legs))
	}
	for v, next := range at {
		if looped && len(next) != 2 {
			return fmt.Errorf("node %d has %d legs; in a class %s loop every node has two", v, len(next), class)
		}
	}
	fed, queue := make([]bool, nodes), []int{0}
	fed[0] = true
	for k := 0; k < len(queue); k++ {
		for _, v := range at[queue[k]] {
			if !fed[v] {
				fed[v] = true
				queue = append(queue, v)
			}
		}
	}
	for v, ok := range fed {
		if !ok {
			return fmt.Errorf("node %d is not connected to the control unit", v)
		}
	}
	return nil
}
