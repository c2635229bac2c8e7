package ledger

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"loopwright/assign"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
)

var types = []takeoff.DeviceType{{Type: "smoke", Addresses: 1}, {Type: "heat", Addresses: 1}, {Type: "module", Addresses: 2}, {Type: "isolator"}}

// run numbers devices along one circuit as a build does, and returns the next ledger.
func run(l Ledger, devices []takeoff.Device) (Recalled, []assign.Numbered, Ledger) {
	rec := l.Recall(devices)
	ids := rec.Order("C")
	for _, d := range rec.Devices {
		if d.Status == takeoff.Counted && !slices.Contains(ids, d.ID) {
			ids = append(ids, d.ID)
		}
	}
	w := assign.Walk{Circuit: "C", Kind: takeoff.SLC, Devices: ids, Addressing: assign.Addressing{Scheme: assign.Scheme{Name: "none"}, First: 1, Last: 999}}
	w.Held = rec.Held("C", ids, func(string) bool { return true })
	w.Retired = rec.Retired("C")
	numbered, _ := assign.Number(rec.Devices, types, []assign.Walk{w})
	return rec, numbered, rec.Next(numbered, []assign.Walk{w})
}

// read names the devices in reading order, as the takeoff does.
func read(devices []takeoff.Device) []takeoff.Device {
	out := slices.Clone(devices)
	for i := range out {
		if out[i].Handle != "" {
			out[i].ID = fmt.Sprintf("L1-%03d", i+1)
		}
	}
	return out
}

func smoke(handle string, x, y float64) takeoff.Device {
	return takeoff.Device{Type: "smoke", Level: "Level 1", Drawing: "a.dxf", Handle: handle, Status: takeoff.Counted, Pos: geom.Pt(x, y)}
}

func state(l Ledger) string {
	var parts []string
	for _, r := range l.Rows {
		parts = append(parts, fmt.Sprintf("%s=%d %s", r.ID, r.Address, r.State))
	}
	return strings.Join(parts, ", ")
}

func TestRevisions(t *testing.T) {
	first := []takeoff.Device{smoke("A", 0, 0), smoke("B", 5, 0), smoke("C", 10, 0), smoke("D", 15, 0)}
	_, _, l := run(Ledger{}, read(first))
	if got := state(l); got != "L1-001=1 planned, L1-002=2 planned, L1-003=3 planned, L1-004=4 planned" {
		t.Fatal(got)
	}
	l.Rows[2].State, l.Rows[2].Remark = Installed, "seen"
	// B goes, E comes in front, so that every running number shifts; C turns into a heat detector.
	c := smoke("C", 10, 0)
	c.Type = "heat"
	second := []takeoff.Device{smoke("E", 2, 0), smoke("A", 0, 0), c, smoke("D", 15.5, 0)}
	rec, _, l2 := run(l, read(second))
	if got := state(l2); got != "L1-001=1 planned, L1-002=2 retired, L1-003=3 exchange, L1-004=4 planned, L1-005=5 planned" {
		t.Error(got)
	}
	if l2.Rows[2].Type != "heat" || l2.Rows[2].Remark != "seen; was smoke" {
		t.Errorf("%+v", l2.Rows[2])
	}
	want := "1 new: L1-005\n1 gone, their addresses are not reused: L1-002\n1 changed type: L1-003: smoke is now heat\n1 moved: L1-004 by 0.50 m"
	if got := strings.Join(rec.Changes.Lines(measure.Metric), "\n"); got != want {
		t.Errorf("%s\nwant\n%s", got, want)
	}
	if fs := l2.Findings("job.ledger.csv"); len(fs) != 1 || !strings.Contains(fs[0].Message, "2 (L1-002)") {
		t.Errorf("%v", fs)
	}
	// B is back on its place, with another handle.
	third := append(slices.Clone(second), smoke("F", 5, 0))
	_, _, l3 := run(l2, read(third))
	if got := state(l3); got != "L1-001=1 planned, L1-002=2 planned, L1-003=3 exchange, L1-004=4 planned, L1-005=5 planned" {
		t.Error(got)
	}
	// A person frees the address of a device that is gone: its row goes, and nobody is renumbered for it.
	for i := range l2.Rows {
		if l2.Rows[i].State == Retired {
			l2.Rows[i].State = Released
		}
	}
	_, _, l4 := run(l2, read(append(slices.Clone(second), smoke("G", 50, 50))))
	if got := state(l4); got != "L1-001=1 planned, L1-003=3 exchange, L1-004=4 planned, L1-005=5 planned, L1-006=6 planned" {
		t.Error(got)
	}
}

func TestIDsOfAPersonStay(t *testing.T) {
	_, _, l := run(Ledger{}, []takeoff.Device{{ID: "S-1", Type: "smoke", Level: "1", Status: takeoff.Counted}, {ID: "S-2", Type: "smoke", Level: "1", Status: takeoff.Counted, Pos: geom.Pt(9, 9)}})
	rec, numbered, _ := run(l, []takeoff.Device{{ID: "S-2", Type: "smoke", Level: "1", Status: takeoff.Counted}, {ID: "S-3", Type: "smoke", Level: "1", Status: takeoff.Counted, Pos: geom.Pt(9, 9)}})
	if rec.Devices[0].ID != "S-2" || numbered[0].Address != 2 || rec.Devices[1].ID != "S-3" || numbered[1].Address != 3 {
		t.Errorf("%+v", numbered)
	}
}

func TestExcludedDevicesKeepTheirIDsFromRunToRun(t *testing.T) {
	ds := []takeoff.Device{smoke("A", 0, 0), smoke("B", 5, 0), smoke("C", 10, 0)}
	_, _, l := run(Ledger{}, read(ds))
	gone := smoke("X", 1, 1)
	gone.Status, gone.Reason = takeoff.Excluded, takeoff.InLegend
	second := read([]takeoff.Device{gone, smoke("N", 2, 2), ds[0], ds[1], ds[2]})
	rec, _, l2 := run(l, second)
	again, _, _ := run(l2, second)
	for i := range rec.Devices {
		if rec.Devices[i].ID != again.Devices[i].ID {
			t.Errorf("device %d is %s and then %s", i, rec.Devices[i].ID, again.Devices[i].ID)
		}
	}
}

// TestLedgerLaws: run after run with random edits, ids and addresses of those
// that stay hold, nobody gets what a retired device has, and a second run on
// the same drawing writes the same bytes.
func TestLedgerLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var l Ledger
		var drawn []takeoff.Device
		next := 0
		for range rapid.IntRange(1, 5).Draw(t, "runs") {
			for range rapid.IntRange(0, 8).Draw(t, "added") {
				next++
				d := smoke(fmt.Sprintf("%X", next), 10*float64(next%7), 10*float64(next/7))
				d.Type = rapid.SampledFrom([]string{"smoke", "heat", "module", "isolator"}).Draw(t, "type")
				drawn = slices.Insert(drawn, rapid.IntRange(0, len(drawn)).Draw(t, "at"), d)
			}
			for range rapid.IntRange(0, len(drawn)/3).Draw(t, "removed") {
				k := rapid.IntRange(0, len(drawn)-1).Draw(t, "which")
				drawn = slices.Delete(drawn, k, k+1)
			}
			was := map[string]Row{}
			for _, r := range l.Rows {
				was[r.Handle] = r
			}
			_, numbered, after := run(l, read(drawn))
			used := map[int]string{}
			for _, r := range after.Rows {
				for k := range r.Span {
					if who, twice := used[r.Address+k]; twice {
						t.Fatalf("address %d of %s and of %s", r.Address+k, who, r.ID)
					}
					used[r.Address+k] = r.ID
				}
			}
			for _, n := range numbered {
				if r, ok := was[n.Handle]; ok && (r.ID != n.ID || r.Address != n.Address) {
					t.Fatalf("%s was %s with %d, is %s with %d", n.Handle, r.ID, r.Address, n.ID, n.Address)
				}
			}
			if _, _, again := run(after, read(drawn)); string(again.Bytes()) != string(after.Bytes()) {
				t.Fatalf("the second run writes otherwise:\n%s\n%s", after.Bytes(), again.Bytes())
			}
			roundTrip(t, after)
			l = after
		}
	})
}
