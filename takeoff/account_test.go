package takeoff

import (
	"maps"
	"path/filepath"
	"testing"

	"loopwright/takeoff/words"
)

// In the jobs of the traps and of the demo, every figure of every drawing is in the account once, its sums close,
// and it counts and leaves out as many devices as the takeoff does.
func TestAccountCloses(t *testing.T) {
	files, err := filepath.Glob("../testdata/traps/*/job.yaml")
	if err != nil || len(files) < 10 {
		t.Fatalf("only %d traps: %v", len(files), err)
	}
	placed := 0
	for _, f := range append(files, "../testdata/demo/job.yaml") {
		r, err := Take(readJob(t, f))
		if err != nil {
			continue // a trap that is refused
		}
		got, want := map[string]int{}, map[string]int{}
		for _, a := range r.Account {
			sum := a.Counted + a.Landmark + a.Rest
			if a.Counted > 0 {
				got["counted"] += a.Counted
			}
			for why, n := range a.Out {
				sum += n
				got[why] += n
			}
			if sum != a.Placed || a.Hidden > a.Placed || a.Placed == 0 {
				t.Errorf("%s: %+v: %d are told of %d", f, a, sum, a.Placed)
			}
			if a.Unexplained() != (a.Sketch != nil) {
				t.Errorf("%s: %+v: a sketch %v", f, a, a.Sketch != nil)
			}
			placed += a.Placed
		}
		for _, d := range r.Devices {
			switch {
			case filepath.Ext(d.Drawing) != ".dxf" || d.Type == "":
			case d.Status == Counted:
				want["counted"]++
			default:
				want[string(d.Reason)]++
			}
		}
		for _, own := range []Reason{InLegend, OnPaper, OutOfRegion} { // symbols that no rule fits stand there too, and panels
			if want[string(own)] <= got[string(own)] {
				delete(want, string(own))
				delete(got, string(own))
			}
		}
		if !maps.Equal(got, want) {
			t.Errorf("%s: the account says %v, the takeoff %v", f, got, want)
		}
	}
	if placed < 500 {
		t.Errorf("only %d figures in all", placed)
	}
}

// What no rule names is unexplained, whatever it is drawn as, with how many and a place.
func TestUnexplained(t *testing.T) {
	tests := []struct {
		trap, form, name string
		rest             int
	}{
		{"exploded", "figure", `circle with "S", 18 wide`, 8},
		{"text-only", "text", "WP", 6},
		{"mostly-off", "block", "FA-HEAT", 10},
	}
	for _, tt := range tests {
		r, err := Take(Request{Folder: "../testdata/traps/" + tt.trap, Plans: []Plan{{Drawing: "plan.dxf", Level: "Level 1", Units: "in"}}})
		if err != nil {
			t.Fatal(err)
		}
		var rows []string
		found := false
		for _, a := range r.Account {
			rows = append(rows, a.Form+" "+a.Name)
			if a.Form == tt.form && a.Name == tt.name {
				found = true
				if !a.Unexplained() || a.Rest != tt.rest || len(a.Sketch.Lines)+len(a.Sketch.Letters) == 0 {
					t.Errorf("%s: %+v, %+v", tt.trap, a, a.Sketch)
				}
			}
		}
		if !found {
			t.Errorf("%s: no %s %q in %q", tt.trap, tt.form, tt.name, rows)
		}
	}
}

// A job in which nothing counts says so as an error, and names what repeats.
func TestNothingCounts(t *testing.T) {
	r, err := Take(Request{Folder: "../testdata/traps/side-by-side", Plans: []Plan{{Drawing: "plan.dxf", Level: "Level 1", Units: "in"}},
		Types: []DeviceType{{Type: "smoke", Match: []words.Match{{Block: "NO-SUCH-BLOCK"}}}}})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range r.Findings {
		if f.Code == "F216" && f.Severity == Error && f.Placed {
			return
		}
	}
	t.Errorf("no finding says that nothing is counted: %v", r.Findings)
}
