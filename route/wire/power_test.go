package wire

import (
	"math"
	"strings"
	"testing"

	"loopwright/route/circuit"
)

// The figures are worked by hand with 0.01 ohm/m: 0.02 ohm per metre of cable.
func TestDropTree(t *testing.T) {
	p := mustDrop(t, tree(), given(0.01), Supply{Start: 20, Minimum: 16, Capacity: 1, Spare: 0.2, LoadFactor: 0.5})
	if math.Abs(p.Current-0.6) > 1e-12 || math.Abs(p.Allowed-0.8) > 1e-12 || !p.CurrentOK || len(p.Feeds) != 1 {
		t.Fatalf("%+v", p)
	}
	// At the terminals 20 - 0.5 x 0.6 = 19.7. Leg 0-1: 0.6 A x (2 + 0.5) ohm = 1.5. Leg 1-2: 0.2 x 1 = 0.2.
	// Leg 1-3: 0.3 x 0.6 = 0.18. Leg 3-4: 0.3 x (0.4 + 2) = 0.72.
	for v, want := range []float64{19.7, 18.2, 18.0, 18.02, 17.3} {
		if got := p.Feeds[0].Volts[v]; math.Abs(got-want) > 1e-9 {
			t.Errorf("node %d: %v V, want %v", v, got, want)
		}
	}
	// Lumped: 0.6 A all the way.
	for v, want := range []float64{19.7, 18.2, 17.6, 17.84, 16.4} {
		if got := p.Feeds[0].Lumped[v]; math.Abs(got-want) > 1e-9 {
			t.Errorf("node %d lumped: %v V, want %v", v, got, want)
		}
	}
	if f := p.Feeds[0]; f.Lowest != 4 || f.FirstBelow != -1 || !p.Passes || !p.LumpedOK || math.Abs(p.WorstVolts-17.3) > 1e-9 {
		t.Errorf("%+v", p)
	}
	p = mustDrop(t, tree(), given(0.01), Supply{Start: 20, Minimum: 18.1, Capacity: 0.5})
	if f := p.Feeds[0]; p.CurrentOK || p.Passes || !p.VoltageOK == (f.FirstBelow < 0) || f.Lowest != 4 {
		t.Errorf("%+v", p)
	}
}

func TestDropLoopIsFedFromEitherEnd(t *testing.T) {
	p := mustDrop(t, ring(circuit.ClassA), given(0.01), Supply{Start: 20, Minimum: 16})
	if len(p.Feeds) != 2 || p.Feeds[1].From != "return" {
		t.Fatalf("%+v", p.Feeds)
	}
	// From the start 0-2-1-3: 0.6 x 0.2; 0.4 x (0.4 + 1); 0.3 x (0.6 + 2).
	// From the return 0-3-1-2: 0.6 x (0.8 + 2); 0.3 x (0.6 + 1); 0.2 x 0.4.
	for i, want := range [][]float64{{20, 19.32, 19.88, 18.54}, {20, 17.84, 17.76, 18.32}} {
		for v, w := range want {
			if got := p.Feeds[i].Volts[v]; math.Abs(got-w) > 1e-9 {
				t.Errorf("feed %d node %d: %v V, want %v", i, v, got, w)
			}
		}
	}
	if p.WorstFeed != 1 || math.Abs(p.WorstVolts-17.76) > 1e-9 || !strings.Contains(p.Method, "return end only") {
		t.Errorf("%+v", p)
	}
	p = mustDrop(t, ring(circuit.ClassA), given(0.01), Supply{Start: 20, Minimum: 17.8})
	if p.Passes || p.Feeds[0].FirstBelow != -1 || p.Feeds[1].FirstBelow != 2 {
		t.Errorf("the loop fails when fed from its return only: %+v", p)
	}
}

func TestDropBlankLoadIsNoZero(t *testing.T) {
	c := tree()
	c.Nodes[3].Load = math.NaN()
	p := mustDrop(t, c, given(0.01), Supply{Start: 20})
	if p.Passes || len(p.Feeds) != 0 || len(p.Blank) != 1 || p.Blank[0] != 3 {
		t.Errorf("%+v", p)
	}
	if tried, found, err := SmallestForPower(c, conductors(), 75, Supply{Start: 20}); found || len(tried) != 0 || err != nil {
		t.Error("a conductor is proposed for a load that is not known")
	}
}

func TestSmallestForPower(t *testing.T) {
	c := chain([]float64{2}, []float64{800 * foot})
	s := Supply{Start: 22.4, Minimum: 16, Capacity: 3}
	tried, found, err := SmallestForPower(c, Family(Conductor{Gauge: 12, Build: Solid}), 75, s)
	// 6.4 V over 2 A and 1,600 ft of wire: 2.0 ohm/kft, so 12 AWG (1.93) and not 14 (3.07).
	if err != nil || !found || tried[len(tried)-1].conductor.Gauge != 12 {
		t.Errorf("%v %v %v", tried, found, err)
	}
	s.Capacity = 1
	if tried, found, _ = SmallestForPower(c, conductors(), 75, s); found || len(tried) != 0 {
		t.Error("a conductor is proposed against an overload")
	}
}

func TestSupplyErrors(t *testing.T) {
	for _, s := range []Supply{{Start: -1}, {Start: math.NaN()}, {Start: 20, Minimum: 20}, {Start: 20, Capacity: -1},
		{Start: 20, Spare: 1}, {Start: 20, Spare: math.NaN()}, {Start: 20, LoadFactor: -1}} {
		if _, err := Drop(tree(), given(0.01), s); err == nil {
			t.Errorf("%+v is taken", s)
		}
	}
}

// TestNoStartVoltage: currents are judged without it, and no voltage is.
func TestNoStartVoltage(t *testing.T) {
	for capacity, ok := range map[float64]bool{0: true, 100: true, 0.001: false} {
		p, err := Drop(tree(), given(0.01), Supply{Minimum: 16, Capacity: capacity})
		if err != nil || len(p.Feeds) > 0 || p.Current == 0 || p.CurrentOK != ok || p.WorstFeed != -1 {
			t.Errorf("%v A: %+v, %v", capacity, p, err)
		}
	}
}

func TestInput(t *testing.T) {
	in := InputCircuit{MaxOhm: 100, EndOfLine: 5100}
	// 100 m out and back at 0.01 ohm/m is 2 ohm.
	got, err := Input(100, given(0.01), in)
	if err != nil || math.Abs(got.LoopOhm-2) > 1e-12 || math.Abs(got.MeterOhm-5102) > 1e-9 || math.Abs(got.Left-4900) > 1e-9 || !got.Passes {
		t.Errorf("%+v %v", got, err)
	}
	if got, _ = Input(6000, given(0.01), in); got.Passes || got.Left > 0 {
		t.Errorf("120 ohm against 100: %+v", got)
	}
	for _, in := range []InputCircuit{{}, {MaxOhm: math.NaN()}, {MaxOhm: 1, EndOfLine: -1}} {
		if _, err := Input(1, given(0.01), in); err == nil {
			t.Errorf("%+v is taken", in)
		}
	}
	if _, err := Input(math.NaN(), given(0.01), in); err == nil {
		t.Error("a length that is no number is taken")
	}
}

func TestBatteryBlankIsNoZero(t *testing.T) {
	b := mustBattery(t, BatteryDuty{Hours: 24, Minutes: 5, Edition: 2019},
		Drain{"panel", 1, 0.2, 0.5}, Drain{"detector", 40, math.NaN(), 0.005}, Drain{"none of these", 0, math.NaN(), 0})
	if len(b.Blank) != 1 || b.Blank[0] != 1 || b.Required != 0 || b.Size != 0 {
		t.Errorf("%+v", b)
	}
}

func TestBatteryNextSize(t *testing.T) {
	for required, want := range map[float64]float64{0: 0, 0.1: 4, 4: 4, 4.01: 7, 7.1: 7.2, 7.3: 10, 12.48: 18, 55: 55, 55.1: 0} {
		if got := nextSize(required); got != want {
			t.Errorf("%v Ah: size %v, want %v", required, got, want)
		}
	}
}

func TestBatteryErrors(t *testing.T) {
	ok := BatteryDuty{Hours: 24, Minutes: 5, Edition: 2019}
	for _, d := range []BatteryDuty{{24, 5, 2020, 0}, {24, 5, 19, 0}, {-1, 5, 2019, 0}, {24, math.NaN(), 2019, 0}, {24, 5, 2019, 0.9}} {
		if _, err := StandbyBattery(nil, d); err == nil {
			t.Errorf("%+v is taken", d)
		}
	}
	for _, d := range []Drain{{"x", -1, 0, 0}, {"x", 1, -1, 0}, {"x", 1, 0, math.Inf(1)}} {
		if _, err := StandbyBattery([]Drain{d}, ok); err == nil || !strings.Contains(err.Error(), "row 1 (x)") {
			t.Errorf("%+v: %v", d, err)
		}
	}
	for edition, words := range map[int]string{2007: "assumed for 2007", 2019: "NFPA 72-2019", 2022: "25 %", 2025: "assumed for 2025"} {
		if _, basis, err := Margin(edition); err != nil || !strings.Contains(basis, words) {
			t.Errorf("%d: %q %v", edition, basis, err)
		}
	}
}
