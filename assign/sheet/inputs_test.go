package sheet

import (
	"bytes"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"loopwright/assign"
	"loopwright/takeoff"
)

// moduleTest is a circuit with so many modules, each with two circuits of its own.
func moduleTest(n int) Test {
	t := Test{Circuit: "SLC-1", Kind: takeoff.SLC, Panel: "P", Pathway: "A", Cable: "16/2", Ends: []End{{ID: "P", Return: true, Ohm: 17.5, Ohm20: 14.4, Limit: 50}}}
	for i := range n {
		for k := range 2 {
			t.Inputs = append(t.Inputs, InputCircuit{ID: fmt.Sprintf("L1-%03d", i+1), N: k + 1, Of: 2, Module: "Input module, valves", Place: "Level 1 PUMP ROOM", Address: i + 1,
				Points: []assign.NumberedPoint{{Point: fmt.Sprintf("%d.%d", i+1, k+1), Function: []string{"waterflow", "tamper"}[k], Event: "113"}},
				Class:  "B", Resistor: 4700, Wire: 50, Source: "given in the job file"})
		}
	}
	return t
}

// Each of the modules' circuits stands on the sheet with what an installer asks
// for, none over the edge of a page, and no page without the circuit's name.
func TestAgainstPopplerInputCircuits(t *testing.T) {
	const modules = 40
	doc, err := TestSheet(Job{Name: "Test"}, []Test{moduleTest(modules)})
	if err != nil {
		t.Fatal(err)
	}
	if len(doc.Findings) > 0 {
		t.Error(doc.Findings)
	}
	f := saved(t, doc.PDF)
	pages := strings.Split(strings.TrimSuffix(output(t, "pdftotext", "-layout", f, "-"), "\f"), "\f")
	if len(pages) != doc.Pages || len(pages) < 4 {
		t.Fatalf("%d pages of text, %d pages", len(pages), doc.Pages)
	}
	all := strings.Join(strings.Fields(strings.Join(pages, " ")), " ")
	for i := 1; i <= modules; i++ {
		for k, point := range []string{"waterflow 113", "tamper 113"} {
			for _, want := range []string{fmt.Sprintf("L1-%03d [%d] · circuit %d of 2", i, i, k+1), fmt.Sprintf(" %d.%d %s", i, k+1, point)} {
				if strings.Count(all, want) != 1 {
					t.Errorf("%q stands %d times on the sheet", want, strings.Count(all, want))
				}
			}
		}
	}
	for _, want := range []string{"4700 to 4750 ohm", "resistor 4.7 kohm, wire up to 50 ohm", "PUMP ROOM", "given in the job file", "class B"} {
		if n := strings.Count(all, want); n != 2*modules {
			t.Errorf("%q stands %d times, want %d", want, n, 2*modules)
		}
	}
	for i, text := range pages {
		if n := strings.Count(text, "SLC-1"); n < 1 || i > 0 && !strings.Contains(text, "continued") {
			t.Errorf("page %d does not say which circuit its rows belong to:\n%s", i+1, text)
		}
	}
	for i, ws := range words(t, f) {
		for _, w := range ws {
			if w.YMax > letter.h-edge-20 && strings.Contains(w.Text, "L1-") {
				t.Errorf("page %d: %s runs into the foot", i+1, w.Text)
			}
		}
	}
	es, err := ReadForm(bytes.NewReader(doc.PDF))
	if err != nil {
		t.Fatal(err)
	}
	if len(es) != 2*modules+1 || es[0].ID != "L1-001 input 1" || es[2*modules].ID != "P" {
		t.Errorf("%d entries, the first %q", len(es), es[0].ID)
	}
}

// A page never begins with rows that do not say what they belong to, and never
// ends with a head alone.
func TestPaginate(t *testing.T) {
	head := &block{height: 10}
	var bs []block
	for range 3 {
		bs = append(bs, block{height: 10, stay: true})
		for range 7 {
			bs = append(bs, block{height: 20, head: head})
		}
	}
	for room := 30.0; room < 400; room += 7 {
		rows := 0
		for i, pg := range paginate(bs, room) {
			h := 0.0
			for _, b := range pg {
				h += b.height
				if b.height == 20 {
					rows++
				}
			}
			if h > room {
				t.Errorf("room %g: page %d is %g high", room, i, h)
			}
			if pg[0].height != 10 || pg[len(pg)-1].height != 20 {
				t.Errorf("room %g: page %d begins with %g and ends with %g", room, i, pg[0].height, pg[len(pg)-1].height)
			}
		}
		if rows != 21 {
			t.Errorf("room %g: %d rows, want 21", room, rows)
		}
	}
}

// Resistances are written as on resistors: the number read back is the number.
func TestOhmsAsOnResistors(t *testing.T) {
	for v, want := range map[float64]string{5100: "5.1 kohm", 47000: "47 kohm", 100: "100 ohm", 2.2: "2.2 ohm", 1e6: "1 Mohm", 999: "999 ohm", 0.05: "0.05 ohm", 1e9: "1000 Mohm"} {
		if got := ohms(v); got != want {
			t.Errorf("%g ohm is written %s, want %s", v, got, want)
		}
	}
	form := regexp.MustCompile(`^([0-9.]+) ([kM]?)ohm$`)
	for _, series := range []float64{1, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2} { // E12, IEC 60063
		for e := range 7 {
			v := series * math.Pow10(e)
			m := form.FindStringSubmatch(ohms(v))
			if m == nil {
				t.Fatalf("%g ohm is written %q", v, ohms(v))
			}
			n, _ := strconv.ParseFloat(m[1], 64)
			if got := n * map[string]float64{"": 1, "k": 1e3, "M": 1e6}[m[2]]; math.Abs(got-v) > 1e-6*v {
				t.Errorf("%g ohm is written %q", v, ohms(v))
			}
		}
	}
}

// What the listing gives and the job does not is a blank to be filled in on site.
func TestInputCircuitBlanks(t *testing.T) {
	for _, tt := range []struct {
		resistor, wire             float64
		expect, resistorIs, wireIs string
	}{
		{4700, 50, "4700 to 4750 ohm", "4.7 kohm", "50 ohm"},
		{4700, 0, "4700 to ______ ohm", "4.7 kohm", "______ ohm"},
		{0, 50, "______ to ______ ohm", "______ ohm", "50 ohm"},
	} {
		c := InputCircuit{Resistor: tt.resistor, Wire: tt.wire}
		if c.expect() != tt.expect || orBlank(c.Resistor) != tt.resistorIs || orBlank(c.Wire) != tt.wireIs {
			t.Errorf("%+v: %q, %q, %q", tt, c.expect(), orBlank(c.Resistor), orBlank(c.Wire))
		}
	}
}
