package takeoff

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// truth is what the script that drew a test drawing wrote down about it.
type truth struct {
	Counts   []Count
	Excluded map[Reason]int
	Total    int `json:"counted_total"`
	Devices  []truthDevice
	Either   bool `json:"either_copy"`
	// WithHidden is the total where hidden symbols count.
	WithHidden int `json:"counted_with_hidden_count"`
}

type truthDevice struct {
	Type, Drawing, Level, Room, Handle, ID string
	X, Y                                   float64
	XM                                     *float64 `json:"x_m"`
	YM                                     *float64 `json:"y_m"`
	Status                                 Status
	Reason                                 Reason
}

func readTruth(t testing.TB, file string) truth {
	t.Helper()
	b, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var tr truth
	if err := json.Unmarshal(b, &tr); err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	return tr
}

// score is how a takeoff compares with the truth.
type score struct {
	right, missed, extra int // devices that count: in both, in the truth only, in the takeoff only
	rooms, roomsRight    int // of those in both
	wrong                []string
}

func (s *score) add(o score) {
	s.right, s.missed, s.extra = s.right+o.right, s.missed+o.missed, s.extra+o.extra
	s.rooms, s.roomsRight = s.rooms+o.rooms, s.roomsRight+o.roomsRight
}

// compare holds a takeoff against the truth, device by device.
func compare(tr truth, r Result) score {
	var s score
	say := func(format string, args ...any) { s.wrong = append(s.wrong, fmt.Sprintf(format, args...)) }
	used := make([]bool, len(r.Devices))
	find := func(want truthDevice, strict bool) *Device {
		for i := range r.Devices {
			d := &r.Devices[i]
			if used[i] || d.Drawing != want.Drawing || d.Type != want.Type || math.Hypot(d.At.X-want.X, d.At.Y-want.Y) > 0.02 || d.Level != want.Level {
				continue
			}
			if strict && (d.Handle != want.Handle || d.Reason != want.Reason) {
				continue
			}
			used[i] = true
			return d
		}
		return nil
	}
	got := make([]*Device, len(tr.Devices))
	for i, want := range tr.Devices { // first those that agree in all, as copies stand on one spot
		got[i] = find(want, true)
	}
	for i, want := range tr.Devices {
		if got[i] == nil {
			got[i] = find(want, false)
		}
		d := got[i]
		if d == nil {
			say("missing: %s at %g, %g of %s (#%s)", want.Type, want.X, want.Y, want.Drawing, want.Handle)
			if want.Status == Counted {
				s.missed++
			}
			continue
		}
		if d.Status != want.Status || d.Reason != want.Reason {
			if !tr.Either || (d.Reason != Duplicate && want.Reason != Duplicate && d.Reason != Overlap && want.Reason != Overlap) {
				say("%s at %g, %g of %s: %s %s, want %s %s", d.Type, d.At.X, d.At.Y, d.Drawing, d.Status, d.Reason, want.Status, want.Reason)
			}
		}
		if d.Handle != want.Handle && !(tr.Either && d.At == got[i].At) {
			say("%s at %g, %g of %s: handle %s, want %s", d.Type, d.At.X, d.At.Y, d.Drawing, d.Handle, want.Handle)
		}
		if want.ID != "" && d.ID != want.ID {
			say("id %s, want %s", d.ID, want.ID)
		}
		if want.XM != nil && math.Hypot(d.Pos.X-*want.XM, d.Pos.Y-*want.YM) > 0.002 {
			say("%s at %g, %g of %s: %.4f, %.4f m, want %.4f, %.4f", d.Type, d.At.X, d.At.Y, d.Drawing, d.Pos.X, d.Pos.Y, *want.XM, *want.YM)
		}
		switch {
		case want.Status == Counted && d.Status == Counted:
			s.right++
			s.rooms++
			if d.Room == want.Room {
				s.roomsRight++
			} else {
				say("%s at %g, %g of %s: room %q, want %q", d.Type, d.At.X, d.At.Y, d.Drawing, d.Room, want.Room)
			}
		case want.Status == Counted:
			s.missed++
		case d.Status == Counted:
			s.extra++
		}
	}
	for i, d := range r.Devices {
		if !used[i] {
			say("extra: %s %s (%s %s) at %g, %g of %s (#%s)", d.Type, d.Block, d.Status, d.Reason, d.At.X, d.At.Y, d.Drawing, d.Handle)
			if d.Status == Counted {
				s.extra++
			}
		}
	}
	return s
}

// TestTraps takes off every small drawing that a careless count gets wrong.
func TestTraps(t *testing.T) {
	files, err := filepath.Glob("../testdata/traps/*/truth.json")
	if err != nil || len(files) == 0 {
		t.Fatal("no traps", err)
	}
	var all score
	for _, file := range files {
		dir := filepath.Dir(file)
		name := filepath.Base(dir)
		t.Run(name, func(t *testing.T) {
			job := filepath.Join(dir, "job.yaml")
			if units := filepath.Join(dir, "job-units.yaml"); exists(units) {
				// The drawing's own units are missing or wrong: refused without the job's word.
				want := "units: " + readJob(t, units).Plans[0].Units
				if _, err := Take(readJob(t, job)); err == nil || !strings.Contains(err.Error(), want) {
					t.Errorf("without units: error %v, want one that proposes %s", err, want)
				}
				job = units
			}
			tr := readTruth(t, file)
			r, err := Take(readJob(t, job))
			if err != nil {
				t.Fatal(err)
			}
			s := compare(tr, r)
			for _, w := range s.wrong {
				t.Error(w)
			}
			want := map[Reason]int{}
			for _, d := range r.Devices {
				if d.Status == Excluded {
					want[d.Reason]++
				}
			}
			if fmt.Sprint(want) != fmt.Sprint(tr.Excluded) {
				t.Errorf("excluded %v, want %v", want, tr.Excluded)
			}
			all.add(s)
		})
	}
	t.Logf("%d devices right, %d missed, %d extra; room right for %d of %d (%.1f %%)", all.right, all.missed, all.extra,
		all.roomsRight, all.rooms, 100*float64(all.roomsRight)/float64(max(1, all.rooms)))
}

func exists(file string) bool {
	_, err := os.Stat(file)
	return err == nil
}

// TestDemo takes off the demo job.
func TestDemo(t *testing.T) {
	tr := readTruth(t, "../testdata/demo/truth.json")
	req := readJob(t, "../testdata/demo/job.yaml")
	r, err := Take(req)
	if err != nil {
		t.Fatal(err)
	}
	s := compare(tr, r)
	for _, w := range s.wrong {
		t.Error(w)
	}
	byName := func(a, b Count) int { return strings.Compare(a.Type+a.Level, b.Type+b.Level) }
	counts := Counts(r.Devices, req.Types, r.Levels)
	slices.SortFunc(counts, byName)
	slices.SortFunc(tr.Counts, byName)
	if !slices.Equal(counts, tr.Counts) {
		t.Errorf("counts %v\nwant %v", counts, tr.Counts)
	}
	t.Logf("room right for %d of %d", s.roomsRight, s.rooms)
}
