package fault

import (
	"fmt"
	"slices"
)

// Kind is the kind of a fault.
type Kind uint8

// The two kinds of single fault that are worked out.
const (
	Open Kind = iota + 1
	Short
)

// String is "open" or "short".
func (k Kind) String() string {
	if k == Short {
		return "short"
	}
	return "open"
}

// Fault is one fault on a leg or inside a node. The index that is not used is -1.
type Fault struct {
	Kind Kind
	Leg  int
	Node int
}

// OnLeg and AtNode make a fault.
func OnLeg(k Kind, leg int) Fault { return Fault{k, leg, -1} }

// AtNode makes a fault inside a node.
func AtNode(k Kind, node int) Fault { return Fault{k, -1, node} }

// String names kind and place by index.
func (f Fault) String() string {
	if f.Leg >= 0 {
		return fmt.Sprintf("%s on leg %d", f.Kind, f.Leg)
	}
	return fmt.Sprintf("%s at node %d", f.Kind, f.Node)
}

// Site is a place for an isolator: inside node Node where Leg is -1, else on leg
// Leg beside node Node.
type Site struct {
	Node int
	Leg  int
}

// Effect is what one fault does.
type Effect struct {
	Fault   Fault
	Lost    []int    // nodes of the devices lost, ascending
	Zones   []string // zones of those devices, sorted, each once
	Segment []int    // shorts: nodes of the devices in the shorted segment itself, ascending
	Opened  []Site   // shorts: ports whose isolators open, by leg
}

// Simulate works out one fault.
func Simulate(c Circuit, f Fault) (Effect, error) {
	g, err := newGraph(c)
	if err != nil {
		return Effect{}, err
	}
	x, err := g.partOf(f)
	if err != nil {
		return Effect{}, err
	}
	return g.effect(newFlood(g), newFlood(g), f, x), nil
}

func (g *graph) partOf(f Fault) (part, error) {
	switch {
	case f.Kind != Open && f.Kind != Short:
		return 0, fmt.Errorf("fault kind %d: use Open or Short", f.Kind)
	case f.Leg >= 0 && f.Leg < len(g.c.Legs) && f.Node < 0:
		return len(g.c.Nodes) + f.Leg, nil
	case f.Node > 0 && f.Node < len(g.c.Nodes) && f.Leg < 0:
		return f.Node, nil
	}
	return 0, fmt.Errorf("fault on leg %d, node %d: name one leg of 0 to %d, or one node of 1 to %d, and -1 for the other", f.Leg, f.Node, len(g.c.Legs)-1, len(g.c.Nodes)-1)
}

// effect floods the segment and then what the control unit still reaches.
func (g *graph) effect(segment, fed *flood, f Fault, x part) Effect {
	e := Effect{Fault: f}
	g.trip(segment, fed, f.Kind, x)
	for v, n := range g.c.Nodes {
		if !n.Device {
			continue
		}
		if f.Kind == Short && segment.seen[v] {
			e.Segment = append(e.Segment, v)
		}
		if segment.seen[v] || !fed.seen[v] {
			e.Lost = append(e.Lost, v)
			if i, found := slices.BinarySearch(e.Zones, n.Zone); !found {
				e.Zones = slices.Insert(e.Zones, i, n.Zone)
			}
		}
	}
	if f.Kind == Short {
		for _, p := range g.ports {
			if p.isolated && segment.seen[p.node] != segment.seen[len(g.c.Nodes)+p.leg] {
				e.Opened = append(e.Opened, Site{p.node, p.leg})
			}
		}
	}
	return e
}

// trip marks the parts taken by the fault in segment, and in fed all that the
// control unit reaches past them; fed also holds the segment itself.
func (g *graph) trip(segment, fed *flood, k Kind, x part) {
	segment.reset()
	if k == Short {
		segment.segment(x)
	} else {
		segment.seen[x] = true
	}
	copy(fed.seen, segment.seen)
	fed.from(0)
}

// faults lists every fault of the circuit: legs first, then nodes, at each place the open first.
func (g *graph) faults() []Fault {
	var out []Fault
	for i := range g.c.Legs {
		out = append(out, OnLeg(Open, i), OnLeg(Short, i))
	}
	for v := 1; v < len(g.c.Nodes); v++ {
		out = append(out, AtNode(Open, v), AtNode(Short, v))
	}
	return out
}
