package fault

import (
	"fmt"

	"loopwright/route/circuit"
)

// Node is a place on a circuit.
type Node struct {
	Device    bool   // false for the control unit and for a bare splice
	Zone      string // of a device; a level is a zone unless the job divides it further
	Isolator  bool   // inside the device, in the ports of the control unit, or an isolator module that counts as no device
	Protected bool   // faults here are worked out and listed but not judged; the caller's decision
}

// Leg is the cable between two neighboring nodes.
type Leg struct {
	circuit.Ends
	atFrom, atTo bool // an isolator on the leg, beside that node
	protected    bool // as Node.Protected, for instance a riser that the adopted code exempts
}

// Circuit is a circuit as laid, in the shape that [circuit.Check] asks for.
// Nodes[0] is the control unit.
type Circuit struct {
	Class circuit.Class
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
		return !g.c.Legs[x-len(g.c.Nodes)].protected
	}
	return x != 0 && !g.c.Nodes[x].Protected
}

// newGraph checks the circuit and builds its graph.
func newGraph(c Circuit) (*graph, error) {
	if err := circuit.Check(c.Class, len(c.Nodes), c.Legs); err != nil {
		return nil, err
	}
	if c.Nodes[0].Device {
		return nil, fmt.Errorf("node 0 is the control unit and cannot be a device")
	}
	g := &graph{c: c, at: make([][]int, len(c.Nodes)+len(c.Legs))}
	for i, l := range c.Legs {
		g.join(port{i, l.From, true, l.atFrom || c.Nodes[l.From].Isolator})
		g.join(port{i, l.To, false, l.atTo || c.Nodes[l.To].Isolator})
	}
	return g, nil
}

func (g *graph) join(p port) {
	k := len(g.ports)
	g.ports = append(g.ports, p)
	g.at[p.node] = append(g.at[p.node], k)
	leg := len(g.c.Nodes) + p.leg
	g.at[leg] = append(g.at[leg], k)
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
