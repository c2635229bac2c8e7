package reconcile

import (
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"loopwright/assign/sheet"
	"loopwright/cmd/internal/build"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/returned"
	"loopwright/takeoff"
	"loopwright/testdata/against"
)

// The circuit of a module's own is judged by its resistor and the wire that it
// may have: 4.7 kohm and 60 ohm in the demo. That the reading lies between the
// two is the law of resistors in series.
func TestInputCircuitsAreJudged(t *testing.T) {
	o := demoOutcome(t)
	module := at(t, o, "SLC-1", 54)
	for _, tt := range []struct{ end, ohm, verdict, code, says string }{
		{module + " input 1", "4700", "as computed", "", ""},
		{module + " input 1", "4.76k", "as computed", "", ""},
		{module + " input 1", "4700 ohm", "as computed", "", ""},
		{module + " input 1", "12", "far under", codeFar, "a closed switch"},
		{module + " input 1", "9400", "far over", codeFar, "wrong or missing resistor"},
		{module + " input 1", "OL", "no number", codeUnreadable, ""},
		{module + " input 2", "4700", "not judged", codeUnknown, "has no end"},
		{module + " input 0", "4700", "not judged", codeUnknown, "has no end"},
		{module + " input", "4700", "not judged", codeUnknown, "has no end"},
		{at(t, o, "SLC-1", 1) + " input 1", "4700", "not judged", codeUnknown, "has no end"}, // a smoke detector has none
		{at(t, o, "SLC-2", 1) + " input 1", "4700", "not judged", codeUnknown, "has no end"},
	} {
		m, err := hold(o, []returned.Source{{File: "a", Kind: returned.Sheets, Readings: []returned.Reading{{Circuit: "SLC-1", End: tt.end, Ohm: tt.ohm}}}})
		if err != nil {
			t.Fatal(err)
		}
		if got := m.readings[0].verdict; got != tt.verdict {
			t.Errorf("%s reads %s: %s, want %s", tt.end, tt.ohm, got, tt.verdict)
		}
		found := ""
		for _, d := range m.diffs {
			if d.Code != codeOpen {
				found += d.Code
				if !strings.Contains(d.Message, tt.says) {
					t.Errorf("%s, want %q", d.Message, tt.says)
				}
			}
		}
		if found != tt.code {
			t.Errorf("%s reads %s: found %q, want %q", tt.end, tt.ohm, found, tt.code)
		}
	}
}

// Where the job leaves the module's listing blank, a reading is kept and not judged.
func TestInputCircuitsWithoutListing(t *testing.T) {
	o := demoOutcome(t)
	own := *o
	j := *o.Job
	j.Types = slices.Clone(j.Types)
	for i := range j.Types {
		j.Types[i].EndOfLineOhm = 0
	}
	own.Job = &j
	end := at(t, o, "SLC-1", 54) + " input 1"
	m, err := hold(&own, []returned.Source{{File: "a", Kind: returned.Sheets, Readings: []returned.Reading{{Circuit: "SLC-1", End: end, Ohm: "12"}}}})
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range m.diffs {
		if d.Code != codeOpen {
			t.Errorf("judged: %+v", d)
		}
	}
	if x := m.readings[0].out(); x.Verdict != "not judged" || x.Ohm == nil || *x.Ohm != 12 || x.Computed != 0 {
		t.Errorf("%+v", x)
	}
	if row := m.readingRows()[1]; row[5] != "" {
		t.Errorf("computed: %q", row)
	}
}

// Every resistor of the demo's modules has its place on the test sheet, and what
// another program writes there comes back.
func TestAgainstPikepdfInputCircuits(t *testing.T) {
	against.Python(t, "pikepdf")
	j := demoJob(t)
	folder := filepath.Dir(j.File)
	out := filepath.Join(folder, "out")
	r, err := build.Run(j, out, outcome.Known{}, nil)
	if err != nil {
		t.Fatal(err)
	}
	resistors := map[string]int{}
	for _, p := range j.Types {
		resistors[p.Type] = p.EndOfLine
	}
	texts := map[string]string{}
	for _, d := range r.Devices {
		if d.Status == takeoff.Counted && d.Circuit != "" {
			for n := range resistors[d.Type] {
				texts[sheet.FieldName(d.Circuit, sheet.InputEnd(d.ID, n+1), sheet.FieldOhm)] = "4723"
			}
		}
	}
	if len(texts) == 0 {
		t.Fatal("the demo has no module with a resistor")
	}
	filled := fillForm(t, filepath.Join(out, "test-sheet.pdf"), filepath.Join(folder, "filled.pdf"), texts)
	back, err := Run(j, []string{filled}, filepath.Join(folder, "as-built"), nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(back.Readings) != len(texts) {
		t.Errorf("%d readings came back, want %d", len(back.Readings), len(texts))
	}
	for _, x := range back.Readings {
		if x.Verdict != "as computed" || x.Ohm == nil || *x.Ohm != 4723 || x.Least != 4700 || x.Computed != 4760 || x.Computed20 != 0 {
			t.Errorf("%+v", x)
		}
	}
}
