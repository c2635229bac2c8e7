package units

import (
	"math"
	"testing"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
)

// TestSpacing: the distance from device to device is measured on alarm layers,
// and no unit is so vague as to fit both metres and millimetres. The demo's figures
// were worked out from the places in its truth.json by another program.
func TestSpacing(t *testing.T) {
	for _, row := range []struct {
		drawing string
		metres  float64 // usual distance in the drawing's true units; 0 for none
		per     float64 // metres per true unit
	}{
		{"../../testdata/demo/level-1.dxf", 5.84, 0.0254},
		{"../../testdata/demo/level-2.dxf", 5.09, 0.0254},
		{"../../testdata/traps/kind-attribute/plan.dxf", 3.048, 0.0254},
		{"../../testdata/traps/rooms/plan.dxf", 0, 0},
	} {
		s, err := plan.Open(row.drawing)
		if err != nil {
			t.Fatal(err)
		}
		defer s.Drawing.Close()
		legend := geom.BoxOf(geom.Pt(-410, -1124), geom.Pt(430, -300)) // the demo's, by its truth.json
		aside := legend.Contains
		got := 0.0
		for _, m := range Weigh(s, plan.Part{}, aside).Measures {
			if m.what == "the device spacing" {
				got = m.size * row.per
				if m.in(1e-3) && m.in(1) {
					t.Errorf("%s: the spacing fits everything", row.drawing)
				}
			}
		}
		if math.Abs(got-row.metres) > 0.005 {
			t.Errorf("%s: %.3f m from device to device, want %.3f", row.drawing, got, row.metres)
		}
	}
}
