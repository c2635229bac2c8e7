package result

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/route"
	"loopwright/takeoff"
)

// computeText runs a job written as text, with devices as CSV rows in metres on Level 1.
func computeText(t *testing.T, yaml string, devices ...string) *outcome.Outcome {
	t.Helper()
	dir := t.TempDir()
	csv := "id,type,level,x,y\n" + strings.Join(devices, "\n") + "\n"
	for name, text := range map[string]string{"job.yaml": yaml, "devices.csv": csv} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	j, err := job.Load(filepath.Join(dir, "job.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	o, err := outcome.Compute(j, nil)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// codes counts the findings of each code.
func codes(o *outcome.Outcome) map[string]int {
	n := map[string]int{}
	for _, f := range o.Findings {
		n[f.Code]++
	}
	return n
}

const lineJob = `
job: Line
plans: [{devices: devices.csv, level: Level 1, units: m, ceiling: 3 m, cable_height: 3 m}]
types: [{type: smoke, standby: 0.3 mA, alarm: 5 mA}, {type: module, end_of_line: 1, standby: 0.3 mA, alarm: 5 mA}]
panels: [{panel: FACP, mounting: 3 m, isolates: true, at: {level: Level 1, point: [0, 0]}, standby: 100 mA, alarm: 200 mA}]
cables: [{cable: 16/2, conductor: 16 AWG solid, capacitance: 200 pF / m}]
allowances: {device: 0 m, panel: 0 m, waste: 0%}
route: {along: straight}
`

// line is n devices of a type, 10 m apart on a line away from the panel.
func line(n int, typ string) (rows []string) {
	for i := range n {
		rows = append(rows, fmt.Sprintf("d%d,%s,Level 1,%d,0", i+1, typ, 10*(i+1)))
	}
	return rows
}

// Six detectors in a line, class A, the panel isolating; d1 to d3 stand in one
// zone and d4 to d6 in the other. By hand: without zones the level is one and
// no limit is broken. With two, a short loses both until one isolator stands at
// the border, on the leg from d3 to d4.
func TestZonesByOutline(t *testing.T) {
	circuit := "circuits: [{circuit: S, pathway: A, max_lost_devices: 10%s}]\n"
	zones := `zones:
- {zone: west, level: Level 1, outline: [[0, -5], [35, -5], [35, 5], [0, 5]]}
- {zone: east, level: Level 1, outline: [[35, -5], [99, -5], [99, 5], [35, 5]]}
`
	three := strings.Replace(zones, "[99, -5], [99, 5]", "[55, -5], [55, 5]", 1) + "- {zone: far, level: Level 1, outline: [[55, -5], [99, -5], [99, 5], [55, 5]]}\n"
	tests := []struct {
		name, zones, limit string
		passes             bool
		zonesLost          int
		add                []Isolator
		then               int // devices lost with it
	}{
		{"a level is a zone", "", "", true, 1, nil, 6},
		{"two zones by outline", zones, "", false, 2, []Isolator{{Beside: "d3", From: "d3", To: "d4"}}, 3},
		{"one outline and the rest of the level", strings.Split(zones, "- {zone: east")[0], "", false, 2, []Isolator{{Beside: "d3", From: "d3", To: "d4"}}, 3},
		{"two zones by outline, two may be lost", zones, ", zone_limit: 2", true, 2, nil, 6},
		// Of d1 to d3, d4 and d5, d6 any two zones may go together: the first alone, or the last, parts them.
		{"three zones, two may be lost", three, ", zone_limit: 2", false, 3, []Isolator{{Beside: "d3", From: "d3", To: "d4"}}, 3},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			yaml := lineJob + fmt.Sprintf(circuit, tt.limit) + tt.zones
			o := computeText(t, yaml, line(6, "smoke")...)
			i := Of(o, nil).Circuits[0].Isolators
			if i.Passes != tt.passes || !i.PassesWith || i.WorstShort.Devices != 6 || i.WorstShort.Zones != tt.zonesLost {
				t.Errorf("%+v", i)
			}
			if len(i.Add) != len(tt.add) {
				t.Fatalf("to add %v, want %v", i.Add, tt.add)
			}
			for k, a := range i.Add {
				w := tt.add[k]
				if ends := a.From + " " + a.To; ends != w.From+" "+w.To && ends != w.To+" "+w.From {
					t.Errorf("isolator on %s, want on %s %s", ends, w.From, w.To)
				}
			}
			if i.WorstWith.Devices != tt.then {
				t.Errorf("with it a short loses %d devices, want %d", i.WorstWith.Devices, tt.then)
			}
			// Nothing isolates inside the loop yet: a short anywhere loses all six, an open none.
			for _, l := range Of(o, nil).Circuits[0].Legs {
				if l.ShortLoses != 6 || l.OpenLoses != 0 || l.ShortZones != tt.zonesLost {
					t.Errorf("leg %s %s: a short loses %d in %d zones, an open %d", l.From, l.To, l.ShortLoses, l.ShortZones, l.OpenLoses)
				}
			}
			want := 0
			if len(tt.add) > 0 {
				want = 7 // the isolator among six devices
			}
			if walk := Of(o, nil).Circuits[0].Walk; len(walk) != want {
				t.Errorf("walk %v", walk)
			}
		})
	}
}

// The published examples of testdata/reference/worked_examples.csv (bat1: a
// permit drawing, bat2: a guide page, bat3: an exam study page; the rows x1.25
// are computed there with the factor of the 2022 edition). Each is put on a job
// as a panel and the devices that draw the rest.
func TestBatteriesOfPublishedExamples(t *testing.T) {
	tests := []struct {
		name                string
		panel               string
		n                   int
		device              string
		more                string
		sum, required, size float64
		codes               string
	}{
		{"bat1, edition 2019", "standby: 35 mA, alarm: 161 mA", 10, "standby: 3 mA, alarm: 30 mA", "edition: 2019", 1.5984, 1.9181, 4, ""},
		{"bat1, edition 2022", "standby: 35 mA, alarm: 161 mA", 10, "standby: 3 mA, alarm: 30 mA", "edition: 2022", 1.5984, 1.9980, 4, ""},
		{"bat2, edition 2019", "standby: 120 mA, alarm: 200 mA", 60, "standby: 5 mA, alarm: 60 mA", "edition: 2019", 10.397, 12.476, 18, ""},
		{"bat2, edition 2022", "standby: 120 mA, alarm: 200 mA", 60, "standby: 5 mA, alarm: 60 mA", "edition: 2022", 10.397, 12.9958, 18, ""},
		{"bat3, an owner's margin of 15 %", "standby: 50 mA, alarm: 500 mA", 10, "standby: 20 mA, alarm: 100 mA", "battery: {margin: 15%}", 6.125, 7.04375, 7.2, ""},
		{"bat3, 12 Ah fitted", "standby: 50 mA, alarm: 500 mA, battery: 12 Ah", 10, "standby: 20 mA, alarm: 100 mA", "edition: 2019", 6.125, 7.35, 10, ""},
		{"bat3, 7 Ah fitted are too few", "standby: 50 mA, alarm: 500 mA, battery: 7 Ah", 10, "standby: 20 mA, alarm: 100 mA", "edition: 2019", 6.125, 7.35, 10, outcome.CodeBatterySmall},
		{"a blank current is a finding, no zero", "standby: 50 mA, alarm: 500 mA", 10, "standby: 20 mA", "edition: 2019", 6 + .5*5/60, 0, 0, outcome.CodeBatteryBlank},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			yaml := strings.NewReplacer("standby: 100 mA, alarm: 200 mA}", tt.panel+"}", "{type: smoke, standby: 0.3 mA, alarm: 5 mA}", "{type: smoke, "+tt.device+"}").Replace(lineJob) + tt.more
			o := computeText(t, yaml, line(tt.n, "smoke")...)
			b := Of(o, nil).Battery[0]
			if d := b.Standby + b.Alarm - tt.sum; math.Abs(d) > 1e-3 {
				t.Errorf("sum %.4f Ah, want %.4f Ah", b.Standby+b.Alarm, tt.sum)
			}
			if math.Abs(b.Required-tt.required) > 1e-3 || b.Size != tt.size {
				t.Errorf("required %.4f Ah, size %g Ah; want %.4f and %g", b.Required, b.Size, tt.required, tt.size)
			}
			n := codes(o)
			for _, code := range []string{outcome.CodeBatteryBlank, outcome.CodeBatterySmall} {
				if (n[code] > 0) != (code == tt.codes) {
					t.Errorf("%d findings %s", n[code], code)
				}
			}
		})
	}
}

// One hundred metres of class B: 4.89 ohm per 1,000 ft (NEC Chapter 9 Table 8,
// 16 AWG solid at 75 C) and 200 pF/m, ends at d10. At 20 C copper has less by
// note 2 of the table: 1 + 0.00323 x (20 - 75) = 0.82235.
func TestCircuitProofsInTheResult(t *testing.T) {
	circuit := "circuits: [{circuit: S, pathway: B, max_resistance: 5 ohm, max_capacitance: 0.05 uF}]\n"
	r := Of(computeText(t, lineJob+circuit, line(10, "module")...), nil)
	c := r.Circuits[0]
	ohm := 2 * 100 / 0.3048 * 4.89 / 1000
	if len(c.Branches) != 1 || c.Branches[0].End != "d10" || math.Abs(c.Branches[0].Ohm-ohm) > 1e-6 || math.Abs(c.Branches[0].Ohm20-ohm*0.82235) > 1e-6 {
		t.Errorf("branches %+v, want %.6f ohm to d10", c.Branches, ohm)
	}
	if p := c.Capacitance; p == nil || math.Abs(p.Value-0.02) > 1e-9 || math.Abs(p.Limit-0.05) > 1e-12 || !p.Passes {
		t.Errorf("capacitance %+v", p)
	}
	// 5 - 3.209 ohm are 55.8 m more, the 0.03 uF that are left 150 m: the tighter one counts.
	if left := (5 - ohm) / (2 * 4.89 / 1000) * 0.3048; math.Abs(c.Left-left) > 1e-6 {
		t.Errorf("left %.3f m, want %.3f m", c.Left, left)
	}
}

// 100 ohm of wire are 100 / (2 x 4.89) kft one way. Where a figure comes from goes by the job file that says
// it, never by what the figure is; without it nothing is worked out.
func TestInputCircuitsInTheResult(t *testing.T) {
	circuit := "circuits: [{circuit: S, pathway: B, max_resistance: 5 ohm, max_capacitance: 0.05 uF, max_lost_devices: 20}]\n"
	for _, tt := range []struct {
		keys, source, says string
		ohm, end, oneWay   float64
	}{
		{", input_max_resistance: 100 ohm, end_of_line_value: 5.1 kohm", "given in the job file", "", 100, 5100, 100 / (2 * 4.89) * 304.8},
		{", input_max_resistance: 50 ohm, end_of_line_value: 10 kohm", "given in the job file", "", 50, 10000, 50 / (2 * 4.89) * 304.8},
		{", input_max_resistance: 50 ohm", "take the resistor from the module's listing", "end_of_line_value is blank", 50, 0, 50 / (2 * 4.89) * 304.8},
		{"", "not given", "S: input circuits of module not judged: input_max_resistance and end_of_line_value are blank; take them from the module's listing", 0, 0, 0},
	} {
		o := computeText(t, strings.Replace(lineJob, "end_of_line: 1", "end_of_line: 1"+tt.keys, 1)+circuit, line(10, "module")...)
		in := Of(o, nil).Inputs
		if len(in) != 1 || in[0].Type != "module" || in[0].Devices != 10 || in[0].MaxOhm != tt.ohm || in[0].EndOfLine != tt.end || !strings.Contains(in[0].Source, tt.source) {
			t.Fatalf("%q: %+v", tt.keys, in)
		}
		if tt.oneWay == 0 && len(in[0].Lengths) > 0 || tt.oneWay > 0 && math.Abs(in[0].Lengths[0].OneWay-tt.oneWay) > 1e-6 {
			t.Errorf("%q: %+v", tt.keys, in[0].Lengths)
		}
		said := ""
		for _, f := range o.Findings {
			if f.Code == route.CodeNoLimit {
				said += f.Message
			}
		}
		if !strings.Contains(said, tt.says) || tt.says == "" && said != "" {
			t.Errorf("%q: said %q, want %q", tt.keys, said, tt.says)
		}
	}
}

// What listings give and the job leaves out is judged by nothing: one warning for
// each circuit names the keys, and no limit stands in the result.
func TestBlankListing(t *testing.T) {
	sounders := strings.Replace(lineJob, "types: [", "types: [{type: sounder, addresses: 0, wired_to: [nac], standby: 0 mA, alarm: 200 mA}, ", 1)
	for _, tt := range []struct{ rows, says string }{
		{"{circuit: S}, {circuit: N, kind: nac}",
			"N: current not judged: max_current is blank; voltage not judged: start and end are blank; take them from the panel's and the appliance's listing|" +
				"S: loop resistance not judged: max_resistance is blank; capacitance not judged: max_capacitance is blank; loss of devices to one short not judged: max_lost_devices is blank; take them from the panel's listing"},
		{"{circuit: S, max_resistance: 45 ohm, max_capacitance: 1 uF}, {circuit: N, kind: nac, max_current: 1 A, start: 22 V}",
			"N: voltage not judged: end is blank; take it from the appliance's listing|S: loss of devices to one short not judged: max_lost_devices is blank; take it from the panel's listing"},
		{"{circuit: S, max_resistance: 45 ohm, max_capacitance: 1 uF, max_lost_devices: 9}, {circuit: N, kind: nac, max_current: 1 A, start: 22 V, end: 17 V}", ""},
		// Split by what is known: addresses here, nothing there.
		{"{circuit: S, circuits: auto, addresses: {last: 5, spare: 0%}, max_resistance: 45 ohm, max_lost_devices: 9}, {circuit: N, circuits: auto, kind: nac}",
			"N-1: current not judged: max_current is blank; voltage not judged: start and end are blank; take them from the panel's and the appliance's listing; without max_current nothing is split|" +
				"S-1: capacitance not judged: max_capacitance is blank; take it from the panel's listing|S-2: capacitance not judged: max_capacitance is blank; take it from the panel's listing"},
	} {
		o := computeText(t, sounders+"circuits: ["+tt.rows+"]\n", append(line(6, "smoke"), "n1,sounder,Level 1,10,0", "n2,sounder,Level 1,20,0")...)
		var said []string
		for _, f := range o.Findings {
			if f.Code == route.CodeNoLimit {
				said = append(said, f.Message)
				if f.Severity != takeoff.Warning {
					t.Errorf("%s: %v", f.Message, f.Severity)
				}
			}
		}
		slices.Sort(said)
		if got := strings.Join(said, "|"); got != tt.says {
			t.Errorf("%s\ngot  %s\nwant %s", tt.rows, got, tt.says)
		}
		for _, c := range Of(o, nil).Circuits {
			judged := !strings.Contains(tt.says, c.Circuit+": loop") && !strings.Contains(tt.says, c.Circuit+": current") && !strings.Contains(tt.says, c.Circuit+": voltage")
			if c.Judged != judged || c.Passes != judged || (c.LimitOhm > 0) != (judged && c.Kind == "slc") {
				t.Errorf("%s of %s: judged %v, passes %v, limit %v", c.Circuit, tt.rows, c.Judged, c.Passes, c.LimitOhm)
			}
		}
	}
}

// Level 2 stands 4 m above level 1. Both ways of a class A circuit go through the
// shaft that the job gives, 4 m of it, until the job says that they are parted in
// it; without a riser they go straight up over the panel, which is told as well.
// On level 1 they run 3 m from panel to shaft, within the 10 ft of NFPA 72-2013
// 12.3.7(1); with the shaft at 10 m they would lie together over 10 - 3.048 - 1.2192 m.
func TestRisersThatHoldBothWays(t *testing.T) {
	yaml := strings.Replace(lineJob, "ceiling: 3 m, cable_height: 3 m}]", "ceiling: 3 m, cable_height: 3 m}, {devices: devices.csv, level: Level 2, units: m, elevation: 4 m, ceiling: 3 m, cable_height: 3 m}]", 1)
	yaml = strings.Replace(yaml, "{type: smoke,", "{type: smoke, match: [{block: smoke}],", 1) + "circuits: [{circuit: S, pathway: A}]\n"
	for _, tt := range []struct {
		risers string
		shaft  float64
		want   map[string]int // findings
	}{
		{"", 4, map[string]int{"F301": 1, "F408": 2}},
		{"risers: [{riser: R, at: {point: [0, 3]}}]\n", 4, map[string]int{"F408": 2}},
		{"risers: [{riser: R, at: {point: [0, 3]}, separated: true}]\n", 0, nil},
		{"risers: [{riser: R, at: {point: [0, 10]}, separated: true}]\n", 0, map[string]int{"F408": 2}},
	} {
		// Way out and return part at once: to 20,0 and back from 0,40.
		o := computeText(t, yaml+tt.risers, "d1,smoke,Level 2,20,10", "d2,smoke,Level 2,20,40", "d3,smoke,Level 2,0,40")
		if got := Of(o, nil).Circuits[0].Shaft; math.Abs(got-tt.shaft) > 1e-9 {
			t.Errorf("%q: %v m of shaft hold both ways, want %v", tt.risers, got, tt.shaft)
		}
		for _, code := range []string{"F301", "F408"} {
			if n := codes(o)[code]; n != tt.want[code] {
				t.Errorf("%q: %d of %s, want %d: %v", tt.risers, n, code, tt.want[code], o.Findings)
			}
		}
	}
}
