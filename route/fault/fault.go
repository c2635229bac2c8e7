package fault

// Kind is the kind of a fault.
type Kind uint8

// The two kinds of single fault that are worked out.
const (
	Open Kind = iota + 1
	Short
)

// Fault is one fault on a leg or inside a node. The index that is not used is -1.
type Fault struct {
	Kind Kind
	Leg  int
	Node int
}

// onLeg and AtNode make a fault.
func onLeg(k Kind, leg int) Fault { return Fault{k, leg, -1} }

// atNode makes a fault inside a node.
func atNode(k Kind, node int) Fault { return Fault{k, -1, node} }

// Site is a place for an isolator: inside node Node where Leg is -1, else on leg
// Leg beside node Node.
type Site struct {
	Node int
	Leg  int
}

// partOf is the part that a fault strikes.
func (g *graph) partOf(f Fault) part {
	if f.Leg >= 0 {
		return len(g.c.Nodes) + f.Leg
	}
	return f.Node
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
		out = append(out, onLeg(Open, i), onLeg(Short, i))
	}
	for v := 1; v < len(g.c.Nodes); v++ {
		out = append(out, atNode(Open, v), atNode(Short, v))
	}
	return out
}
