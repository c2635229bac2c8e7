package route

import (
	"strings"
	"testing"

	"loopwright/route/circuit"
	"loopwright/takeoff"
)

// Class A, no more than two devices by one short, a panel that does not isolate:
// one isolator at either end in the panel and one between the second and the third.
func TestWalkWithIsolatorsToAdd(t *testing.T) {
	c, ds := lineCircuit("smoke smoke smoke smoke", circuit.ClassA)
	for _, d := range ds {
		c.Devices = append(c.Devices, d.ID)
	}
	s, err := Survive(c, ds, []takeoff.DeviceType{{Type: "smoke", Addresses: 1}}, FaultLimits{Devices: 2}, func(d takeoff.Device) string { return d.Level })
	if err != nil {
		t.Fatal(err)
	}
	var words []string
	for _, st := range c.Walk(s.Added) {
		if st.Device != "" {
			words = append(words, st.Device)
			continue
		}
		words = append(words, "+"+st.Add.Beside)
	}
	got := strings.Join(words, " ")
	if got != "+P d1 d2 +d2 d3 d4 +P" && got != "+P d1 d2 +d3 d3 d4 +P" {
		t.Errorf("walk %s", got)
	}
}
