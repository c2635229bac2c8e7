package fault

import (
	"fmt"
	"slices"
)

// Placement is where isolators go.
type Placement struct {
	Sites     []Site  // added to those already there, by leg, then node; the fewest that reach the goal
	Circuit   Circuit // with them
	Report    Report  // of that circuit
	Met       bool    // no judged short is over the limits, and class X keeps its promise
	Incurable []Fault // judged shorts that no isolator of this method brings within the limits (or a class X promise)
}

// Place finds the fewest isolators to add so that no judged short costs more
// than the limits allow, and in class X so that the class keeps its promise.
// Isolators already there stay and are used. Limits.Opens has no bearing: no
// isolator helps against an open.
//
// A short that no placement can bring within the limits (Incurable) does not
// stop the rest from being placed for. In class B such a short, which loses all
// beyond it as an open does, still has to lose no more than the limits allow
// within its own segment: an isolator at each zone's entry, and between every
// MaxDevices devices.
//
// Among equally small placements, the one with most isolators at zone borders is
// taken; among those, on a chain or a loop, the most even split of devices over
// segments, then the one nearest the start. On a tree with branches the last
// choice is a fixed order only, and not the even split.
func Place(c Circuit, lim Limits, m Method) (Placement, error) {
	if m != OnLegs && m != InDevices {
		return Placement{}, fmt.Errorf("%s: place isolators with OnLegs or InDevices", m)
	}
	g, err := newGraph(c)
	if err != nil {
		return Placement{}, err
	}
	if err := lim.check(); err != nil {
		return Placement{}, err
	}
	o, err := newGoal(g, lim, m)
	if err != nil {
		return Placement{}, err
	}
	var p Placement
	if l, ok := newLine(o, m); ok {
		p.Sites = l.place()
	} else {
		p.Sites = newTree(o, m).place()
	}
	slices.SortFunc(p.Sites, func(a, b Site) int {
		if a.Leg != b.Leg {
			return a.Leg - b.Leg
		}
		return a.Node - b.Node
	})
	p.Circuit = with(c, p.Sites)
	placed, err := newGraph(p.Circuit)
	if err != nil {
		return Placement{}, err
	}
	if !o.met(placed) {
		return Placement{}, fmt.Errorf("isolators: the placement found does not hold when simulated; please report this circuit")
	}
	p.Report = placed.assess(lim)
	p.Met = true
	for _, l := range p.Report.Losses {
		if l.Fault.Kind == Short && (l.OverLimit || l.BreaksClass) {
			p.Met = false
			p.Incurable = append(p.Incurable, l.Fault)
		}
	}
	return p, nil
}
