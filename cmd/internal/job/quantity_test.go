package job

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestQuantities holds conversions against published exact factors:
// 1 yd = 0.9144 m, hence 1 ft = 0.3048 m and 1 in = 25.4 mm (international
// yard and pound agreement, 1959); SI prefixes; t(F) = 32 + 1.8 t(C) (NIST
// SP 811, appendix B).
func TestQuantities(t *testing.T) {
	tests := []struct {
		dim  *dimension
		text string
		want float64
	}{
		{length, "1 ft", 0.3048},
		{length, "1 in", 0.0254},
		{length, "1 yd", 0.9144},
		{length, "11 ft", 3.3528},
		{length, "11ft", 3.3528},
		{length, "46 in", 1.1684},
		{length, "88 inches", 2.2352},
		{length, "3/32 in", 0.00238125},
		{length, "6 1/2 in", 0.1651},
		{length, "6-1/2 in", 0.1651},
		{length, `10' 6"`, 3.2004},
		{length, `10'-6"`, 3.2004},
		{length, `10'6"`, 3.2004},
		{length, "10 ft 6 in", 3.2004},
		{length, `10' 6 1/2"`, 3.2131},
		{length, `-10' 6"`, -3.2004},
		{length, "10’ 6”", 3.2004},
		{length, "10'", 3.048},
		{length, `6"`, 0.1524},
		{length, "3.2 m", 3.2},
		{length, "300 mm", 0.3},
		{length, "30 cm", 0.3},
		{length, "1.5 km", 1500},
		{length, "0 m", 0},
		{length, "-2.5 m", -2.5},
		{length, "1e3 mm", 1},
		{length, "1e-1 m", 0.1},
		{length, ".5 m", 0.5},
		{resistance, "50 ohm", 50},
		{resistance, "4.7 kohm", 4700},
		{resistance, "0.1 Ω", 0.1},
		{resistance, "1000000 ohm", 1e6},
		{resistance, "250 mohm", 0.25},
		{current, "0.3 mA", 0.0003},
		{current, "2.5 A", 2.5},
		{current, "300 uA", 0.0003},
		{current, "300 µA", 0.0003},
		{voltage, "20.4 V", 20.4},
		{voltage, "16 V", 16},
		{temperature, "75 C", 75},
		{temperature, "167 F", 75},
		{temperature, "32 F", 0},
		{temperature, "-40 F", -40},
		{temperature, "20 °C", 20},
		{percent, "20%", 0.2},
		{percent, "10 %", 0.1},
		{percent, "0%", 0},
		{percent, "12.5 percent", 0.125},
		{charge, "7.2 Ah", 7.2},
		{farads, "0.5 uF", 0.5e-6},
		{perLength, "0.42 / ft", 0.42 / 0.3048},
		{perLength, "0.42/ft", 0.42 / 0.3048},
		{perLength, "420 / 1000 ft", 0.42 / 0.3048},
		{perLength, "1.20 / m", 1.2},
		{perLength, "1.20 per m", 1.2},
		{faradsLength, "56 pF / ft", 56e-12 / 0.3048},
		{faradsLength, "0.15 uF/km", 0.15e-9},
	}
	for _, tt := range tests {
		got, err := tt.dim.si(tt.text)
		if err != nil || math.Abs(got-tt.want) > 1e-15*math.Abs(tt.want) {
			t.Errorf("%s: got %v, %v, want %v", tt.text, got, err, tt.want)
		}
	}
}

func TestQuantitiesRefused(t *testing.T) {
	for _, tt := range []struct {
		dim  *dimension
		text string
		hint string // must be in the message
	}{
		{length, "", "10 ft"},
		{length, "11", "11 ft or 11 m"},
		{length, "010 ft", "write 10"},
		{length, "-010 ft", "write 10"},
		{length, "00.5 ft", "write 0.5"},
		{length, "3,2 m", "separators"},
		{length, "1e999 m", "no unit"},
		{length, "NaN m", "not a length"},
		{length, "inf m", "not a length"},
		{length, "0x10 m", "no unit"},
		{length, "10 ft 13 in", "12 in are a foot"},
		{length, "1/0 in", "not a number"},
		{length, strings.Repeat("9", 60) + " m", "too many digits"},
		{percent, "0.2", "20%"},
		{perLength, "0.42", "0.42 / ft"},
		{perLength, "0.42 / 0 ft", "divides by nothing"},
		{perLength, "€0.42 / ft", "currency"},
		{temperature, "75", "75 C or 75 F"},
		{current, "5 mV", "a voltage, not a current"},
	} {
		got, err := tt.dim.si(tt.text)
		if err == nil || !strings.Contains(err.Error(), tt.hint) {
			t.Errorf("%q: got %v, %v, want %q in the message", tt.text, got, err, tt.hint)
		}
	}
}

// TestFeetAndInches: however a length is split into feet, inches and
// sixty-fourths, it is the same length.
func TestFeetAndInches(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		feet := rapid.IntRange(0, 5000).Draw(t, "feet")
		inch := rapid.IntRange(0, 11).Draw(t, "inch")
		part := rapid.IntRange(1, 63).Draw(t, "part")
		split, err := length.si(fmt.Sprintf(`%d' %d %d/64"`, feet, inch, part))
		if err != nil {
			t.Fatal(err)
		}
		whole, err := length.si(fmt.Sprintf("%d/64 in", (feet*12+inch)*64+part))
		if err != nil || whole != split {
			t.Fatalf("%v, %v, %v", split, whole, err)
		}
	})
}

func TestNearest(t *testing.T) {
	for _, tt := range []struct {
		got   string
		words string
		want  string
	}{
		{"mountng", "type mounting match", "mounting"},
		{"adresses", "addresses", "addresses"},
		{"mathc", "match", "match"}, // a swap is one slip
		{"cols", "page columns rows", "columns"},
		{"eol", "end_of_line", "end_of_line"},
		{"scale", "height plot_scale", "plot_scale"},
		{"zzz", "type match", ""},
		{"", "type", ""},
		{"A-", "B", ""},
		{"level 1", "Level 1", "Level 1"},
		{"levels", "level levels", "levels"},
	} {
		words := strings.Fields(tt.words)
		if strings.Contains(tt.words, "Level 1") {
			words = []string{"Level 2", "Level 1"}
		}
		if got := nearest(tt.got, words); got != tt.want {
			t.Errorf("%s of %v: got %q, want %q", tt.got, words, got, tt.want)
		}
	}
}
