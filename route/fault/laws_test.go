package fault

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"loopwright/route/circuit"
)

// anyCircuit draws a chain, tree or loop of up to most nodes beside the control
// unit, with splices, protected places and isolators here and there.
func anyCircuit(t *rapid.T, most int) Circuit {
	c := Circuit{Class: rapid.SampledFrom([]circuit.Class{circuit.ClassA, circuit.ClassB, circuit.ClassB, circuit.ClassX}).Draw(t, "class")}
	n := rapid.IntRange(1, most).Draw(t, "nodes")
	rare := rapid.SampledFrom([]bool{false, false, false, false, true})
	chain := rapid.Bool().Draw(t, "chain")
	c.Nodes = []Node{{Isolator: rapid.Bool().Draw(t, "panel isolates")}}
	leg := func(from, to int) {
		c.Legs = append(c.Legs, Leg{circuit.Ends{From: from, To: to}, rare.Draw(t, "at from"), rare.Draw(t, "at to"), rare.Draw(t, "leg protected")})
	}
	for v := 1; v <= n; v++ {
		k := Node{Device: !rare.Draw(t, "splice"), Protected: rare.Draw(t, "protected")}
		if k.Device {
			k.Zone = rapid.SampledFrom([]string{"a", "a", "b", "c"}).Draw(t, "zone")
		}
		k.Isolator = rare.Draw(t, "isolator")
		c.Nodes = append(c.Nodes, k)
		if from := v - 1; c.Class.Looped() || chain {
			leg(from, v)
		} else {
			leg(rapid.IntRange(0, v-1).Draw(t, "from"), v)
		}
	}
	if c.Class.Looped() {
		leg(n, 0)
	}
	return c
}

func anyLimits(t *rapid.T) Limits {
	return Limits{MaxDevices: rapid.IntRange(0, 4).Draw(t, "most lost"), MaxZones: rapid.IntRange(0, 3).Draw(t, "most zones")}
}

func anyMethod(t *rapid.T) Method {
	return rapid.SampledFrom([]Method{OnLegs, InDevices}).Draw(t, "method")
}

func effects(t *rapid.T, c Circuit) []effect {
	g, err := newGraph(c)
	if err != nil {
		t.Fatal(err)
	}
	var out []effect
	for _, f := range g.faults() {
		out = append(out, simulate(t, c, f))
	}
	return out
}

func subset(a, b []int) bool {
	for _, x := range a {
		if !slices.Contains(b, x) {
			return false
		}
	}
	return true
}

// More isolators never lose more, by any short; opens do not notice them.
func TestMoreIsolatorsNeverLoseMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCircuit(t, 9)
		g, _ := newGraph(c)
		var extra []Site
		for _, s := range append(allSites(g, OnLegs), allSites(g, InDevices)...) {
			if rapid.Bool().Draw(t, "add") {
				extra = append(extra, s)
			}
		}
		before, after := effects(t, c), effects(t, with(c, extra))
		for i := range before {
			if !subset(after[i].Lost, before[i].Lost) {
				t.Fatalf("%s loses %v, with more isolators %v", before[i].Fault, before[i].Lost, after[i].Lost)
			}
			if before[i].Fault.Kind == Open && len(after[i].Lost) != len(before[i].Lost) {
				t.Fatalf("%s loses %v, with isolators %v", before[i].Fault, before[i].Lost, after[i].Lost)
			}
		}
	})
}

// What the classes promise against opens holds without a single isolator, and a
// short never loses less than an open in the same place.
func TestClassesKeepTheirPromise(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCircuit(t, 9)
		all := effects(t, c)
		for i := 0; i < len(all); i += 2 {
			open, short := all[i], all[i+1]
			if open.Fault.Kind != Open || short.Fault.Kind != Short {
				t.Fatal("an open and a short do not alternate")
			}
			if c.Class.Looped() && len(open.Lost) > 0 && !(len(open.Lost) == 1 && open.Lost[0] == open.Fault.Node) {
				t.Fatalf("class %s: %s loses %v", c.Class, open.Fault, open.Lost)
			}
			if !subset(open.Lost, short.Lost) {
				t.Fatalf("%s loses %v, %s only %v", open.Fault, open.Lost, short.Fault, short.Lost)
			}
		}
	})
}

// Class X as placed loses at most the device in which the short is, where the
// control unit's ports isolate.
func TestClassXAsPlacedLosesNoNeighbour(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCircuit(t, 9)
		c.Class = circuit.ClassX
		n := len(c.Nodes) - 1
		c.Legs = nil
		for v := 0; v <= n; v++ {
			c.Legs = append(c.Legs, Leg{Ends: circuit.Ends{From: v, To: (v + 1) % (n + 1)}})
		}
		c.Nodes[0].Isolator = true
		for v := range c.Nodes {
			c.Nodes[v].Protected = false
		}
		p, err := Place(c, Limits{}, anyMethod(t))
		if err != nil {
			t.Fatal(err)
		}
		if !p.Met || !p.Report.Passes {
			t.Fatalf("not met: %v", p.Incurable)
		}
		for _, e := range effects(t, p.Circuit) {
			if len(e.Lost) > 1 || len(e.Lost) == 1 && e.Lost[0] != e.Fault.Node {
				t.Fatalf("%s loses %v", e.Fault, e.Lost)
			}
		}
	})
}

// The fewest, on circuits with splices, protected places and isolators already
// there, against every smaller set; and nothing is added to a finished placement.
func TestPlaceIsFewest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, lim, m := anyCircuit(t, 6), anyLimits(t), anyMethod(t)
		p, err := Place(c, lim, m)
		if err != nil {
			t.Fatal(err)
		}
		fewest(t, c, lim, m, p)
		again, err := Place(p.Circuit, lim, m)
		if err != nil || len(again.Sites) != 0 {
			t.Fatalf("placed again: %s, %v", sitesText(again.Sites), err)
		}
	})
}

// On a chain both programs apply; they must ask for equally many.
func TestLineAndTreeAgreeOnChains(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCircuit(t, 30)
		c.Class = circuit.ClassB
		c.Legs = c.Legs[:len(c.Nodes)-1]
		for i := range c.Legs {
			c.Legs[i].From, c.Legs[i].To = i, i+1
		}
		lim, m := anyLimits(t), anyMethod(t)
		g, err := newGraph(c)
		if err != nil {
			t.Fatal(err)
		}
		o, err := newGoal(g, lim, m)
		if err != nil {
			t.Fatal(err)
		}
		l, ok := newLine(o, m)
		if !ok {
			t.Fatal("a chain is no line")
		}
		a, b := l.place(), newTree(o, m).place()
		if len(a) != len(b) {
			t.Fatalf("line: %s; tree: %s", sitesText(a), sitesText(b))
		}
	})
}

// A second way to work out a short on a chain or a loop: walk left and right
// along the line until an isolator, then say by class what is gone.
func TestShortAgainstWalkingTheLine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCircuit(t, 9)
		n := len(c.Nodes)
		for i := range c.Legs {
			c.Legs[i].From, c.Legs[i].To = i, (i+1)%n
		}
		// seq alternates nodes and legs, the control unit first; gap[i] is an isolator between seq[i-1] and seq[i].
		var names []Fault
		var gap []bool
		for i, l := range c.Legs {
			names = append(names, atNode(Short, i), onLeg(Short, i))
			gap = append(gap, i > 0 && (c.Legs[i-1].atTo || c.Nodes[i].Isolator), l.atFrom || c.Nodes[i].Isolator)
		}
		loop := c.Class.Looped()
		if !loop {
			if len(c.Legs) != n-1 {
				t.Fatal("not a chain")
			}
			names = append(names, atNode(Short, n-1))
			gap = append(gap, c.Legs[n-2].atTo || c.Nodes[n-1].Isolator)
		} else {
			gap[0] = c.Legs[n-1].atTo || c.Nodes[0].Isolator
		}
		size := len(names)
		for k := 1; k < size; k++ {
			lo, hi := k, k
			for lo > 0 && !gap[lo] {
				lo--
			}
			for hi+1 < size && !gap[hi+1] {
				hi++
			}
			all := lo == 0 || loop && hi == size-1 && !gap[0]
			var want []int
			for v := 1; v < n; v++ {
				at := 2 * v
				if c.Nodes[v].Device && (all || at >= lo && (at <= hi || !loop)) {
					want = append(want, v)
				}
			}
			e := simulate(t, c, names[k])
			if !slices.Equal(e.Lost, want) {
				t.Fatalf("%+v: %s loses %v, by walking %v", c, names[k], e.Lost, want)
			}
		}
	})
}

// Among equally few placements on a line, ours has the fewest isolators off a
// zone border, and of those the most even split.
func TestChoiceAmongFewest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 7).Draw(t, "devices")
		c := Circuit{Class: rapid.SampledFrom([]circuit.Class{circuit.ClassA, circuit.ClassB}).Draw(t, "class"), Nodes: []Node{{Isolator: true}}}
		for v := 1; v <= n; v++ {
			c.Nodes = append(c.Nodes, Node{Device: true, Zone: rapid.SampledFrom([]string{"a", "b"}).Draw(t, "zone")})
			c.Legs = append(c.Legs, Leg{Ends: circuit.Ends{From: v - 1, To: v}})
		}
		if c.Class == circuit.ClassA {
			c.Legs = append(c.Legs, Leg{Ends: circuit.Ends{From: n, To: 0}})
		}
		lim := Limits{MaxDevices: rapid.IntRange(1, 4).Draw(t, "most"), MaxZones: rapid.IntRange(0, 3).Draw(t, "most zones")}
		p, err := Place(c, lim, OnLegs)
		if err != nil {
			t.Fatal(err)
		}
		g, _ := newGraph(c)
		o, _ := newGoal(g, lim, OnLegs)
		off, squares := merit(c, p.Sites)
		sites := allSites(g, OnLegs)
		var try func(from int, chosen []Site)
		try = func(from int, chosen []Site) {
			if len(chosen) == len(p.Sites) {
				h, _ := newGraph(with(c, chosen))
				if o.met(h) {
					if f, s := merit(c, chosen); f < off || f == off && s < squares {
						t.Fatalf("%+v %+v: took %s (%d off, %d), better is %s (%d off, %d)", c, lim, sitesText(p.Sites), off, squares, sitesText(chosen), f, s)
					}
				}
				return
			}
			for i := from; i < len(sites); i++ {
				try(i+1, append(chosen[:len(chosen):len(chosen)], sites[i]))
			}
		}
		try(0, nil)
	})
}

// merit counts the sites off a zone border and the squares of devices per segment.
func merit(c Circuit, sites []Site) (off, squares int) {
	for _, s := range sites {
		l := c.Legs[s.Leg]
		if l.From != 0 && l.To != 0 && c.Nodes[l.From].Zone == c.Nodes[l.To].Zone {
			off++
		}
	}
	placed := with(c, sites)
	g, _ := newGraph(placed)
	t := newTally(g)
	for v := range c.Nodes[1:] {
		// Each device counts its whole segment once: the sum is that of the squares.
		d, _ := t.inSegment(v + 1)
		squares += d
	}
	return off, squares
}
