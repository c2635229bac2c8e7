package result

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"testing"

	"loopwright/cmd/internal/outcome"
	"loopwright/route"
	"loopwright/takeoff"
	"loopwright/takeoff/measure"
)

const loadsJob = `
job: Loads
plans: [{devices: devices.csv, level: Level 1, units: m, elevation: 0 m, ceiling: 3 m, cable_height: 3 m}]
types: [{type: smoke, standby: 0.3 mA, alarm: 5 mA}]
panels: [{panel: FACP, at: {level: Level 1, point: [0, 0]}, standby: 100 mA, alarm: 200 mA}]
circuits: [{circuit: S, pathway: A, cable: 16/2, max_resistance: 50 ohm, max_lost_devices: 50}]
cables: [{cable: 16/2, conductor: 16 AWG solid}]
`

// What a job leaves out of its circuits is said, with what to write; and what is
// written is not asked for again.
func TestNothingIsLeftOutInSilence(t *testing.T) {
	add := func(types string) string { return strings.Replace(loadsJob, "types: [", "types: ["+types+", ", 1) }
	horns := []string{"h1,horn,Level 1,3,3", "h2,horn,Level 1,3,9", "s1,smoke,Level 1,9,9"}
	isos := []string{"i1,iso,Level 1,3,3", "s1,smoke,Level 1,9,9"}
	second := strings.Replace(loadsJob, "circuits: [", "circuits: [{circuit: B, panel: P2, cable: 16/2}, ", 1)
	second = strings.Replace(second, "panels: [", "panels: [{panel: P2, at: {level: Level 1, point: [9, 9]}}, ", 1)
	second = strings.Replace(second, "circuit: S,", "circuit: S, panel: FACP,", 1)
	walls := strings.Replace(loadsJob, "units: m,", "units: m, walls: [A-WALL], wiring: [E-WIRE],", 1)
	tests := []struct {
		name, yaml string
		devices    []string
		code       string
		severity   takeoff.Severity
		says       string // "" for no such finding
	}{
		{"devices on no circuit", add("{type: horn, addresses: 0}"), horns, outcome.CodeUnwired, takeoff.Warning, "type horn: 2 devices, first h2, on no circuit"},
		{"devices that the job says nothing wires", add("{type: horn, addresses: 0, wired_to: []}"), horns, outcome.CodeUnwired, takeoff.Warning, ""},
		{"a row beside another", second, []string{"s1,smoke,Level 1,9,9"}, outcome.CodeIdleRow, takeoff.Warning, "circuit S (panel FACP) serves nothing: its 1 device fit on B"},
		{"a power row without devices", strings.Replace(loadsJob, "circuits: [", "circuits: [{circuit: P, kind: power, cable: 16/2}, ", 1), []string{"s1,smoke,Level 1,9,9"},
			outcome.CodeIdleRow, takeoff.Warning, "circuit P (panel FACP) serves nothing: no device of the job is wired to power"},
		{"a row of a level without devices of its kind", strings.Replace(loadsJob, "circuits: [", "circuits: [{circuit: P, kind: power, levels: [Level 1], cable: 16/2}, ", 1), []string{"s1,smoke,Level 1,9,9"},
			outcome.CodeIdleRow, takeoff.Warning, "no device of Level 1 is wired to power"},
		{"every row serves", loadsJob, []string{"s1,smoke,Level 1,9,9"}, outcome.CodeIdleRow, takeoff.Warning, ""},
		{"no devices at all", loadsJob, nil, "F216", takeoff.Error, "nothing is counted"},
		{"one device", loadsJob, []string{"s1,smoke,Level 1,9,9"}, "F216", takeoff.Error, ""},
		{"isolators by name alone", add("{type: iso, name: Loop ISOLATOR, addresses: 0, wired_to: [slc]}"), isos, outcome.CodeUndeclared, takeoff.Warning, "type iso: 1 device, first i1, counted as no isolator: write isolates: true"},
		{"isolators by type", strings.ReplaceAll(add("{type: isolator, addresses: 0, wired_to: [slc]}"), "{type: iso,", ""), []string{"i1,isolator,Level 1,3,3"}, outcome.CodeUndeclared, takeoff.Warning, "write isolates: true"},
		{"isolators declared", add("{type: iso, name: Loop isolator, addresses: 0, isolates: true}"), isos, outcome.CodeUndeclared, takeoff.Warning, ""},
		{"no isolators, as the job says", add("{type: iso, name: No isolator, addresses: 0, wired_to: [slc], isolates: false}"), isos, outcome.CodeUndeclared, takeoff.Warning, ""},
		{"isolators that take addresses by default", add("{type: iso, isolates: true}"), isos, outcome.CodeUndeclared, takeoff.Warning, "each of its 1 device takes an address: write addresses: 1, or 0"},
		{"walls and wiring are not used", walls, []string{"s1,smoke,Level 1,9,9"}, outcome.CodeUnused, takeoff.Warning, "walls on A-WALL are not used: circuits are laid along rectilinear"},
		{"wiring is not followed, and the job says how to lay", walls + "route: {along: rectilinear}\n", []string{"s1,smoke,Level 1,9,9"}, outcome.CodeUnused, takeoff.Warning, "wiring on E-WIRE is drawn and not followed"},
		{"walls are used", strings.Replace(walls, ", wiring: [E-WIRE]", "", 1) + "route: {along: walls}\n", []string{"s1,smoke,Level 1,9,9"}, outcome.CodeUnused, takeoff.Warning, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			o := computeText(t, tt.yaml, tt.devices...)
			got := slices.DeleteFunc(slices.Clone(o.Findings), func(f takeoff.Finding) bool { return f.Code != tt.code })
			if tt.says == "" {
				if len(got) > 0 {
					t.Errorf("it says %q", got[0].Message)
				}
				return
			}
			if !slices.ContainsFunc(got, func(f takeoff.Finding) bool {
				return f.Severity == tt.severity && strings.Contains(f.Message, tt.says)
			}) {
				t.Errorf("it says %v, want %q", got, tt.says)
			}
		})
	}
}

// A detector with an isolating base keeps its address: as many are used as there are devices.
func TestIsolatingDetectorsKeepTheirAddresses(t *testing.T) {
	yaml := strings.Replace(loadsJob, "{type: smoke,", `{type: smoke, isolates: true, points: [{function: smoke, event: "111"}],`, 1)
	c := Of(computeText(t, strings.Replace(yaml, "pathway: A", "pathway: X", 1), line(4, "smoke")...), nil).Circuits[0]
	if c.AddressesUsed != 4 {
		t.Errorf("%d addresses used", c.AddressesUsed)
	}
}

// Every output says the same of a circuit: the wire holds, one short takes too many
// devices as drawn, and isolators to add cure it.
func TestOneVerdict(t *testing.T) {
	yaml := strings.NewReplacer("max_lost_devices: 50", "max_lost_devices: 3", "types: [", "types: [{type: horn, addresses: 0, wired_to: [power], standby: 0 mA}, ").Replace(loadsJob)
	yaml = strings.Replace(yaml, "circuits: [", "circuits: [{circuit: P, kind: power, cable: 16/2, max_current: 1 A, start: 20.4 V, end: 16 V}, ", 1)
	o := computeText(t, yaml, append(line(6, "smoke"), "h1,horn,Level 1,3,3")...)
	r := Of(o, nil)
	p, s := r.Circuits[0], r.Circuits[1]
	if p.Verdict != "not proved" || p.Passes || p.Judged || p.VerdictWith != "" {
		t.Errorf("a blank current: %q, passes %v, judged %v, with isolators %q", p.Verdict, p.Passes, p.Judged, p.VerdictWith)
	}
	if s.Verdict != "FAILS" || s.Passes || !s.Judged || s.Wire != "passes" || s.VerdictWith != "passes" || s.Isolators.Passes {
		t.Errorf("one short too many: %q, passes %v, wire %q, with isolators %q", s.Verdict, s.Passes, s.Wire, s.VerdictWith)
	}
	if got := o.Circuits[0].Proof.Power.Name; got != route.Alarm {
		t.Errorf("%s asks most, and alarm is blank", got)
	}
}

// Two power circuits of one panel draw 0.6 A in standby and 0.8 A in alarm together: no
// circuit fails, and the panel's supply may. By hand: of the battery, 24 h x (0.1 + 0.6) A and
// 5 min x (0.2 + 0.8) A, a fourth more: (16.8 + 0.0833) x 1.25 = 21.10 Ah.
func TestPanelSupply(t *testing.T) {
	yaml := strings.NewReplacer("types: [", "types: [{type: holder, addresses: 0, wired_to: [power], standby: 60 mA, alarm: 0 mA}, {type: siren, addresses: 0, wired_to: [nac], standby: 0 mA, alarm: 400 mA}, ",
		"circuits: [", "circuits: [{circuit: P, kind: power, cable: 16/2, max_current: 1 A, start: 20.4 V, end: 16 V}, {circuit: N, kind: nac, cable: 16/2, max_current: 1 A, start: 20.4 V, end: 16 V}, ").Replace(loadsJob)
	devices := append(line(1, "siren"), "n2,siren,Level 1,12,0")
	for i := range 10 {
		devices = append(devices, "h"+string(rune('a'+i))+",holder,Level 1,5,5")
	}
	for _, tt := range []struct {
		name, keys string
		blank      bool
		verdict    string
		code, says string
		severity   takeoff.Severity
	}{
		{"nothing is given", "", false, "not proved", outcome.CodeSupply, "", 0},
		{"the supply is enough", ", supply: 0.8 A", false, "passes", outcome.CodeSupply, "", 0},
		{"the supply is too small in alarm", ", supply: 0.79 A", false, "FAILS", outcome.CodeSupply, "draw 0.800 A in alarm, over its supply of 0.790 A", takeoff.Error},
		{"a current is blank", ", supply: 0.9 A", true, "not proved", outcome.CodeSupply, "is not proved: a current is blank on 1 of its circuits", takeoff.Warning},
		{"too much is known to be drawn, and a current is blank", ", supply: 0.5 A", true, "FAILS", outcome.CodeSupply, "draw 0.800 A in alarm", takeoff.Error},
		{"the cabinet is large enough", ", max_battery: 21.2 Ah", false, "not proved", outcome.CodeBatteryLarge, "", 0},
		{"the cabinet is too small", ", max_battery: 21 Ah", false, "not proved", outcome.CodeBatteryLarge, "21.10 Ah are needed (25 % margin, NFPA 72-2022), and it holds 21 Ah at most", takeoff.Error},
		{"the charger takes too little", ", charger: 18 Ah", false, "not proved", outcome.CodeBatteryLarge, "and its charger takes 18 Ah at most", takeoff.Error},
		{"too large a battery is fitted", ", battery: 33 Ah, charger: 26 Ah", false, "not proved", outcome.CodeBatteryLarge, "a battery of 33 Ah is fitted, and its charger takes 26 Ah at most", takeoff.Error},
		{"how long charging takes", ", charger: 2 A", false, "not proved", outcome.CodeBatteryLarge, "21.1 Ah take 10.6 h at least", takeoff.Note},
		{"the battery is not known", ", max_battery: 50 Ah", true, "not proved", outcome.CodeBatteryLarge, "is not proved: the battery needed is not known", takeoff.Warning},
	} {
		t.Run(tt.name, func(t *testing.T) {
			y := strings.Replace(yaml, "alarm: 200 mA}]\ncircuits", "alarm: 200 mA"+tt.keys+"}]\ncircuits", 1)
			if tt.blank {
				y = strings.Replace(y, "standby: 60 mA, alarm: 0 mA", "alarm: 0 mA", 1)
			}
			o := computeText(t, y, devices...)
			s := Of(o, nil).Battery[0].Supply
			if s == nil || s.Verdict != tt.verdict || s.Alarm != .8 || !tt.blank && s.Standby != .6 {
				t.Errorf("%+v, want %s", s, tt.verdict)
			}
			got := slices.DeleteFunc(slices.Clone(o.Findings), func(f takeoff.Finding) bool { return f.Code != tt.code })
			if (tt.says == "") != (len(got) == 0) || len(got) > 0 && (len(got) > 1 || got[0].Severity != tt.severity || !strings.Contains(got[0].Message, tt.says)) {
				t.Errorf("it says %v, want %q", got, tt.says)
			}
		})
	}
}

// An isolator parts six detectors in a row, class B, into two and four; a run is 10 m
// long, the first 10 + 1.476 m down to the panel + 6.5 ft of slack. What the job says of pathways is printed and judged by nobody.
func TestSegmentsReelsAndPathways(t *testing.T) {
	devices := []string{"d1,smoke,Level 1,10,0", "d2,smoke,Level 1,20,0", "i1,iso,Level 1,30,0", "d3,smoke,Level 1,40,0", "d4,smoke,Level 1,50,0", "d5,smoke,Level 1,60,0", "d6,smoke,Level 1,70,0"}
	base := strings.NewReplacer("types: [", "types: [{type: iso, addresses: 0, isolates: true}, ", "pathway: A", "pathway: B").Replace(loadsJob)
	for _, tt := range []struct {
		name, circuit, cable string
		code, says           string
		verdict              string
	}{
		{"four between two isolators may be", ", max_segment_devices: 4", "", route.CodeSegment, "", "passes"},
		{"three may be", ", max_segment_devices: 3", "", route.CodeSegment, "circuit S: 4 devices stand between two isolators, and the listing allows 3", "FAILS"},
		{"a reel holds every run", "", ", reel: 13.5 m", outcome.CodeReel, "", "passes"},
		{"no reel holds the first run", "", ", reel: 12 m", outcome.CodeReel, "circuit S: the run from FACP to d1 takes 44 ft of cable 16/2, and a reel holds 39 ft", "passes"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			yaml := strings.NewReplacer("max_lost_devices: 50", "max_lost_devices: 50"+tt.circuit, "16 AWG solid", "16 AWG solid"+tt.cable).Replace(base)
			o := computeText(t, yaml, devices...)
			c := Of(o, nil).Circuits[0]
			if c.Verdict != tt.verdict || c.Isolators.Segment != 4 || c.Isolators.OnPlan != 1 {
				t.Errorf("%s, %d between two isolators, %d on the plan", c.Verdict, c.Isolators.Segment, c.Isolators.OnPlan)
			}
			got := slices.DeleteFunc(slices.Clone(o.Findings), func(f takeoff.Finding) bool { return f.Code != tt.code })
			if (tt.says == "") != (len(got) == 0) || len(got) > 0 && !strings.Contains(got[0].Message, tt.says) {
				t.Errorf("it says %v, want %q", got, tt.says)
			}
		})
	}
	yaml := strings.NewReplacer("max_lost_devices: 50", "max_lost_devices: 50, survivability: 1", "16 AWG solid", "16 AWG solid, marking: FPLP").Replace(base)
	r := Of(computeText(t, yaml, devices...), nil)
	var b bytes.Buffer
	if err := WriteText(&b, r, measure.Metric); err != nil {
		t.Fatal(err)
	}
	if c := r.Circuits[0]; c.Marking != "FPLP" || c.Survivability != "1" || c.Verdict != "passes" || !strings.Contains(b.String(), "\npathway  cable  marking  survivability\nS        16/2   FPLP     level 1\n") {
		t.Errorf("%q %q %s\n%s", c.Marking, c.Survivability, c.Verdict, b.String())
	}
}

// Isolators to add of 2 ohm each: the loop of 60 m out and 60 m back fails with them
// where it passes without. By hand, with the panel at cable height and no slack, 3.85 ohm,
// and 2 ohm more for the one isolator that is enough.
func TestIsolatorsToAddAreProved(t *testing.T) {
	yaml := strings.Replace(lineJob, "types: [", "types: [{type: iso, addresses: 0, isolates: true, resistance: 2 ohm}, ", 1) + "circuits: [{circuit: S, pathway: A, max_resistance: %s ohm, max_lost_devices: 3}]\n"
	for limit, with := range map[string]string{"5.86": "passes", "5.84": "FAILS"} {
		o := computeText(t, strings.Replace(yaml, "%s", limit, 1), line(6, "smoke")...)
		c := Of(o, nil).Circuits[0]
		if told := slices.ContainsFunc(o.Findings, func(f takeoff.Finding) bool {
			return f.Code == route.CodeResistance && strings.HasPrefix(f.Message, "with the isolators to add, circuit S measures 5.")
		}); told != (with == "FAILS") {
			t.Errorf("limit %s: %v", limit, o.Findings)
		}
		if c.Wire != "passes" || c.Verdict != "FAILS" || c.VerdictWith != with || len(c.Isolators.Add) != 1 || math.Abs(c.OhmWith-c.LoopOhm-2) > 1e-9 {
			t.Errorf("limit %s: wire %s, as drawn %s, with isolators %s, %.4f ohm and %.4f with them", limit, c.Wire, c.Verdict, c.VerdictWith, c.LoopOhm, c.OhmWith)
		}
	}
}
