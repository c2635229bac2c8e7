package measure

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
		dim  *Quantity
		text string
		want float64
	}{
		{Length, "1 ft", 0.3048},
		{Length, "1 in", 0.0254},
		{Length, "1 yd", 0.9144},
		{Length, "11 ft", 3.3528},
		{Length, "11ft", 3.3528},
		{Length, "46 in", 1.1684},
		{Length, "88 inches", 2.2352},
		{Length, "3/32 in", 0.00238125},
		{Length, "6 1/2 in", 0.1651},
		{Length, "6-1/2 in", 0.1651},
		{Length, `10' 6"`, 3.2004},
		{Length, `10'-6"`, 3.2004},
		{Length, `10'6"`, 3.2004},
		{Length, "10 ft 6 in", 3.2004},
		{Length, `10' 6 1/2"`, 3.2131},
		{Length, `-10' 6"`, -3.2004},
		{Length, "10’ 6”", 3.2004},
		{Length, "10'", 3.048},
		{Length, `6"`, 0.1524},
		{Length, "3.2 m", 3.2},
		{Length, "300 mm", 0.3},
		{Length, "30 cm", 0.3},
		{Length, "1.5 km", 1500},
		{Length, "0 m", 0},
		{Length, "-2.5 m", -2.5},
		{Length, "1e3 mm", 1},
		{Length, "1e-1 m", 0.1},
		{Length, ".5 m", 0.5},
		{Resistance, "50 ohm", 50},
		{Resistance, "4.7 kohm", 4700},
		{Resistance, "0.1 Ω", 0.1},
		{Resistance, "1000000 ohm", 1e6},
		{Resistance, "250 mohm", 0.25},
		{Current, "0.3 mA", 0.0003},
		{Current, "2.5 A", 2.5},
		{Current, "300 uA", 0.0003},
		{Current, "300 µA", 0.0003},
		{Voltage, "20.4 V", 20.4},
		{Voltage, "16 V", 16},
		{Temperature, "75 C", 75},
		{Temperature, "167 F", 75},
		{Temperature, "32 F", 0},
		{Temperature, "-40 F", -40},
		{Temperature, "20 °C", 20},
		{Percent, "20%", 0.2},
		{Percent, "10 %", 0.1},
		{Percent, "0%", 0},
		{Percent, "12.5 percent", 0.125},
		{Charge, "7.2 Ah", 7.2},
		{Capacitance, "0.5 uF", 0.5e-6},
		{PricePerLength, "0.42 / ft", 0.42 / 0.3048},
		{PricePerLength, "0.42/ft", 0.42 / 0.3048},
		{PricePerLength, "420 / 1000 ft", 0.42 / 0.3048},
		{PricePerLength, "1.20 / m", 1.2},
		{PricePerLength, "1.20 per m", 1.2},
		{CapacitancePerLength, "56 pF / ft", 56e-12 / 0.3048},
		{CapacitancePerLength, "0.15 uF/km", 0.15e-9},
	}
	for _, tt := range tests {
		got, err := tt.dim.Parse(tt.text)
		if err != nil || math.Abs(got-tt.want) > 1e-15*math.Abs(tt.want) {
			t.Errorf("%s: got %v, %v, want %v", tt.text, got, err, tt.want)
		}
	}
}

func TestQuantitiesRefused(t *testing.T) {
	for _, tt := range []struct {
		dim  *Quantity
		text string
		hint string // must be in the message
	}{
		{Length, "", "10 ft"},
		{Length, "11", "11 ft or 11 m"},
		{Length, "010 ft", "write 10"},
		{Length, "-010 ft", "write 10"},
		{Length, "00.5 ft", "write 0.5"},
		{Length, "3,2 m", "separators"},
		{Length, "1e999 m", "not a unit"},
		{Length, "NaN m", "not a length"},
		{Length, "inf m", "not a length"},
		{Length, "0x10 m", "not a unit"},
		{Length, "10 ft 13 in", "12 in are a foot"},
		{Length, "1/0 in", "not a number"},
		{Length, strings.Repeat("9", 60) + " m", "too many digits"},
		{Percent, "0.2", "20%"},
		{PricePerLength, "0.42", "0.42 / ft"},
		{PricePerLength, "0.42 / 0 ft", "divides by nothing"},
		{PricePerLength, "€0.42 / ft", "currency"},
		{Temperature, "75", "75 C or 75 F"},
		{Current, "5 mV", "a voltage, not a current"},
	} {
		got, err := tt.dim.Parse(tt.text)
		if err == nil || !strings.Contains(err.Error(), tt.hint) {
			t.Errorf("%q: got %v, %v, want %q in the message", tt.text, got, err, tt.hint)
		}
	}
}

// TestFeetAndInches: however a length is split into feet, inches and
// sixty-fourths, it is the same Length.
func TestFeetAndInches(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		feet := rapid.IntRange(0, 5000).Draw(t, "feet")
		inch := rapid.IntRange(0, 11).Draw(t, "inch")
		part := rapid.IntRange(1, 63).Draw(t, "part")
		split, err := Length.Parse(fmt.Sprintf(`%d' %d %d/64"`, feet, inch, part))
		if err != nil {
			t.Fatal(err)
		}
		whole, err := Length.Parse(fmt.Sprintf("%d/64 in", (feet*12+inch)*64+part))
		if err != nil || whole != split {
			t.Fatalf("%v, %v, %v", split, whole, err)
		}
	})
}
