package wire

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"loopwright/route/circuit"
)

const perKft = 304.8 // metres in a kilofoot
const foot = 0.3048

func mustRate(t testing.TB, name string, tempC float64) Rate {
	t.Helper()
	c, err := ParseConductor(name)
	if err != nil {
		t.Fatal(err)
	}
	r, err := c.Rate(tempC)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// mustFormula is solid uncoated AWG copper by its nominal diameter and the
// standard resistivity of copper; several published length tables rest on it.
func mustFormula(t testing.TB, gauge int, tempC float64) Rate {
	t.Helper()
	r, err := row{Conductor{Gauge: gauge, Build: Solid}, awgFormula, formulaOhmPerKft(gauge), computed, ""}.rate(tempC)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// given is a rate that a source or a test states itself.
func given(ohmPerMetre float64) Rate { return Rate{OhmPerMetre: ohmPerMetre} }

// conductors is every conductor that the tables hold.
func conductors() []Conductor {
	var out []Conductor
	for _, r := range rows {
		out = append(out, r.conductor)
	}
	return out
}

// oneWayForLoad is the longest one-way cable in metres at whose end a load still
// has the supply's minimum: the voltage falls evenly along the cable, so two
// lengths give it.
func oneWayForLoad(t testing.TB, rate Rate, s Supply, current float64) float64 {
	t.Helper()
	end := func(metres float64) float64 {
		return mustDrop(t, chain([]float64{current}, []float64{metres}), rate, s).Feeds[0].Volts[1]
	}
	return 100 * (end(0) - s.Minimum) / (end(0) - end(100))
}

func checkConstants(r *reference) {
	const f = "conductor_formula/"
	r.same(f+"rho_iacs_20C", iacsResistivity, 0)
	// Mass resistivity over density is the volume resistivity by another road.
	mass, density := r.num(f+"mass_resistivity_iacs_20C"), r.num(f+"density_cu_20C")
	if d := mass/density - iacsResistivity; math.Abs(d) > 1e-6 {
		r.t.Errorf("%v/%v differs from the resistivity by %v", mass, density, d)
	}
	r.same(f+"awg36_diameter", awgDiameter(36)/0.0254, 1e-12)
	r.same(f+"awg4_0_diameter", awgDiameter(-3)/0.0254, 1e-12)
	r.same(f+"awg_step_ratio", awgDiameter(15)/awgDiameter(16), 5e-8)
	a, b := mustRate(r.t, "12 AWG solid", 75), mustRate(r.t, "12 AWG solid", 85)
	r.same("conductor_nec_table8/alpha_cu_nec", (b.OhmPerMetre/a.OhmPerMetre-1)/10, 1e-12)
}

func checkFormula(r *reference) {
	for _, g := range []int{22, 20, 18, 16, 14, 12, 10, 8} {
		k := fmt.Sprintf("conductor_formula/awg%d_", g)
		r.same(k+"diameter", awgDiameter(g)/0.0254, 5.1e-7)
		r.same(k+"diameter_mm", awgDiameter(g)*1e3, 5.1e-6)
		r.same(k+"area_mm2", awgArea(g), 5.1e-6)
		for _, temp := range []float64{20, 25, 75} {
			r.same(fmt.Sprintf("%sR%v", k, temp), mustFormula(r.t, g, temp).OhmPerMetre*perKft, 5.1e-6)
		}
		if g > 18 {
			// Not in Table 8: the conductor itself rests on the formula.
			r.same(k+"R75", mustRate(r.t, fmt.Sprintf("%d AWG solid", g), 75).OhmPerMetre*perKft, 5.1e-6)
			continue
		}
		solid := fmt.Sprintf("%d AWG solid", g)
		table := mustRate(r.t, solid, 75).OhmPerMetre
		r.same(k+"R75_vs_table8_solid", 100*(mustFormula(r.t, g, 75).OhmPerMetre/table-1), 5.1e-4)
		r.same(k+"table8_solid_at_20C", mustRate(r.t, solid, 20).OhmPerMetre*perKft, 5.1e-5)
	}
}

func checkTable8(r *reference) {
	for _, g := range []int{18, 16, 14, 12, 10, 8} {
		k := fmt.Sprintf("conductor_nec_table8/awg%d_", g)
		solid, stranded := fmt.Sprintf("%d AWG solid", g), fmt.Sprintf("%d AWG stranded", g)
		r.same(k+"solid_uncoated_75C", mustRate(r.t, solid, 75).OhmPerMetre*perKft, 1e-9)
		r.same(k+"stranded7_uncoated_75C", mustRate(r.t, stranded, 75).OhmPerMetre*perKft, 1e-9)
		r.same(k+"solid_coated_75C", mustRate(r.t, solid+" coated", 75).OhmPerMetre*perKft, 1e-9)
		r.same(k+"solid_uncoated_75C_km_converted", mustRate(r.t, solid, 75).OhmPerMetre*1e3, 5.1e-5)
		r.same(k+"stranded_uncoated_75C_km_converted", mustRate(r.t, stranded, 75).OhmPerMetre*1e3, 5.1e-5)
		// The table prints circular mils to three or four figures.
		mil := awgDiameter(g) / 0.0254 * 1e3
		r.same(k+"area", mil*mil, 0.003*mil*mil)
	}
}

func checkCoated(r *reference) {
	const f = "conductor_coated/"
	for _, g := range []int{18, 16, 14, 12, 10, 8} {
		rate := mustRate(r.t, fmt.Sprintf("%d AWG stranded coated", g), 75)
		r.same(fmt.Sprintf("%sawg%d_stranded7_coated_75C", f, g), rate.OhmPerMetre*perKft, 1e-9)
	}
	r.same(f+"awg16_solid_coated_75C", mustRate(r.t, "16 AWG solid coated", 75).OhmPerMetre*perKft, 1e-9)
	a, b := mustFormula(r.t, 18, 20), mustFormula(r.t, 18, 30)
	r.same(f+"alpha_cu_20C", (b.OhmPerMetre/a.OhmPerMetre-1)/10, 1e-12)
}

func checkIEC(r *reference) {
	for _, key := range append(r.keys("conductor_iec60228", ""), r.keys("conductor_coated", "iec60228_")...) {
		_, name, _ := strings.Cut(key, "/")
		if area, ok := strings.CutPrefix(name, "ideal_17.241_over_"); ok {
			// A conductor of the standard may not be better than ideal copper of its
			// nominal area by more than the few per cent that the standard leaves.
			real := mustRate(r.t, strings.TrimSuffix(area, "mm2")+" mm2 class 1", 20).OhmPerMetre * 1e3
			if ideal := r.num(key); real < ideal || real > 1.10*ideal {
				r.t.Errorf("%s: class 1 has %v ohm/km, ideal copper %v", key, real, ideal)
			}
			continue
		}
		parts := strings.Split(name, "_") // iec60228 cl1 2 plain 1.5mm2, or iec60228 cl5 plain 1.5mm2
		size, coat := strings.TrimSuffix(parts[len(parts)-1], "mm2"), parts[len(parts)-2]
		classes := []string{"5"}
		if parts[1] == "cl1" {
			classes = []string{"1", "2"}
		}
		for _, class := range classes {
			rate := mustRate(r.t, size+" mm2 class "+class+" "+coat, 20)
			r.same(key, rate.OhmPerMetre*1e3, 1e-9)
		}
	}
}

// TestIECTemperatureFactor checks the way back from 20 C against the factors kt
// printed in the annex of IEC 60228:2004 (three decimals, read in a cable
// maker's copy).
func TestIECTemperatureFactor(t *testing.T) {
	at20 := mustRate(t, "1.5 mm2 class 1", 20).OhmPerMetre
	for temp, kt := range map[float64]float64{5: 1.064, 15: 1.020, 20: 1.000, 25: 0.980, 30: 0.962, 40: 0.926, 60: 0.862, 75: 0.820} {
		got := at20 / mustRate(t, "1.5 mm2 class 1", temp).OhmPerMetre
		if math.Abs(got-kt) > 5.1e-4 {
			t.Errorf("kt at %v C: got %.4f, want %.3f", temp, got, kt)
		}
	}
}

// oneWayFeet is the greatest class B chain, in feet, that Against still passes
// with nothing left: the length is found by adding the Left of a short circuit.
func oneWayFeet(t testing.TB, rate Rate, limit float64) float64 {
	t.Helper()
	c := Circuit{Class: circuit.ClassB, Nodes: make([]Node, 2), Legs: []Leg{leg(0, 1, 10)}}
	check, err := Against(c, rate, Limits{Ohm: limit})
	if err != nil {
		t.Fatal(err)
	}
	return (10 + check.Bounds[0].Left) / foot
}

func checkMaxLength(r *reference) {
	for _, limit := range []float64{20, 40, 50, 100} {
		for _, g := range []int{18, 16, 14, 12} {
			k := fmt.Sprintf("max_length/max_oneway_%vohm_awg%d_", limit, g)
			for name, rate := range map[string]Rate{
				"solid_75C":    mustRate(r.t, fmt.Sprintf("%d AWG solid", g), 75),
				"stranded_75C": mustRate(r.t, fmt.Sprintf("%d AWG stranded", g), 75),
				"solid_20C":    mustFormula(r.t, g, 20),
			} {
				r.same(k+name, oneWayFeet(r.t, rate, limit), 0.0501) // printed to tenths
			}
		}
	}
}

func checkPublishedLengths(r *reference) {
	const f = "max_length/pub_"
	// Table A: 20 C copper, rounded to 100 ft, 14 AWG up to the next 1,000 (+1.02 %).
	for g, tol := range map[int]float64{18: 50, 16: 50, 14: 101} {
		r.same(fmt.Sprintf("%sA_50ohm_awg%d", f, g), oneWayFeet(r.t, mustFormula(r.t, g, 20), 50), tol)
	}
	// Table B: its own resistances, rounded to 100 ft. This checks the arithmetic (one-way
	// cable, two conductors), not the resistances.
	for g, ohm := range map[int]float64{18: 6.76, 16: 4.17, 14: 2.63, 12: 2.00} {
		r.same(fmt.Sprintf("%sB_50ohm_awg%d", f, g), oneWayFeet(r.t, given(ohm/perKft), 50), 10)
	}
	// Table C: 25 C copper to 25 ft, 14 and 12 AWG capped by the listing at 5,000 ft.
	for g, tol := range map[int]float64{18: 12.5, 16: 12.5, 14: 0, 12: 0} {
		got := oneWayFeet(r.t, mustFormula(r.t, g, 25), 40)
		if tol == 0 {
			got = math.Min(got, 5000)
		}
		r.same(fmt.Sprintf("%sC_40ohm_awg%d_cable", f, g), got, tol)
		r.same(fmt.Sprintf("%sC_40ohm_awg%d_wire", f, g), 2*got, 2*tol)
	}
	coated := func(g int) Rate { return mustRate(r.t, fmt.Sprintf("%d AWG solid coated", g), 75) }
	for _, g := range []int{18, 16, 14, 12} {
		// Table D: wire out and back, coated copper at 75 C, cut to whole feet.
		r.same(fmt.Sprintf("%sD_100ohm_loop_awg%d", f, g), math.Floor(2*oneWayFeet(r.t, coated(g), 100)), 0)
		// Table E: 1 V of drop at the end of the wire, same copper.
		for _, amps := range []string{"0.1", "0.25", "0.5", "0.75", "1.0", "1.25", "1.5"} {
			var current float64
			fmt.Sscan(amps, &current)
			m := oneWayForLoad(r.t, coated(g), Supply{Start: 20.4, Minimum: 19.4}, current)
			r.same(fmt.Sprintf("%sE_nac_1V_drop_%sA_awg%d", f, amps, g), math.Floor(2*m/foot+1e-6), 0)
		}
	}
	// Table F: its own resistances, which lie within 3 % of 20 C copper.
	for g, ohm := range map[int]float64{22: 16.2, 20: 10.2, 18: 6.4, 16: 4.1, 14: 2.6} {
		key := fmt.Sprintf("%sF_100ohm_loop_awg%d", f, g)
		r.same(key, math.Floor(2*oneWayFeet(r.t, given(ohm/perKft), 100)), 0)
		want := r.num(key)
		if got := 2 * oneWayFeet(r.t, mustFormula(r.t, g, 20), 100); math.Abs(got/want-1) > 0.03 {
			r.t.Errorf("%s: 20 C copper gives %.0f ft, the table %v", key, got, want)
		}
	}
}

// TestPublishedTablesRunLong states the reason for printing the basis: against
// Table 8 at 75 C the published one-way tables of the same limit are 15 to 23 % long.
func TestPublishedTablesRunLong(t *testing.T) {
	r := loadReference(t)
	for key, limit := range map[string]float64{
		"A_50ohm_awg18": 50, "A_50ohm_awg16": 50, "A_50ohm_awg14": 50,
		"B_50ohm_awg18": 50, "B_50ohm_awg16": 50, "B_50ohm_awg14": 50,
		"C_40ohm_awg18_cable": 40, "C_40ohm_awg16_cable": 40,
	} {
		var gauge int
		fmt.Sscanf(key[strings.Index(key, "awg")+3:], "%d", &gauge)
		strict := oneWayFeet(t, mustRate(t, fmt.Sprintf("%d AWG solid", gauge), DefaultTemperature), limit)
		if over := math.Round(100 * (r.num("max_length/pub_"+key)/strict - 1)); over < 15 || over > 23 {
			t.Errorf("%s: %v %% longer than Table 8 at 75 C allows", key, over)
		}
	}
}

func checkCapacitance(r *reference) {
	limit := r.num("max_length/slc_capacitance_limit_example")
	if rule := r.text("max_length/slc_max_length_by_capacitance"); rule != "500000/C" {
		r.t.Fatalf("rule %q", rule)
	}
	left := func(pfPerFoot, microfarad float64) float64 {
		c := Circuit{Class: circuit.ClassB, Nodes: make([]Node, 2), Legs: []Leg{leg(0, 1, 0)}}
		check, err := Against(c, mustFormula(r.t, 18, 20), Limits{Microfarad: microfarad, PicofaradPerMetre: pfPerFoot / foot})
		if err != nil {
			r.t.Fatal(err)
		}
		return check.Bounds[0].Left / foot
	}
	for _, pf := range []float64{20, 35, 56} {
		if got, want := left(pf, limit), 500000/pf; math.Abs(got-want) > 1e-6*want {
			r.t.Errorf("%v pF/ft: got %v ft, want %v", pf, got, want)
		}
	}
	// The second example states 0.28 uF at 56 pF/ft beside a cap of 5,000 ft: they agree.
	if got := left(56, r.num("max_length/slc_capacitance_limit_example_2")); math.Abs(got-5000) > 1e-6 {
		r.t.Errorf("0.28 uF at 56 pF/ft: got %v ft, want 5000", got)
	}
}
