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
	}{
		{"house in inches", "in", m(796, 30, 5.5)},
		{"office in millimetres", "mm", m(48000, 900, 250)},
		{"office in metres", "m", m(48, 0.9, 0.25)},
		{"house in feet", "ft", m(66, 3, 0.5)},
		{"office in centimetres", "cm", m(4800, 90, 25)},
	}
	for _, tt := range tests {
		u := Fit{Measures: tt.measures}
		if got := best(u); got != tt.unit {
			t.Errorf("%s: %s, want %s", tt.name, got, tt.unit)
		}
	}
}
