package wire

import (
	"math"
	"strings"
	"testing"

	"loopwright/route/circuit"
)

func TestParseConductor(t *testing.T) {
	for in, want := range map[string]Conductor{
		"16 AWG solid":           {Gauge: 16, Build: Solid},
		"16 AWG stranded":        {Gauge: 16, Build: stranded},
		"16 AWG solid coated":    {Gauge: 16, Build: Solid, Coated: true},
		"16awg  SOLID":           {Gauge: 16, Build: Solid},
		"14 AWG uncoated solid":  {Gauge: 14, Build: Solid},
		"1.5 mm2 class 1":        {Area: 1.5, Build: class1},
		"1.5mm² class 2":         {Area: 1.5, Build: class2},
		"2.50 mm2 Class 5":       {Area: 2.5, Build: class5},
		"4 mm2 tinned class 2":   {Area: 4, Build: class2, Coated: true},
		"0.75 mm2 class 5 plain": {Area: 0.75, Build: class5},
		"22 AWG solid":           {Gauge: 22, Build: Solid},
	} {
		got, err := ParseConductor(in)
		if err != nil || got != want {
			t.Errorf("%q: got %+v, %v; want %+v", in, got, err, want)
		}
	}
}

func TestParseConductorErrors(t *testing.T) {
	for in, want := range map[string]string{
		"":                       "start with a size",
		"AWG 16 solid":           "start with a size",
		"16":                     "AWG or mm2",
		"16 gauge solid":         `"gauge" is not a unit of size; use AWG or mm2`,
		"16 AWG":                 "say solid or stranded",
		"16.5 AWG solid":         "not an AWG number; allowed are 22, 20, 18, 16, 14, 12, 10, 8 AWG",
		"17 AWG solid":           `allowed are "22 AWG solid", "20 AWG solid", "18 AWG solid"`,
		"22 AWG stranded":        `allowed are "18 AWG stranded"`,
		"16 AWG solid stranded":  "both solid and stranded",
		"16 AWG sold":            `"sold" is not known here; allowed are solid or stranded`,
		"16 AWG class 1":         `"class" is not known here`,
		"1.5 mm2":                "say class 1, class 2 or class 5",
		"1.5 mm2 solid":          `"solid" is not known here; allowed are class 1, class 2 or class 5`,
		"1.5 mm2 class 6":        `class "6" is not known`,
		"1.5 mm2 class":          `class "" is not known`,
		"1.6 mm2 class 1":        `"1.5 mm2 class 1"`,
		"0 mm2 class 1":          "not a cross-section; allowed are 0.5, 0.75, 1, 1.5, 2.5, 4, 6 mm2",
		"1.2.3 mm2 class 1":      "not a cross-section",
		"1.5 mm2 class 1 tined":  `"tined" is not known`,
		"99999999999 AWG solid":  "no table value",
		"1.5 mm2 class 1 class5": `"class5" is not known`,
	} {
		_, err := ParseConductor(in)
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: got error %v, want one with %q", in, err, want)
		}
	}
}

func TestBasisIsPrintable(t *testing.T) {
	for _, tt := range []struct {
		conductor string
		temp      float64
		want      string
	}{
		{"16 AWG solid", 75, "16 AWG solid, uncoated copper, at 75 C, NEC Chapter 9 Table 8 (4.89 ohm/kft at 75 C)"},
		{"16 AWG solid", 20, "16 AWG solid, uncoated copper, at 20 C, NEC Chapter 9 Table 8 (4.89 ohm/kft at 75 C), corrected by Table 8 note 2, alpha 0.00323/K"},
		{"14 AWG stranded coated", 75, "14 AWG stranded coated, coated copper, at 75 C, NEC Chapter 9 Table 8 (3.26 ohm/kft at 75 C)"},
		{"1.5 mm2 class 1", 75, "1.5 mm2 class 1, plain copper, at 75 C, IEC 60228:2004, maximum (12.1 ohm/km at 20 C), corrected by IEC 60228 temperature factor kt = 250/(230+t)"},
		{"22 AWG solid", 20, "22 AWG solid, uncoated copper, at 20 C, ASTM B258 diameter with 0.017241 ohm mm2/m at 20 C (16.1429 ohm/kft at 20 C); not in Table 8"},
	} {
		if got := mustRate(t, tt.conductor, tt.temp).Basis.String(); got != tt.want {
			t.Errorf("got  %s\nwant %s", got, tt.want)
		}
	}
}

// tree is a class B circuit with T-taps: 0-1-2 and, off node 1, 3-4; node 3 is a bare splice.
//
//	0 --100-- 1 --50-- 2
//	          +--30-- 3 --20-- 4
func tree() Circuit {
	return Circuit{Class: circuit.ClassB,
		Nodes: []Node{{}, {Series: 0.5, Load: 0.1}, {Load: 0.2}, {}, {Series: 2, Load: 0.3}},
		Legs:  []Leg{leg(0, 1, 100), leg(2, 1, 50), leg(1, 3, 30), leg(3, 4, 20)},
	}
}

func leg(from, to int, metres float64) Leg {
	return Leg{circuit.Ends{From: from, To: to}, metres}
}

func ring(class circuit.Class) Circuit {
	return Circuit{Class: class,
		Nodes: []Node{{}, {Series: 1, Load: 0.1}, {Load: 0.2}, {Series: 2, Load: 0.3}},
		Legs:  []Leg{leg(0, 2, 10), leg(1, 2, 20), leg(3, 1, 30), leg(0, 3, 40)},
	}
}

// The figures are worked by hand with 0.01 ohm/m.
func TestMeasure(t *testing.T) {
	rate := given(0.01)
	loop, err := resist(tree(), rate)
	if err != nil {
		t.Fatal(err)
	}
	want := []Branch{{2, 150, 0.5, 3.5}, {4, 150, 2.5, 5.5}}
	if len(loop.Branches) != 2 || loop.Worst != 1 || loop.Cable != 200 {
		t.Fatalf("%+v", loop)
	}
	for i, b := range loop.Branches {
		if b.End != want[i].End || b.Length != want[i].Length || math.Abs(b.Ohm-want[i].Ohm) > 1e-12 || b.Series != want[i].Series {
			t.Errorf("branch %d: got %+v, want %+v", i, b, want[i])
		}
	}
	for _, class := range []circuit.Class{circuit.ClassA, circuit.ClassX} {
		loop, err = resist(ring(class), rate)
		if err != nil {
			t.Fatal(err)
		}
		// 2 x 100 m x 0.01 + 3 ohm, over the whole loop.
		if len(loop.Branches) != 1 || loop.Branches[0].End != 0 || math.Abs(loop.Ohm-5) > 1e-12 || loop.Cable != 100 {
			t.Errorf("class %s: %+v", class, loop)
		}
	}
	loop, err = resist(Circuit{Class: circuit.ClassB, Nodes: make([]Node, 1)}, rate)
	if err != nil || loop.Worst != -1 || loop.Ohm != 0 {
		t.Errorf("a control unit alone: %+v, %v", loop, err)
	}
}

func TestAgainst(t *testing.T) {
	rate := given(0.01)
	for _, tt := range []struct {
		name   string
		lim    Limits
		judged bool
		passes bool
		tight  string
		left   float64
	}{
		{"none", Limits{}, false, false, "", 0},
		{"resistance", Limits{Ohm: 6}, true, true, "loop resistance", 25},
		{"resistance just met", Limits{Ohm: 5.5}, true, true, "loop resistance", 0},
		{"resistance over", Limits{Ohm: 5}, true, false, "loop resistance", -25},
		{"length over", Limits{Ohm: 6, Cable: 199}, true, false, "cable length", -1},
		{"capacitance", Limits{Ohm: 6, Microfarad: 0.021, PicofaradPerMetre: 100}, true, true, "capacitance", 10},
		{"capacitance over", Limits{Microfarad: 0.019, PicofaradPerMetre: 100}, true, false, "capacitance", -10},
	} {
		c, err := Against(tree(), rate, tt.lim)
		if err != nil {
			t.Fatal(err)
		}
		if c.Judged != tt.judged || c.Passes != tt.passes {
			t.Errorf("%s: judged %v, passes %v", tt.name, c.Judged, c.Passes)
		}
		if tt.tight != "" && (c.Bounds[c.Tight].Name != tt.tight || math.Abs(c.Bounds[c.Tight].Left-tt.left) > 1e-9) {
			t.Errorf("%s: tight %+v, want %s with %v m left", tt.name, c.Bounds[c.Tight], tt.tight, tt.left)
		}
		if (tt.lim.Ohm == 0) != (c.Missing != "") {
			t.Errorf("%s: missing %q", tt.name, c.Missing)
		}
	}
}

func TestSmallestConductor(t *testing.T) {
	c := Circuit{Class: circuit.ClassB, Nodes: make([]Node, 2), Legs: []Leg{leg(0, 1, 5000*foot)}}
	solid := Family(Conductor{Gauge: 16, Build: Solid})
	tried, found, err := SmallestConductor(c, solid, 75, Limits{Ohm: 50})
	if err != nil || !found || tried[len(tried)-1].Conductor.Gauge != 16 {
		t.Errorf("5,000 ft under 50 ohm: %v %v %v; Table 8 allows 5,112 ft of 16 AWG and 3,217 ft of 18", tried, found, err)
	}
	if _, found, _ = SmallestConductor(c, solid, 75, Limits{Ohm: 1}); found {
		t.Error("no conductor of the table carries 5,000 ft under 1 ohm")
	}
}

func TestCircuitErrors(t *testing.T) {
	nodes := func(n int) []Node { return make([]Node, n) }
	for _, tt := range []struct {
		name string
		c    Circuit
		want string
	}{
		{"no class", Circuit{Nodes: nodes(1)}, "pathway class"},
		{"no nodes", Circuit{Class: circuit.ClassB}, "control unit"},
		{"negative", Circuit{Class: circuit.ClassB, Nodes: nodes(2), Legs: []Leg{leg(0, 1, -1)}}, "length -1 m"},
		{"not a number", Circuit{Class: circuit.ClassB, Nodes: nodes(2), Legs: []Leg{leg(0, 1, math.NaN())}}, "length NaN m"},
		{"series", Circuit{Class: circuit.ClassB, Nodes: []Node{{}, {Series: math.NaN()}}, Legs: []Leg{leg(0, 1, 1)}}, "series resistance"},
		{"load", Circuit{Class: circuit.ClassB, Nodes: []Node{{}, {Load: -1}}, Legs: []Leg{leg(0, 1, 1)}}, "load -1 A"},
		{"class B loop", Circuit{Class: circuit.ClassB, Nodes: nodes(2), Legs: []Leg{leg(0, 1, 1), leg(1, 0, 1)}}, "needs 1 legs"},
	} {
		_, err := resist(tt.c, given(0.01))
		if err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: got %v, want an error with %q", tt.name, err, tt.want)
		}
		if _, err2 := Drop(tt.c, given(0.01), Supply{Start: 24}); err2 == nil {
			t.Errorf("%s: Drop takes it", tt.name)
		}
	}
	if _, err := resist(tree(), Rate{}); err == nil {
		t.Error("a rate of zero is taken")
	}
	for _, lim := range []Limits{{Ohm: -1}, {Ohm: math.NaN()}, {Microfarad: 1}} {
		if _, err := Against(tree(), given(0.01), lim); err == nil {
			t.Errorf("%+v is taken", lim)
		}
	}
	for _, temp := range []float64{math.NaN(), -100, 500, math.Inf(1)} {
		if _, err := (Conductor{Gauge: 16, Build: Solid}).Rate(temp); err == nil {
			t.Errorf("a conductor at %v C is taken", temp)
		}
	}
	if _, err := (Conductor{}).Rate(75); err == nil {
		t.Error("the zero conductor has a rate")
	}
}
