package wire

import (
	"fmt"
	"math"
	"testing"

	"loopwright/route/circuit"
)

func mustDrop(t testing.TB, c Circuit, rate Rate, s Supply) Power {
	t.Helper()
	p, err := Drop(c, rate, s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func mustBattery(t testing.TB, duty BatteryDuty, drains ...Drain) Battery {
	t.Helper()
	b, err := StandbyBattery(drains, duty)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// chain is a class B circuit of loads in amperes behind legs in metres.
func chain(loads, legs []float64) Circuit {
	c := Circuit{Class: circuit.ClassB, Nodes: []Node{{}}}
	for i, a := range loads {
		c.Nodes = append(c.Nodes, Node{Load: a})
		c.Legs = append(c.Legs, leg(i, i+1, legs[i]))
	}
	return c
}

func checkBattery(r *reference) {
	const f = "worked_examples/"
	usual := func(edition int) BatteryDuty { return BatteryDuty{Hours: 24, Minutes: 5, Edition: edition} }

	one := Drain{Name: "as drawn", Count: 1, Standby: r.num(f+"bat1_standby_Ah") / 24, Alarm: r.num(f + "bat1_alarm_A")}
	b := mustBattery(r.t, usual(2019), one)
	r.same(f+"bat1_standby_Ah", b.StandbyAh, 1e-9)
	r.same(f+"bat1_alarm_Ah", b.AlarmAh, 5e-5)
	r.same(f+"bat1_sum", b.SumAh, 5e-5)
	r.same(f+"bat1_required_x1.2", b.Required, 1e-4) // the drawing multiplies its rounded sum
	if b.Size != 4 || b.Size > r.num(f+"bat1_installed") {
		r.t.Errorf("example 1: next size %v Ah; the drawing fits a larger one", b.Size)
	}
	r.same(f+"bat1_required_x1.25", mustBattery(r.t, usual(2022), one).Required, 1e-4)

	two := Drain{Name: "guide", Count: 1, Standby: r.num(f + "bat2_standby_A"), Alarm: r.num(f + "bat2_alarm_A")}
	b = mustBattery(r.t, usual(2016), two)
	r.same(f+"bat2_standby_Ah", b.StandbyAh, 1e-9)
	r.same(f+"bat2_alarm_Ah", b.AlarmAh, 5e-4)
	r.same(f+"bat2_sum", b.SumAh, 5e-4)
	r.same(f+"bat2_required_x1.2", b.Required, 5e-3)
	if b.Size != 18 {
		r.t.Errorf("example 2: next size %v Ah, want 18: 12 is not enough", b.Size)
	}
	r.same(f+"bat2_required_x1.25", mustBattery(r.t, usual(2022), two).Required, 5e-5)

	three := Drain{Name: "exam", Count: 1, Standby: r.num(f + "bat3_standby_A"), Alarm: r.num(f + "bat3_alarm_A")}
	r.same(f+"bat3_sum", mustBattery(r.t, usual(2019), three).SumAh, 1e-9)
}

func checkVoltageDrop(r *reference) {
	const f = "worked_examples/"
	start := r.num("power_nac/nac_start_voltage_default")
	minimum := r.num("power_nac/appliance_min_voltage_regulated_24V")
	awg16 := mustRate(r.t, "16 AWG solid", 75)
	end := func(amps, feet, from float64, rate Rate) float64 {
		p := mustDrop(r.t, chain([]float64{amps}, []float64{feet * foot}), rate, Supply{Start: from, Minimum: minimum})
		if math.Abs(p.Feeds[0].Lumped[1]-p.Feeds[0].Volts[1]) > 1e-12 {
			r.t.Errorf("one load: lumped and point to point differ")
		}
		return p.WorstVolts
	}

	v1 := end(r.num(f+"vd1_current"), r.num(f+"vd1_length_oneway"), start, awg16)
	r.same(f+"vd1_end_voltage", v1, 1.5e-4)
	r.same(f+"vd1_recomputed_end", v1, 5e-5)
	r.same(f+"vd1_percent", 100*(1-v1/start), 5e-3)

	v2 := end(r.num(f+"vd2_current"), r.num(f+"vd2_length_reconstructed"), start, awg16)
	r.same(f+"vd2_drop", start-v2, 5e-5)
	r.same(f+"vd2_end_voltage", v2, 5e-5)
	r.same(f+"vd2_percent", 100*(1-v2/start), 5e-3+1e-3) // printed 12.28, the quotient is 12.2839

	checkLoadFactor(r, minimum)
	checkThreeLoads(r, start)

	drop := 24 - end(4, 100, 24, mustRate(r.t, "16 AWG stranded", 75))
	r.same(f+"vd6_16awg_stranded_100ft_4A", drop, 0.0081) // printed 4.0, 3.992 unrounded
	if math.Abs(drop-3.992) > 5e-4 {
		r.t.Errorf("example 6: %v V, want 3.992", drop)
	}
	r.same(f+"vd6_percent_of_24", 100*math.Round(drop*10)/10/24, 0.05)

	// Example 7 was metered: a loop of 6.6 ohm with its load spread along it.
	amps, ohm := r.num(f+"vd7_current"), r.num(f+"vd7_loop_ohm")
	from := r.num(f + "vd7_measured_start")
	r.same(f+"vd7_lumped_drop", from-end(amps, 1000, from, given(ohm/2/perKft)), 1e-9)
	metered := from - r.num(f+"vd7_measured_end")
	r.same(f+"vd7_ratio_measured_to_lumped", metered/(amps*ohm), 5e-5)
	spread := uniformRatio(r.t, 200)
	if ratio := r.num(f + "vd7_ratio_measured_to_lumped"); math.Abs(ratio-spread) > 0.01 {
		r.t.Errorf("example 7: metered drop is %v of the lumped one, an evenly spread load gives %v", ratio, spread)
	}
	for _, n := range []int{1, 2, 5, 10, 20} {
		r.same(fmt.Sprintf("%suniform_load_ratio_n%d", f, n), uniformRatio(r.t, n), 5e-5)
	}
}

// uniformRatio is point-to-point drop over lumped drop for n equal loads, evenly spaced.
func uniformRatio(t testing.TB, n int) float64 {
	loads, legs := make([]float64, n), make([]float64, n)
	for i := range loads {
		loads[i], legs[i] = 0.8/float64(n), 100/float64(n)
	}
	f := mustDrop(t, chain(loads, legs), given(0.01), Supply{Start: 24}).Feeds[0]
	return (24 - f.Volts[n]) / (24 - f.Lumped[n])
}

// checkLoadFactor: the worksheet takes 20 appliances of 0.1 A at the wire's end.
func checkLoadFactor(r *reference, minimum float64) {
	const f = "worked_examples/"
	oneWay := func(start, factor, kft float64) float64 {
		return oneWayForLoad(r.t, given(kft/perKft), Supply{Start: start, Minimum: minimum, LoadFactor: factor}, 20*0.1) / foot
	}
	for _, ex := range []string{"vd3", "vd4"} {
		if a := r.text(f + ex + "_appliances"); a != "20 x 0.1" {
			r.t.Fatalf("%s: appliances %q", ex, a)
		}
		feet := oneWay(r.num(f+ex+"_source"), r.num(f+ex+"_K"), r.num(f+ex+"_wire"))
		r.same(f+ex+"_max_oneway", feet, 1e-6)
		r.same(f+ex+"_recomputed", feet, 1e-6)
		// The whole circuit, at just that length, has just the minimum at its end.
		p := mustDrop(r.t, chain([]float64{2}, []float64{feet * foot}), given(r.num(f+ex+"_wire")/perKft),
			Supply{Start: r.num(f + ex + "_source"), Minimum: minimum, LoadFactor: r.num(f + ex + "_K")})
		if !p.Passes || math.Abs(p.WorstVolts-minimum) > 1e-9 {
			r.t.Errorf("%s: %v V at the end, passes %v", ex, p.WorstVolts, p.Passes)
		}
	}
	r.same(f+"vd4b_source_K0.20_maxlen", oneWay(20.4, 0.20, 2), 1e-6)
	last := math.Inf(1)
	for _, k := range r.list("power_nac/nac_load_factor_examples") {
		if got := oneWay(20.4, k, 2); got >= last {
			r.t.Errorf("load factor %v allows %v ft, a smaller one %v", k, got, last)
		} else {
			last = got
		}
	}
}

func checkThreeLoads(r *reference, start float64) {
	const f = "worked_examples/"
	legs := r.list(f + "vd5_segments")
	for i := range legs {
		legs[i] *= foot
	}
	wire := r.text(f + "vd5_wire")
	feed := mustDrop(r.t, chain(r.list(f+"vd5_loads"), legs), mustRate(r.t, wire, 75), Supply{Start: start}).Feeds[0]
	r.same(f+"vd5_drop_point_to_point", start-feed.Volts[3], 1.1e-5)
	r.same(f+"vd5_end_point_to_point", feed.Volts[3], 1.1e-5)
	r.same(f+"vd5_drop_lumped", start-feed.Lumped[3], 1.1e-5)
	r.same(f+"vd5_end_lumped", feed.Lumped[3], 1.1e-5)
}

func checkPeriods(r *reference) {
	const f = "power_nac/"
	r.same(f+"standby_hours", StandbyHours, 0)
	r.same(f+"alarm_minutes_general", AlarmMinutes, 0)
	r.same(f+"alarm_minutes_voice", AlarmMinutesVoice, 0)
	for edition, key := range map[int]string{2010: "ed2010_2019", 2013: "ed2010_2019", 2016: "ed2010_2019", 2019: "ed2010_2019", 2022: "ed2022"} {
		factor, _, err := Margin(edition)
		if err != nil {
			r.t.Fatal(err)
		}
		r.same(f+"battery_factor_"+key, factor, 0)
	}
	sizes := r.list(f + "battery_sizes")
	if fmt.Sprint(sizes) != fmt.Sprint(BatterySizes) {
		r.t.Errorf("sizes %v, the list has %v", BatterySizes, sizes)
	}
	// An owner's rule: 60 hours and 15 % over. 0.1 A for 60 h is 6 Ah, 6.9 with the overage.
	owner := BatteryDuty{Hours: r.num(f + "owner_standby_example"), Factor: 1 + r.num(f+"owner_battery_overage_example")/100}
	if b := mustBattery(r.t, owner, Drain{Count: 1, Standby: 0.1}); math.Abs(b.Required-6.9) > 1e-9 || b.Size != 7 {
		r.t.Errorf("owner's rule: %v Ah, size %v; want 6.9 and 7", b.Required, b.Size)
	}
	// The usual start voltage is the low end of the supply's range.
	r.same(f+"nac_start_voltage_default", 24*r.num(f+"supply_percent_low")/100, 1e-9)
}
