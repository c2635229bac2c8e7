package route

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"loopwright/route/circuit"
	"loopwright/takeoff"
)

// The circuits are small enough to be worked out by hand; the rules are those of
// NFPA 72's pathway classes as the package fault states them.
func TestSurvive(t *testing.T) {
	types := []takeoff.DeviceType{{Type: "smoke", Addresses: 1}, {Type: "iso", Isolates: true}}
	tests := []struct {
		name   string
		walk   string // device types along a line, 10 m apart; "|" starts level 2
		class  circuit.Class
		lim    FaultLimits
		worst  int // devices lost by the worst short as drawn
		passes bool
		added  int
		now    bool
	}{
		{"class A loop without isolators loses all", "smoke smoke smoke smoke", circuit.ClassA, FaultLimits{Devices: 4}, 4, true, 0, true},
		// Two isolators at the panel's terminals keep the panel; inside the loop one
		// more between the second and third device makes two segments of two.
		{"class A, two at most", "smoke smoke smoke smoke", circuit.ClassA, FaultLimits{Devices: 2}, 4, false, 3, true},
		{"class A with an isolator drawn in the middle", "smoke smoke iso smoke smoke", circuit.ClassA, FaultLimits{Devices: 4}, 4, true, 0, true},
		// Before and after each device, and at both ends in the panel, which does not
		// isolate by itself.
		{"class X needs one on either side of everything", "smoke smoke", circuit.ClassX, FaultLimits{}, 2, false, 6, true},
		{"class B over two levels: one at the entry of level 2 cannot save it from a short below", "smoke smoke | smoke smoke", circuit.ClassB, FaultLimits{Zones: 1}, 4, false, 1, false},
		{"class A over three levels, two of which may be lost: the panel's terminals and one more", "smoke | smoke | smoke", circuit.ClassA, FaultLimits{Zones: 2}, 3, false, 3, true},
		{"class A over three levels, three of which may be lost", "smoke | smoke | smoke", circuit.ClassA, FaultLimits{Zones: 3}, 3, true, 0, true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c, ds := lineCircuit(tt.walk, tt.class)
			s, err := Survive(c, ds, types, tt.lim, func(d takeoff.Device) string { return d.Level })
			if err != nil {
				t.Fatal(err)
			}
			if s.Worst.Short != tt.worst || s.Passes != tt.passes || len(s.Added) != tt.added || s.PassesNow != tt.now {
				t.Errorf("worst %d, passes %v, added %d, then %v; want %d, %v, %d, %v\n%v", s.Worst.Short, s.Passes, len(s.Added), s.PassesNow,
					tt.worst, tt.passes, tt.added, tt.now, s.Added)
			}
			if s.Passes && len(s.Findings(c, ds, tt.lim)) > 0 {
				t.Errorf("passes, and yet: %v", s.Findings(c, ds, tt.lim))
			}
		})
	}
}

// What people read: one finding for a circuit's isolators, with at most so many
// places named; what no isolator cures is an error beside it.
func TestFindingsOfSurvival(t *testing.T) {
	types := []takeoff.DeviceType{{Type: "smoke", Addresses: 1}}
	tests := []struct {
		name  string
		walk  string
		class circuit.Class
		lim   FaultLimits
		want  []string
	}{
		{"one isolator", "smoke smoke smoke smoke", circuit.ClassA, FaultLimits{Devices: 2, Zones: 1, Panel: true}, []string{
			"F407 warning: circuit C: a short between P and d1 loses 4 devices in 1 zone, and the job allows 2 devices of one zone; 1 isolator is enough: beside d2 towards d3"}},
		{"zones", "smoke | smoke | smoke", circuit.ClassA, FaultLimits{Zones: 2}, []string{
			"F407 warning: circuit C: a short between P and d1 loses 3 devices in 3 zones, and the job allows any number of devices of at most 2 zones; 3 isolators are enough: beside P towards d1, d1 towards d2, P towards d3"}},
		{"class X promises more than the job asks", "smoke smoke smoke smoke", circuit.ClassX, FaultLimits{Devices: 50, Panel: true}, []string{
			"F407 warning: circuit C: a short between P and d1 loses 4 devices in 1 zone, and class X may lose none; 8 isolators are enough: beside d1 towards P, d1 towards d2, d2 towards d1, d2 towards d3, d3 towards d2, d3 towards d4, d4 towards d3, d4 towards P; or an isolating base for each of its 4 devices instead: class_x: bases"}},
		{"class X with bases", "smoke smoke smoke smoke", circuit.ClassX, FaultLimits{Panel: true, Bases: true}, []string{
			"F407 warning: circuit C: a short between P and d1 loses 4 devices in 1 zone, and class X may lose none; with 4 isolating bases: d1, d2, d3, d4 it loses none"}},
		{"class X with bases, and a panel that does not isolate", "smoke smoke", circuit.ClassX, FaultLimits{Bases: true}, []string{
			"F407 warning: circuit C: a short between P and d1 loses 2 devices in 1 zone, and class X may lose none; with 2 isolating bases: d1, d2, and 2 isolators at the panel it loses none"}},
		{"class X, more than are named", "smoke smoke smoke smoke smoke", circuit.ClassX, FaultLimits{Panel: true}, []string{
			"F407 warning: circuit C: a short between P and d1 loses 5 devices in 1 zone, and class X may lose none; 10 isolators are enough: beside d1 towards P, d1 towards d2, d2 towards d1, d2 towards d3, d3 towards d2, d3 towards d4, d4 towards d3, d4 towards d5 and 2 more in the circuit's list of isolators; or an isolating base for each of its 5 devices instead: class_x: bases"}},
		{"not to be cured", "smoke smoke | smoke smoke", circuit.ClassB, FaultLimits{Zones: 1}, []string{
			"F406 error: circuit C: a short between P and d1 loses 4 devices in 2 zones, and the job allows any number of devices of one zone; no isolator brings 4 shorts within the limit: split the circuit, or change its class",
			"F407 warning: circuit C: for all other shorts 1 isolator is enough: beside d2 towards d3"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c, ds := lineCircuit(tt.walk, tt.class)
			s, err := Survive(c, ds, types, tt.lim, func(d takeoff.Device) string { return d.Level })
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, f := range s.Findings(c, ds, tt.lim) {
				got = append(got, f.String())
			}
			if !slices.Equal(got, tt.want) {
				t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(tt.want, "\n"))
			}
			if f, ok := IsolatorNote([]Survival{{}, s}, false); !ok || f.Severity != takeoff.Note || !strings.Contains(f.Message, fmt.Sprintf("%d, on 1 circuit;", len(s.Added))) {
				t.Errorf("%v %v", f, ok)
			}
		})
	}
}

// lineCircuit strings devices of the given types one after the other.
func lineCircuit(walk string, class circuit.Class) (Circuit, []takeoff.Device) {
	c := Circuit{Spec: Spec{Name: "C", Panel: "P", Pathway: class}}
	var ds []takeoff.Device
	level, last := "1", "P"
	for _, w := range strings.Fields(walk) {
		if w == "|" {
			level += "'"
			continue
		}
		id := "d" + string(rune('1'+len(ds)))
		ds = append(ds, takeoff.Device{ID: id, Type: w, Level: level})
		c.Legs = append(c.Legs, Leg{From: last, To: id, Length: 10})
		last = id
	}
	if class.Looped() {
		c.Legs = append(c.Legs, Leg{From: last, To: "P", Length: 10, Return: true})
	}
	return c, ds
}
