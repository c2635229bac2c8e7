package route

import (
	"fmt"
	"testing"

	"loopwright/route/circuit"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// Two shafts stand alike to the building: whichever is taken, it is the same
// one on every run. Sums of metres must be formed in one order for that.
func TestOneOfTwoShaftsAlike(t *testing.T) {
	b := Building{Types: []takeoff.DeviceType{{Type: "smoke"}}, Panels: []Panel{{Name: "P", Level: "1"}},
		Risers: []Riser{{Name: "west", Pos: geom.Pt(-10.1, 0)}, {Name: "east", Pos: geom.Pt(10.1, 0)}}}
	var ds []takeoff.Device
	for i := range 6 {
		b.Levels = append(b.Levels, takeoff.Level{Name: fmt.Sprint(i + 1), Index: i, Elevation: 4 * float64(i), Ceiling: 3, CableHeight: 3.3})
		for _, side := range []float64{-1, 1} {
			ds = append(ds, takeoff.Device{ID: fmt.Sprintf("d%d%+.0f", i, side), Type: "smoke", Level: fmt.Sprint(i + 1),
				Pos: geom.Pt(side*(3.3+0.77*float64(i)), 1.3*float64(i)), Status: takeoff.Counted})
		}
	}
	walks := map[string]int{}
	for range 50 {
		c, _, err := Lay(b, Spec{Name: "C", Panel: "P", Pathway: circuit.ClassB, Taps: true}, ds, nil, Usual)
		if err != nil {
			t.Fatal(err)
		}
		walks[fmt.Sprint(c.Devices)]++
	}
	if len(walks) != 1 {
		t.Errorf("%d walks in 50 runs: %v", len(walks), walks)
	}
}
