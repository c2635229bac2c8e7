package units

import (
	"fmt"
	"strings"
	"testing"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/measure"
	"loopwright/takeoff/plan"
)

// What a unit of a block measures in the drawing gives away the drawing's unit.
func TestInsertScale(t *testing.T) {
	tests := []struct {
		name   string
		scales []float64
		unit   string // "" where nothing is told
		what   string
	}{
		{"inches in millimetres", []float64{25.4, 25.4, 1}, "mm", "an inch (2 inserts scaled by 25.4)"},
		{"inches in metres", []float64{0.0254, 0.0254}, "m", "an inch"},
		{"feet in millimetres", []float64{304.8, 304.8, 304.8}, "mm", "a foot"},
		{"feet in centimetres", []float64{30.48, 30.48}, "cm", "a foot"},
		{"millimetres in inches", []float64{0.03937008, 0.03937008}, "in", "a millimetre"},
		{"metres in feet", []float64{3.28084, 3.28084}, "ft", "a metre"},
		{"metres in millimetres", []float64{1000, 1000}, "mm", "a metre"},
		{"millimetres in metres", []float64{0.001, 0.001}, "m", "a millimetre"},
		{"mirrored", []float64{-25.4, 25.4}, "mm", "an inch"},
		{"once may be chance", []float64{25.4, 1, 1}, "", ""},
		{"scales of plotting", []float64{12, 12, 48, 48, 96, 96, 100, 100}, "", ""},
		{"two that contradict", []float64{25.4, 25.4, 0.0254, 0.0254}, "", ""},
		{"widths of doors drawn as one unit", []float64{30, 30, 36, 36, 48}, "", ""},
	}
	for _, tt := range tests {
		p := &plan.Page{}
		for _, k := range tt.scales {
			p.Inserts = append(p.Inserts, dxf.Insert{XScale: max(k, -k), YScale: k, Visible: true})
		}
		m, ok := insertScale(p, plan.Part{})
		if ok != (tt.unit != "") || !strings.HasPrefix(m.what, tt.what) {
			t.Errorf("%s: %v %q", tt.name, ok, m.what)
			continue
		}
		if got := best(Fit{Measures: []Measure{m}}); ok && got != tt.unit {
			t.Errorf("%s: unit %s, want %s", tt.name, got, tt.unit)
		}
	}
}

// Texts that read the height they stand at say what a unit of height is.
func TestSpotHeights(t *testing.T) {
	p := &plan.Page{}
	for i := range 12 {
		z := 26.4 + float64(i)/100
		p.Texts = append(p.Texts, dxf.Text{Text: fmt.Sprintf(" %.2f ", z), Pos: dxf.Vec3{Z: z}, Visible: true})
	}
	m, ok := spotHeights(p, plan.Part{})
	if !ok || !strings.Contains(m.what, "12 texts") {
		t.Fatalf("%v %q", ok, m.what)
	}
	for unit, want := range map[string]bool{"m": true, "ft": true, "mm": false, "cm": false, "in": false} {
		k, _ := measure.MetresPer(unit)
		if m.in(k) != want {
			t.Errorf("%s: fits %v", unit, !want)
		}
	}
	for i := range p.Texts { // the same numbers on the ground are dimensions
		p.Texts[i].Pos.Z = 0
	}
	if _, ok := spotHeights(p, plan.Part{}); ok {
		t.Error("flat texts are not heights")
	}
}
