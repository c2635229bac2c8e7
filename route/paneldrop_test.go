package route

import (
	"fmt"
	"math"
	"testing"

	"loopwright/route/circuit"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
)

// Cable runs at 3 m and the panel hangs 1.5 m below: each cable end at it comes down
// as far. One detector at the ceiling, 0.2 m under the cable, 10 m away: by hand 10 + 1.5 + 0.2 m out,
// as much back. A box at a T-tap takes half a device's allowance for each of its three ends.
func TestVerticalCableAndBoxes(t *testing.T) {
	b := Building{Types: []takeoff.DeviceType{{Type: "smoke"}}, Panels: []Panel{{Name: "P", Level: "1", Drop: 1.5}},
		Levels: []takeoff.Level{{Name: "1", Ceiling: 2.8, CableHeight: 3}}}
	at := func(xy ...float64) (ds []takeoff.Device) {
		for i := 0; i < len(xy); i += 2 {
			ds = append(ds, takeoff.Device{ID: fmt.Sprint("d", i/2+1), Type: "smoke", Level: "1", Pos: geom.Pt(xy[i], xy[i+1]), Status: takeoff.Counted})
		}
		return ds
	}
	for _, tt := range []struct {
		name          string
		class         circuit.Class
		taps          bool
		devices       []takeoff.Device
		length, slack float64
	}{
		{"a loop with one device", circuit.ClassA, false, at(10, 0), 2 * 11.7, 12*measure.Foot + 1*measure.Foot},
		{"a chain of one", circuit.ClassB, false, at(10, 0), 11.7, 6*measure.Foot + 1*measure.Foot},
		{"a chain of two", circuit.ClassB, false, at(10, 0, 20, 0), 20 + 1.5 + 3*.2, 6*measure.Foot + 2*measure.Foot},
		// The branch is at 10, 0: 10 m to it, 5 m to either side.
		{"a T-tap", circuit.ClassB, true, at(10, 5, 10, -5), 20 + 1.5 + 2*.2, 6*measure.Foot + 2*measure.Foot + 1.5*measure.Foot},
	} {
		c, _, err := Lay(b, Spec{Name: "C", Panel: "P", Pathway: tt.class, Taps: tt.taps}, tt.devices, nil, Usual)
		if err != nil || math.Abs(c.Length-tt.length) > 1e-9 || math.Abs(c.Slack-tt.slack) > 1e-9 || c.LowerBound > c.Length+1e-9 {
			t.Errorf("%s: %.4f m and %.4f m slack, bound %.4f, %v; want %.4f and %.4f", tt.name, c.Length, c.Slack, c.LowerBound, err, tt.length, tt.slack)
		}
	}
}
