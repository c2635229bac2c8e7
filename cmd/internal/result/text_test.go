package result

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"loopwright/takeoff"
	"loopwright/takeoff/measure"
)

// The figures of these tables are those of proofs_test.go and of the arithmetic here: 60 m
// out and 60 m back of 16 AWG solid (4.89 ohm per 1,000 ft) are 2 x 120 / 0.3048 x 4.89 / 1000 = 3.85 ohm;
// the two sounders draw 0.2 A at 10 m and 20 m: 2 x (10 x 0.4 + 10 x 0.2) / 0.3048 x 4.89 / 1000 = 0.19 V.
func TestTablesOfCheck(t *testing.T) {
	yaml := strings.Replace(lineJob, "types: [", "types: [{type: sounder, addresses: 0, wired_to: [nac], standby: 0 mA, alarm: 200 mA}, ", 1) + `
circuits:
- {circuit: S, pathway: A, max_resistance: 50 ohm, max_lost_devices: 3, max_capacitance: 0.05 uF}
- {circuit: N, kind: nac, pathway: B, max_current: 1 A, start: 20.4 V, end: 16 V}
`
	showsTables(t, yaml, `
circuit  kind  class  devices  addresses  length  order  as drawn
S        slc   A      6        6 of 127   120 m   120 m  FAILS     with 1 isolator added: passes
N        nac   B      2                   20 m    20 m   passes
`, `
wire  ohm   limit  margin  to        cable left  thinnest that passes
S     3.85  50.0   46.1    and back  130 m       22 AWG solid          passes, 0.024 of 0.050 uF
N     0.64                 n2                    22 AWG solid          passes
`, `
power  current  in     may be  lowest   needs   at  lumped
N      0.40 A   alarm  0.80 A  20.21 V  16.0 V  n2  20.14 V  passes
`, `
faults  worst open  worst short  between      limit              isolators          as drawn
S       0           6, 1 zone    FACP and d1  3 devices, 1 zone  0 drawn, 1 to add  FAILS     with 1 added: 3, 1 zone: passes
`)
	// What the job leaves blank is blank here, and judged by nothing.
	showsTables(t, strings.NewReplacer(", max_resistance: 50 ohm, max_lost_devices: 3, max_capacitance: 0.05 uF", "", ", max_current: 1 A, start: 20.4 V, end: 16 V", "").Replace(yaml), `
wire  ohm   limit  margin  to        cable left  thinnest that passes
S     3.85                 and back                                    not proved
N     0.64                 n2                                          not proved
`, `
power  current  in     may be     lowest  needs      at  lumped
N      0.40 A   alarm  not given          not given              not proved
`, `
faults  worst open  worst short  between      limit   isolators          as drawn
S       0           6, 1 zone    FACP and d1  1 zone  0 drawn, 0 to add  passes
`)
}

// showsTables computes six detectors and two sounders in a row and looks for the tables.
func showsTables(t *testing.T, yaml string, tables ...string) {
	t.Helper()
	o := computeText(t, yaml, append(line(6, "smoke"), "n1,sounder,Level 1,10,0", "n2,sounder,Level 1,20,0")...)
	var b bytes.Buffer
	if err := WriteText(&b, Of(o, nil), measure.Metric); err != nil {
		t.Fatal(err)
	}
	got := b.String()
	for _, want := range tables {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in\n%s", want, got)
		}
	}
}

// Of many findings of one kind the first five are spelled out; a note of the same
// code, which says the rule, is not lost among them.
func TestFindingsOnTheScreen(t *testing.T) {
	var r Result
	for i := range 7 {
		r.Findings = append(r.Findings, takeoff.Finding{Code: "F408", Severity: takeoff.Warning, Message: fmt.Sprintf("circuit %d", i+1)})
	}
	r.Findings = append(r.Findings, takeoff.Finding{Code: "F408", Severity: takeoff.Note, Message: "the rule"})
	var b bytes.Buffer
	writeFindings(&b, r)
	want := `
8 findings
F408 warning: circuit 1
F408 warning: circuit 2
F408 warning: circuit 3
F408 warning: circuit 4
F408 warning: circuit 5
F408 note: the rule
F408: 2 more like this in result.json and the workbook
`
	if b.String() != want {
		t.Errorf("got%s", b.String())
	}
}
