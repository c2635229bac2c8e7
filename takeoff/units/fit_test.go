package units

import "testing"

// The sizes are those of things in a drawing; the unit to take is known.
func TestUnitsFit(t *testing.T) {
	m := func(side, door, text float64) []Measure {
		return []Measure{{"side", side, extentFrom, extentTo}, {"door", door, doorFrom, doorTo}, {"text", text, textFrom, textTo}}
	}
	tests := []struct {
		name, unit string
		measures   []Measure
		sure       bool
	}{
		{"house in inches", "in", m(796, 30, 5.5), true},
		{"office in millimetres", "mm", m(48000, 900, 250), true},
		{"office in metres", "m", m(48, 0.9, 0.25), true},
		{"house in feet", "ft", m(66, 3, 0.5), true},
		{"office in centimetres", "cm", m(4800, 90, 25), true},
	}
	for _, tt := range tests {
		u := Fit{Measures: tt.measures}
		if got, sure := best(u); got != tt.unit || sure != tt.sure {
			t.Errorf("%s: %s (sure %v), want %s (%v)", tt.name, got, sure, tt.unit, tt.sure)
		}
	}
}
