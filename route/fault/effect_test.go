package fault

import (
	"slices"

	"pgregory.net/rapid"
)

// effect is what one fault does: the names to the numbers of a Loss.
type effect struct {
	Fault   Fault
	Lost    []int    // nodes of the devices lost, ascending
	Zones   []string // zones of those devices, sorted, each once
	Segment []int    // shorts: nodes of the devices in the shorted segment itself, ascending
	Opened  []Site   // shorts: ports whose isolators open, by leg
}

// simulate works out one fault, by the floods that Assess counts by.
func simulate(t rapid.TB, c Circuit, f Fault) effect {
	t.Helper()
	g, err := newGraph(c)
	if err != nil {
		t.Fatal(err)
	}
	e, segment, fed := effect{Fault: f}, newFlood(g), newFlood(g)
	g.trip(segment, fed, f.Kind, g.partOf(f))
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
