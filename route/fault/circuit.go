package fault

import "fmt"

// Class is the pathway class of a circuit.
type Class byte

// The pathway classes that a circuit can be laid in.
const (
	ClassA Class = 'A' // loop: no single open on a leg loses a device
	ClassB Class = 'B' // chain or tree: an open loses what lies beyond
	ClassX Class = 'X' // loop: no single open or short on a leg loses a device
)

// Looped reports whether the class returns to the control unit.
func (c Class) Looped() bool { return c == ClassA || c == ClassX }

// Node is a place on a circuit.
type Node struct {
	Device    bool   // false for the control unit and for a bare splice
	Zone      string // of a device; a level is a zone unless the job divides it further
	Isolator  bool   // inside the device, in the ports of the control unit, or an isolator module that counts as no device
	Protected bool   // faults here are worked out and listed but not judged; the caller's decision
}

// Leg is the cable between two neighbouring nodes.
type Leg struct {
	From, To     int
	AtFrom, AtTo bool // an isolator on the leg, beside that node
	Protected    bool // as Node.Protected, for instance a riser that the adopted code exempts
}

// Circuit is a circuit as laid. Nodes[0] is the control unit. Class B is a tree;
// class A and X are one loop through node 0 and every other node.
type Circuit struct {
	Class Class
	Nodes []Node
	Legs  []Leg
}

// part is a node or a leg in the fault graph: nodes are 0 to len(Nodes)-1, leg i is len(Nodes)+i.
type part = int

// port joins a node and a leg.
type port struct {
	leg, node int
	atFrom    bool
	isolated  bool
}

// graph is a circuit seen as parts and ports.
type graph struct {
	c     Circuit
	ports []port  // two for each leg: at From, at To
	at    [][]int // ports of each part
}

func (g *graph) parts() int { return len(g.c.Nodes) + len(g.c.Legs) }

// beyond returns the part on the other side of port p from part x.
func (g *graph) beyond(p int, x part) part {
	if leg := len(g.c.Nodes) + g.ports[p].leg; leg != x {
		return leg
	}
	return g.ports[p].node
}

func (g *graph) device(x part) bool { return x < len(g.c.Nodes) && g.c.Nodes[x].Device }

// judged reports whether a fault at the part is held against limits.
func (g *graph) judged(x part) bool {
	if x >= len(g.c.Nodes) {
		return !g.c.Legs[x-len(g.c.Nodes)].Protected
	}
	return x != 0 && !g.c.Nodes[x].Protected
}

// newGraph checks the circuit and builds its graph.
func newGraph(c Circuit) (*graph, error) {
	if c.Class != ClassA && c.Class != ClassB && c.Class != ClassX {
		return nil, fmt.Errorf("pathway class %q: use A, B or X", string(rune(c.Class)))
	}
	if len(c.Nodes) == 0 {
		return nil, fmt.Errorf("a circuit needs node 0, the control unit")
	}
	if c.Nodes[0].Device {
		return nil, fmt.Errorf("node 0 is the control unit and cannot be a device")
	}
	g := &graph{c: c, at: make([][]int, len(c.Nodes)+len(c.Legs))}
	for i, l := range c.Legs {
		if l.From < 0 || l.From >= len(c.Nodes) || l.To < 0 || l.To >= len(c.Nodes) || l.From == l.To {
			return nil, fmt.Errorf("leg %d runs from node %d to node %d; give two different nodes of 0 to %d", i, l.From, l.To, len(c.Nodes)-1)
		}
		g.join(port{i, l.From, true, l.AtFrom || c.Nodes[l.From].Isolator})
		g.join(port{i, l.To, false, l.AtTo || c.Nodes[l.To].Isolator})
	}
	return g, g.checkShape()
}

func (g *graph) join(p port) {
	k := len(g.ports)
	g.ports = append(g.ports, p)
	g.at[p.node] = append(g.at[p.node], k)
	leg := len(g.c.Nodes) + p.leg
	g.at[leg] = append(g.at[leg], k)
}

func (g *graph) checkShape() error {
	n, class := len(g.c.Nodes), g.c.Class
	looped := class.Looped() && n+len(g.c.Legs) > 1
	if want := n - 1; !looped && len(g.c.Legs) != want {
		return fmt.Errorf("a class %c circuit of %d nodes needs %d legs and has %d", class, n, want, len(g.c.Legs))
	}
	if looped {
		for v := range n {
			if len(g.at[v]) != 2 {
				return fmt.Errorf("node %d has %d legs; in a class %c loop every node has two", v, len(g.at[v]), class)
			}
		}
	}
	fed := newFlood(g)
	fed.from(0)
	for v := range n {
		if !fed.seen[v] {
			return fmt.Errorf("node %d is not connected to the control unit", v)
		}
	}
	return nil
}

// flood finds the parts that can be reached. It is kept and reused, since a
// large circuit has thousands of faults to work out.
type flood struct {
	g     *graph
	seen  []bool
	queue []part
}

func newFlood(g *graph) *flood { return &flood{g: g, seen: make([]bool, g.parts())} }

func (f *flood) reset() { clear(f.seen) }

// from marks everything reachable from x. Parts already marked are walls.
func (f *flood) from(x part) { f.spread(x, false) }

// segment marks everything joined to x by ports without isolators.
func (f *flood) segment(x part) { f.spread(x, true) }

func (f *flood) spread(x part, stopAtIsolators bool) {
	if f.seen[x] {
		return
	}
	f.seen[x] = true
	f.queue = append(f.queue[:0], x)
	for len(f.queue) > 0 {
		v := f.queue[len(f.queue)-1]
		f.queue = f.queue[:len(f.queue)-1]
		for _, p := range f.g.at[v] {
			if stopAtIsolators && f.g.ports[p].isolated {
				continue
			}
			if w := f.g.beyond(p, v); !f.seen[w] {
				f.seen[w] = true
				f.queue = append(f.queue, w)
			}
		}
	}
}
