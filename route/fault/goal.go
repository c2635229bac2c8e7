package fault

import (
	"fmt"

	"loopwright/route/circuit"
)

// Method is where isolators may be put.
type Method uint8

// The two methods of placing isolators.
const (
	OnLegs    Method = iota + 1 // modules of their own, on a leg beside a node
	InDevices                   // inside devices, such as isolating bases
)

// String names the method.
func (m Method) String() string {
	switch m {
	case OnLegs:
		return "on legs"
	case InDevices:
		return "in devices"
	}
	return fmt.Sprintf("method %d", uint8(m))
}

// need is what a short at a part asks of a placement.
type need uint8

const (
	nothing   need = iota // protected, or no placement helps
	within                // all that is lost must be within the limits
	segmentIn             // class B, cannot be met as a whole: at least the segment itself must be within the limits
	promised              // class X: no device, or inside a device that device alone
)

// goal is what a placement has to reach, part by part.
//
// Some shorts cannot be brought within the limits by any placement: in class B a
// short near the control unit loses all that lies beyond, just as an open does.
// Which they are is found by putting an isolator at every site there is, since
// more isolators never lose more. For those the goal falls back to the segment
// alone, so that a long class B circuit still gets an isolator at each zone's entry.
type goal struct {
	g    *graph
	lim  Limits
	need []need
}

func newGoal(g *graph, lim Limits, m Method) (*goal, error) {
	full, err := newGraph(with(g.c, allSites(g, m)))
	if err != nil {
		return nil, err
	}
	out := &goal{g: g, lim: lim, need: make([]need, g.parts())}
	t := newTally(full)
	for x := 1; x < g.parts(); x++ {
		if g.judged(x) {
			out.need[x] = out.reach(t, x)
		}
	}
	return out, nil
}

// reach is the hardest need that the short at x meets with every site taken.
func (o *goal) reach(full *tally, x part) need {
	devices, zones := full.lost(Short, x)
	if o.g.c.Class == circuit.ClassX && devices <= o.promise(x) {
		return promised
	}
	if o.lim.allow(devices, zones) {
		return within
	}
	if o.g.c.Class == circuit.ClassB && o.lim.allow(full.inSegment(x)) {
		return segmentIn
	}
	return nothing
}

func (o *goal) promise(x part) int {
	if o.g.device(x) {
		return 1
	}
	return 0
}

// met reports whether a placement, given as the graph with its isolators,
// reaches the goal. It only simulates, and so judges the placers independently.
func (o *goal) met(placed *graph) bool {
	t := newTally(placed)
	for x, n := range o.need {
		if n == nothing {
			continue
		}
		devices, zones := t.lost(Short, x)
		switch {
		case n == promised && devices > o.promise(x),
			n == within && !o.lim.allow(devices, zones),
			n == segmentIn && !o.lim.allow(t.inSegment(x)):
			return false
		}
	}
	return true
}

// allSites lists the sites that the method may use and that hold no isolator yet.
func allSites(g *graph, m Method) []Site {
	var out []Site
	if m == InDevices {
		for v, n := range g.c.Nodes {
			if n.Device && !n.Isolator {
				out = append(out, Site{v, -1})
			}
		}
		return out
	}
	for _, p := range g.ports {
		if !p.isolated {
			out = append(out, Site{p.node, p.leg})
		}
	}
	return out
}

// with returns the circuit with isolators added at the sites.
func with(c Circuit, sites []Site) Circuit {
	c.Nodes = append([]Node(nil), c.Nodes...)
	c.Legs = append([]Leg(nil), c.Legs...)
	for _, s := range sites {
		switch {
		case s.Leg < 0:
			c.Nodes[s.Node].Isolator = true
		case c.Legs[s.Leg].From == s.Node:
			c.Legs[s.Leg].atFrom = true
		default:
			c.Legs[s.Leg].atTo = true
		}
	}
	return c
}
