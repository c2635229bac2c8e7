package ledger

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"loopwright/takeoff"
	"loopwright/takeoff/measure"
)

// row28 is a building of 28 installed detectors, four rows of seven, with its ledger.
func row28() ([]takeoff.Device, Ledger) {
	var ds []takeoff.Device
	for i := range 28 {
		ds = append(ds, smoke(fmt.Sprintf("%X", 0x101+i), float64(4+i%7*5), float64(4+i/7*6)))
	}
	_, _, l := run(Ledger{}, read(ds))
	for i := range l.Rows {
		r := &l.Rows[i]
		r.State, r.Found, r.Serial = Installed, fmt.Sprint(r.Address), "S/N "+r.ID
	}
	return ds, l
}

func renumbered(ds []takeoff.Device) []takeoff.Device {
	for i := range ds {
		ds[i].Handle = fmt.Sprintf("%X", 0x101+i)
	}
	return ds
}

// What is installed keeps its address where it hangs, and what is drawn otherwise is told.
func TestInstalled(t *testing.T) {
	for _, tt := range []struct {
		name    string
		revise  func(ds []takeoff.Device) []takeoff.Device
		changed int    // installed addresses that are drawn on another place
		want    string // codes and severities of the findings
		says    string
	}{
		{"handles dealt anew, one gone early", func(ds []takeoff.Device) []takeoff.Device { return renumbered(slices.Delete(ds, 3, 4)) }, 0, "F511 warning",
			"L1-004 (C address 4), installed in Level 1 at 19.00, 4.00 m, is not drawn any more"},
		{"handles dealt anew, one gone late", func(ds []takeoff.Device) []takeoff.Device { return renumbered(slices.Delete(ds, 26, 27)) }, 0, "F511 warning", "L1-027"},
		{"handles dealt anew, one gone in the middle", func(ds []takeoff.Device) []takeoff.Device { return renumbered(slices.Delete(ds, 15, 16)) }, 0, "F511 warning", "L1-016"},
		{"two exchange handles", func(ds []takeoff.Device) []takeoff.Device {
			ds[5].Handle, ds[20].Handle = ds[20].Handle, ds[5].Handle
			return ds
		}, 0, "", ""},
		{"nudged", func(ds []takeoff.Device) []takeoff.Device { ds[9].Pos.X += .9; return ds }, 1, "", ""},
		{"moved", func(ds []takeoff.Device) []takeoff.Device { ds[9].Pos.X += 1.1; return ds }, 1, "F509 error",
			"L1-010 (C address 10), installed in Level 1 at 14.00, 10.00 m, is drawn 1.10 m away in Level 1 at 15.10, 10.00 m"},
		{"moved far, by its handle", func(ds []takeoff.Device) []takeoff.Device { ds[9].Pos.X += 40; return ds }, 1, "F509 error", "is drawn 40.00 m away"},
		{"moved far, its spot taken by one of its type", func(ds []takeoff.Device) []takeoff.Device {
			other := smoke("FFF", ds[9].Pos.X, ds[9].Pos.Y)
			ds[9].Pos.X += 40
			return append(ds, other)
		}, 0, "", ""},
		{"moved far, its spot taken by another type", func(ds []takeoff.Device) []takeoff.Device {
			other := smoke("FFF", ds[9].Pos.X, ds[9].Pos.Y)
			other.Type = "heat"
			ds[9].Pos.X += 40
			return append(ds, other)
		}, 0, "F510 error", "L1-010 (C address 10), installed in Level 1 at 14.00, 10.00 m as smoke, is drawn as heat in Level 1 at 14.00, 10.00 m"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			ds, l := row28()
			at := map[[2]float64]int{}
			for _, r := range l.Rows {
				at[[2]float64{r.X, r.Y}] = r.Address
			}
			ds = tt.revise(ds)
			rec, numbered, next := run(l, read(ds))
			changed := 0
			for _, n := range numbered {
				if a, known := at[[2]float64{n.Pos.X, n.Pos.Y}]; known && a != n.Address {
					changed++
				} else if !known && n.Address <= 28 {
					changed++
				}
			}
			if changed != tt.changed {
				t.Errorf("%d places have another address, want %d", changed, tt.changed)
			}
			var codes, said []string
			for _, f := range rec.Doubts("job.ledger.csv", measure.Metric, func(string) bool { return true }) {
				codes, said = append(codes, fmt.Sprint(f.Code, " ", f.Severity)), append(said, f.Message)
			}
			if got := strings.Join(codes, ", "); got != tt.want || !strings.Contains(strings.Join(said, "\n"), tt.says) {
				t.Errorf("%s: %s\nwant %s: %s", got, said, tt.want, tt.says)
			}
			// Until a person settles it, the next run says the same of what is drawn elsewhere.
			again, _, after := run(next, read(ds))
			if tt.want == "F509 error" && len(again.Doubts("l", measure.Metric, func(string) bool { return true })) != 1 {
				t.Error("the second run is silent")
			}
			if string(after.Bytes()) != string(next.Bytes()) {
				t.Errorf("the second run writes otherwise:\n%s\n%s", next.Bytes(), after.Bytes())
			}
		})
	}
}

// A device that is drawn as another type is to be exchanged: what was read off the
// old one is history, and the row says so until a person has done it.
func TestExchange(t *testing.T) {
	ds, l := row28()
	ds[2].Type = "heat"
	_, _, next := run(l, read(ds))
	if r := next.Rows[2]; r.State != Exchange || r.Serial != "" || r.Found != "" || r.Address != 3 || r.Remark != "was smoke; serial S/N L1-003; found 3" {
		t.Errorf("%+v", r)
	}
	rec, _, _ := run(next, read(ds))
	fs := rec.Doubts("job.ledger.csv", measure.Metric, func(string) bool { return true })
	if len(fs) != 1 || fs[0].Severity != takeoff.Warning || !strings.HasPrefix(fs[0].Message, "L1-003 is drawn as heat and another type is installed (was smoke; serial S/N L1-003; found 3): exchange it") {
		t.Errorf("%v", fs)
	}
}

// Rows that nothing answers to, and addresses found that are not the ledger's.
func TestRowsThatDoNotFit(t *testing.T) {
	ds, l := row28()
	l.Rows[4].Found = "50"
	rec, _, _ := run(l, read(ds))
	var got []string
	for _, f := range rec.Doubts("job.ledger.csv", measure.Metric, func(c string) bool { return c != "C" }) {
		got = append(got, f.Code+" "+f.Message)
	}
	want := "F512 L1-005 is installed, and address 50 was found on it where job.ledger.csv has 5: reset the device, or write 50 in the column address of job.ledger.csv\n" +
		"F513 job.ledger.csv has 28 rows on circuit C, first L1-001, and the job has no such circuit; if it was renamed, rename it in job.ledger.csv too"
	if s := strings.Join(got, "\n"); s != want {
		t.Errorf("%s\nwant\n%s", s, want)
	}
}
