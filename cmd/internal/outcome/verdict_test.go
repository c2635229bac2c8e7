package outcome

import (
	"math"
	"testing"

	"loopwright/route"
	"loopwright/takeoff"
)

// The band of a reading by hand: 11.47 ohm cold and 13.89 ohm hot give 11.47 x 0.8 - 0.5 =
// 8.676 and 13.89 x 1.2 + 0.5 = 17.168; 0.5 ohm gives nothing below zero.
func TestBand(t *testing.T) {
	for _, tt := range [][4]float64{{13.89, 11.47, 8.676, 17.168}, {0.5, 0.4, 0, 1.1}, {4750, 4700, 3759.5, 5700.5}} {
		low, high := Band(tt[0], tt[1])
		if math.Abs(low-tt[2]) > 1e-9 || math.Abs(high-tt[3]) > 1e-9 {
			t.Errorf("%v: %v to %v", tt, low, high)
		}
	}
}

func TestVerdicts(t *testing.T) {
	for _, tt := range []struct {
		name            string
		kind            takeoff.CircuitKind
		judged, fails   bool
		shorts, cured   bool
		asDrawn, cured2 Verdict
	}{
		{"all holds", takeoff.SLC, true, false, true, true, Passes, Passes},
		{"isolators cure it", takeoff.SLC, true, false, false, true, Fails, Passes},
		{"isolators do not cure it", takeoff.SLC, true, false, false, false, Fails, Fails},
		{"isolators do not cure the wire", takeoff.SLC, true, true, false, true, Fails, Fails},
		{"not proved", takeoff.SLC, false, false, true, true, NotProved, NotProved},
		{"a limit broken, another not given", takeoff.SLC, false, true, true, true, Fails, Fails},
		{"an appliance circuit has no isolators", takeoff.NAC, true, false, false, false, Passes, Passes},
	} {
		l := Laid{Circuit: route.Circuit{Spec: route.Spec{Kind: tt.kind}, Legs: make([]route.Leg, 1)},
			Proof: route.Proof{Judged: tt.judged, Fails: tt.fails}, Survival: route.Survival{Passes: tt.shorts, PassesNow: tt.cured}}
		if a, w := l.AsDrawn(), l.WithIsolators(); a != tt.asDrawn || w != tt.cured2 {
			t.Errorf("%s: %s as drawn, %s with isolators", tt.name, a, w)
		}
	}
}
