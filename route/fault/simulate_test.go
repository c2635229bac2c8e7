package fault

import (
	"strings"
	"testing"

	"loopwright/route/circuit"
)

// Pathway performance as NFPA 72 defines the classes (class A outlives an open,
// class X an open or a short, class B loses what lies beyond an open); the losses
// are worked out by hand from the drawing beside them. Nodes lost are listed.
func TestSimulate(t *testing.T) {
	for _, tt := range []struct {
		class circuit.Class
		text  string
		want  []string
	}{
		{circuit.ClassB, "P - a - a - a", []string{
			"open leg 0: 1 2 3", "open leg 1: 2 3", "open leg 2: 3", "open node 2: 2 3",
			"short leg 0: 1 2 3", "short leg 2: 1 2 3", "short node 3: 1 2 3",
		}},
		{circuit.ClassB, "P - a |- b -| c", []string{
			"short leg 0: 1 2 3", "short node 1: 1 2 3", "short leg 1: 2 3", "short node 2: 2 3", "short leg 2: 2 3", "short node 3: 3",
		}},
		{circuit.ClassB, "P - [a] - b - [c]", []string{
			"short leg 0: 1 2 3", "short node 1: 1 2 3", "short leg 1: 2 3", "short node 2: 2 3", "short leg 2: 2 3", "short node 3: 3",
		}},
		// The panel's ports isolate: a short inside device 1 loses it and what lies beyond, and an open too.
		{circuit.ClassB, "[P] - [a] - b", []string{"short leg 0: 1 2", "short node 1: 1 2", "short leg 1: 2", "open node 1: 1 2"}},
		// T-taps: each branch has its isolator at the splice.
		{circuit.ClassB, "P - + ( |- a - a ) ( |- b ) - c", []string{
			"short leg 0: 2 3 4 5", "short leg 1: 2 3", "short leg 2: 2 3", "short leg 3: 4", "short leg 4: 2 3 4 5",
			"open leg 1: 2 3", "open leg 3: 4", "open node 1: 2 3 4 5",
		}},
		// Isolator modules of their own, drawn as places on the circuit.
		{circuit.ClassA, "P - [+] - a - b - [+] - c - [+] - P", []string{
			"short leg 0: 2 3 5", "short leg 1: 2 3", "short leg 3: 2 3", "short leg 4: 5", "short node 1:", "short node 4:", "open node 4:", "short leg 6: 2 3 5",
		}},
		{circuit.ClassA, "P - a - b - c - P", []string{
			"open leg 0:", "open leg 1:", "open leg 3:", "open node 2: 2",
			"short leg 0: 1 2 3", "short leg 2: 1 2 3", "short node 2: 1 2 3",
		}},
		{circuit.ClassA, "P |- a - b |- c -| P", []string{
			"short leg 0: 1 2", "short leg 1: 1 2", "short leg 2: 3", "short leg 3: 3", "short node 1: 1 2", "short node 3: 3",
			"open leg 2:", "open node 3: 3",
		}},
		// One isolator alone splits nothing off a loop: both its sides meet at the control unit.
		{circuit.ClassA, "P - a |- b - P", []string{"short leg 0: 1 2", "short leg 1: 1 2", "short leg 2: 1 2"}},
		{circuit.ClassX, "[P] - [a] - [a] - [b] - P", []string{
			"short leg 0:", "short leg 1:", "short leg 3:", "short node 1: 1", "short node 3: 3", "open leg 2:", "open node 2: 2",
		}},
		{circuit.ClassX, "P |-| a |-| b |-| P", []string{"short leg 0:", "short leg 1:", "short leg 2:", "short node 1: 1", "short node 2: 2"}},
	} {
		c := sketch(t, tt.class, tt.text)
		for _, w := range tt.want {
			place, want, _ := strings.Cut(w, ":")
			e := simulate(t, c, parseFault(t, place))
			if got := nodesText(e.Lost); got != strings.TrimSpace(want) {
				t.Errorf("class %s %q: %s loses %q, want %q", tt.class, tt.text, place, got, want)
			}
		}
	}
}

func TestEffectNamesZonesAndIsolators(t *testing.T) {
	c := sketch(t, circuit.ClassA, "P |- b - [a] - a |- c -| P")
	e := simulate(t, c, onLeg(Short, 2))
	if nodesText(e.Lost) != "3" || nodesText(e.Segment) != "3" || strings.Join(e.Zones, ",") != "a" || sitesText(e.Opened) != "leg 2 at 2, leg 3 at 3" {
		t.Errorf("%+v", e)
	}
	e = simulate(t, sketch(t, circuit.ClassB, "P - b - a - c"), onLeg(Short, 0))
	if strings.Join(e.Zones, ",") != "a,b,c" || len(e.Opened) != 0 {
		t.Errorf("%+v", e)
	}
}

func TestAssess(t *testing.T) {
	c := sketch(t, circuit.ClassB, "P - a - a |- b - b")
	r, err := Assess(c, Limits{MaxDevices: 3, MaxZones: 1})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Losses) != 16 || r.Passes || r.Losses[r.WorstShort].Fault != onLeg(Short, 0) || r.Losses[r.WorstOpen].Fault != onLeg(Open, 0) {
		t.Errorf("%+v", r)
	}
	if got := nodesText(r.ByLoss); got != "0 1 2 3" {
		t.Errorf("legs by loss: %s", got)
	}
	// Legs 0 and 1 and nodes 1 and 2 lose all four, by a short; opens are not judged here.
	if len(r.OverLimit) != 4 || len(r.BreaksClass) != 0 {
		t.Errorf("over the limit: %v", r.OverLimit)
	}
	r, _ = Assess(c, Limits{MaxDevices: 3, MaxZones: 1, Opens: true})
	if len(r.OverLimit) != 8 {
		// Opens on leg 0 (4 lost), leg 1 (3, two zones), node 1 (4), node 2 (3, two zones).
		t.Errorf("with opens: %v", r.OverLimit)
	}
	r, _ = Assess(c, Limits{MaxDevices: 4})
	if !r.Passes {
		t.Errorf("four devices of four: %+v", r)
	}
	r, _ = Assess(sketch(t, circuit.ClassX, "P |-| a |- b |-| P"), Limits{})
	// Leg 1 is joined to device 2: a short there loses it, which class X does not allow.
	if r.Passes || len(r.BreaksClass) != 1 || r.Losses[r.BreaksClass[0]].Fault != onLeg(Short, 1) {
		t.Errorf("%+v", r)
	}
	r, _ = Assess(sketch(t, circuit.ClassA, "P - a - b - P"), Limits{MaxZones: 1})
	if r.Passes || len(r.BreaksClass) != 0 || len(r.OverLimit) != 5 {
		t.Errorf("%+v", r)
	}
	r, _ = Assess(sketch(t, circuit.ClassB, "P = a* |- b"), Limits{MaxZones: 1})
	if !r.Passes {
		t.Errorf("protected legs are not judged: %+v", r)
	}
}

func TestCircuitErrors(t *testing.T) {
	for _, tt := range []struct {
		name string
		c    Circuit
		want string
	}{
		{"class", Circuit{Nodes: make([]Node, 1)}, "pathway class"},
		{"device 0", Circuit{Class: circuit.ClassB, Nodes: []Node{{Device: true}}}, "cannot be a device"},
		{"loop in B", Circuit{Class: circuit.ClassB, Nodes: make([]Node, 2), Legs: []Leg{{Ends: circuit.Ends{From: 0, To: 1}}, {Ends: circuit.Ends{From: 1, To: 0}}}}, "needs 1 legs"},
	} {
		_, err := Assess(tt.c, Limits{})
		if err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: got %v, want an error with %q", tt.name, err, tt.want)
		}
		if _, err := Place(tt.c, Limits{}, OnLegs); err == nil {
			t.Errorf("%s: Place takes it", tt.name)
		}
	}
	ok := sketch(t, circuit.ClassB, "P - a")
	if _, err := Assess(ok, Limits{MaxDevices: -1}); err == nil {
		t.Error("a negative limit is taken")
	}
	if _, err := Place(ok, Limits{MaxDevices: -1}, OnLegs); err == nil {
		t.Error("a negative limit is taken")
	}
	if _, err := Place(ok, Limits{}, 0); err == nil {
		t.Error("no method is taken")
	}
	for _, class := range []circuit.Class{circuit.ClassA, circuit.ClassB, circuit.ClassX} {
		r, err := Assess(Circuit{Class: class, Nodes: make([]Node, 1)}, Limits{MaxDevices: 1})
		if err != nil || !r.Passes || r.WorstShort != -1 {
			t.Errorf("a control unit alone, class %s: %+v %v", class, r, err)
		}
	}
}
