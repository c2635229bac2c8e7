package takeoff_test

import (
	"path/filepath"
	"testing"

	"loopwright/takeoff"
	"loopwright/takeoff/words"
)

// Every figure of every drawing of the traps is in the account once, and its sums close.
func TestAccountCloses(t *testing.T) {
	files, err := filepath.Glob("../testdata/traps/*/plan.dxf")
	if err != nil || len(files) < 10 {
		t.Fatalf("only %d traps: %v", len(files), err)
	}
	placed := 0
	for _, f := range files {
		r, err := takeoff.Take(takeoff.Request{Folder: filepath.Dir(f), Plans: []takeoff.Plan{{Drawing: "plan.dxf", Level: "Level 1", Units: "in"}},
			Types: []takeoff.DeviceType{{Type: "smoke", Match: []words.Match{{Block: "FA-SMK*"}}}, {Type: "pull", Match: []words.Match{{Block: "FA-PULL*"}}}}})
		if err != nil {
			t.Fatal(err)
		}
		counted := 0
		for _, a := range r.Account {
			sum := a.Counted + a.Landmark + a.Rest
			for _, n := range a.Out {
				sum += n
			}
			if sum != a.Placed {
				t.Errorf("%s: %+v: %d are told of %d", f, a, sum, a.Placed)
			}
			counted += a.Counted
			placed += a.Placed
		}
		all := 0
		for _, d := range r.Devices {
			if d.Status == takeoff.Counted {
				all++
			}
		}
		if counted != all {
			t.Errorf("%s: the account has %d that count, the takeoff %d", f, counted, all)
		}
	}
	if placed < 100 {
		t.Errorf("only %d figures in all", placed)
	}
}

// A job in which nothing counts says so as an error, and names what repeats.
func TestNothingCounts(t *testing.T) {
	r, err := takeoff.Take(takeoff.Request{Folder: "../testdata/traps/side-by-side", Plans: []takeoff.Plan{{Drawing: "plan.dxf", Level: "Level 1", Units: "in"}},
		Types: []takeoff.DeviceType{{Type: "smoke", Match: []words.Match{{Block: "NO-SUCH-BLOCK"}}}}})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range r.Findings {
		if f.Code == "F216" && f.Severity == takeoff.Error && f.Placed {
			return
		}
	}
	t.Errorf("no finding says that nothing is counted: %v", r.Findings)
}
