package route

import (
	"strings"
	"testing"

	"loopwright/takeoff"
)

// The circuits are small enough to be worked out by hand; the rules are those of
// NFPA 72's pathway classes as the package fault states them.
func TestSurvive(t *testing.T) {
	types := []takeoff.DeviceType{{Type: "smoke", Addresses: 1}, {Type: "iso", Isolates: true}}
	tests := []struct {
		name   string
		walk   string // device types along a line, 10 m apart; "|" starts level 2
		class  Pathway
		lim    FaultLimits
		worst  int // devices lost by the worst short as drawn
		passes bool
		added  int
		now    bool
	}{
		{"class A loop without isolators loses all", "smoke smoke smoke smoke", ClassA, FaultLimits{Devices: 4}, 4, true, 0, true},
		// Two isolators at the panel's terminals keep the panel; inside the loop one
		// more between the second and third device makes two segments of two.
		{"class A, two at most", "smoke smoke smoke smoke", ClassA, FaultLimits{Devices: 2}, 4, false, 3, true},
		{"class A with an isolator drawn in the middle", "smoke smoke iso smoke smoke", ClassA, FaultLimits{Devices: 4}, 4, true, 0, true},
		// Before and after each device, and at both ends in the panel, which does not
		// isolate by itself.
		{"class X needs one on either side of everything", "smoke smoke", ClassX, FaultLimits{}, 2, false, 6, true},
		{"class B over two levels: one at the entry of level 2 cannot save it from a short below", "smoke smoke | smoke smoke", ClassB, FaultLimits{Zones: 1}, 4, false, 1, false},
		{"class A over three levels, two of which may be lost: the panel's terminals and one more", "smoke | smoke | smoke", ClassA, FaultLimits{Zones: 2}, 3, false, 3, true},
		{"class A over three levels, three of which may be lost", "smoke | smoke | smoke", ClassA, FaultLimits{Zones: 3}, 3, true, 0, true},
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

// lineCircuit strings devices of the given types one after the other.
func lineCircuit(walk string, class Pathway) (Circuit, []takeoff.Device) {
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
	if class.Returns() {
		c.Legs = append(c.Legs, Leg{From: last, To: "P", Length: 10, Return: true})
	}
	return c, ds
}
