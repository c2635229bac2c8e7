package build

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/result"
)

const demoJob = "../../../testdata/demo/job.yaml"

// truth is what the script that drew the demo wrote down while it drew, with
// no part of this program involved.
type truth struct {
	Counts []struct {
		Type, Level string
		Count       int
	}
	Excluded map[string]int
	Devices  []struct {
		Type, Level, Room, Drawing, Handle, Status, Reason string
		X, Y                                               float64
	}
}

func readTruth(t *testing.T) truth {
	t.Helper()
	b, err := os.ReadFile("../../../testdata/demo/truth.json")
	if err != nil {
		t.Fatal(err)
	}
	var tr truth
	if err := json.Unmarshal(b, &tr); err != nil {
		t.Fatal(err)
	}
	return tr
}

func demoResult(t testing.TB) result.Result {
	t.Helper()
	j, err := job.Load(demoJob)
	if err != nil {
		t.Fatal(err)
	}
	o, err := outcome.Compute(j, nil)
	if err != nil {
		t.Fatal(err)
	}
	return result.Of(o, nil)
}

func TestDemoAgreesWithWhatWasDrawn(t *testing.T) {
	tr, r := readTruth(t), demoResult(t)
	got := map[[2]string]int{}
	for _, c := range r.Counts {
		got[[2]string{c.Type, c.Level}] = c.Count
	}
	for _, c := range tr.Counts {
		k := [2]string{c.Type, c.Level}
		if got[k] != c.Count {
			t.Errorf("%s on %s: %d counted, %d drawn", c.Type, c.Level, got[k], c.Count)
		}
		delete(got, k)
	}
	for k, n := range got {
		t.Errorf("%d %s on %s were counted and none was drawn", n, k[0], k[1])
	}
	excluded := map[string]int{}
	byHandle := map[[2]string]result.Device{}
	for _, d := range r.Devices {
		if d.Status == "excluded" {
			excluded[string(d.Reason)]++
		}
		byHandle[[2]string{d.Drawing, d.Handle}] = d
	}
	for reason, n := range tr.Excluded {
		if excluded[reason] != n {
			t.Errorf("%d left out as %s, %d drawn so", excluded[reason], reason, n)
		}
	}
	rooms, right := 0, 0
	for _, d := range tr.Devices {
		if d.Status != "counted" {
			continue
		}
		rooms++
		if byHandle[[2]string{d.Drawing, d.Handle}].Room == d.Room {
			right++
		}
	}
	if float64(right) < .98*float64(rooms) {
		t.Errorf("the room is right for %d of %d devices, want 98 %%", right, rooms)
	}
}

// Loop resistance by the plain formula of the handbook, written out here: 2 x
// length x ohm per kft (NEC Chapter 9 Table 8, 16 AWG solid uncoated at 75 C:
// 4.89) and 0.1 ohm for each isolator of the demo.
func TestDemoNumbersHangTogether(t *testing.T) {
	r := demoResult(t)
	isolators := map[string]int{}
	used := map[string]map[int]string{}
	for _, d := range r.Devices {
		if d.Type == "isolator" && d.Circuit != "" {
			isolators[d.Circuit]++
		}
		if d.Address == 0 {
			continue
		}
		if used[d.Circuit] == nil {
			used[d.Circuit] = map[int]string{}
		}
		if other, dup := used[d.Circuit][d.Address]; dup {
			t.Errorf("%s and %s both have address %d on %s", other, d.ID, d.Address, d.Circuit)
		}
		used[d.Circuit][d.Address] = d.ID
		sum := 0
		for _, v := range d.Switches.On {
			sum += v
		}
		if sum != d.Address {
			t.Errorf("%s: switches %v do not make %d", d.ID, d.Switches.On, d.Address)
		}
	}
	for _, c := range r.Circuits {
		legs := 0.0
		for _, l := range c.Legs {
			legs += l.Length
		}
		if math.Abs(legs-c.Length) > 1e-6 || math.Abs(c.Outgoing+c.Return-c.Length) > 1e-6 {
			t.Errorf("%s: legs %.6f, length %.6f, out %.6f and back %.6f", c.Circuit, legs, c.Length, c.Outgoing, c.Return)
		}
		if c.Kind != "slc" {
			continue
		}
		feet := (c.Length + c.Slack) / 0.3048
		want := 2*feet*4.89/1000 + 0.1*float64(isolators[c.Circuit])
		if math.Abs(c.LoopOhm-want) > 1e-6 {
			t.Errorf("%s: %.6f ohm, want %.6f", c.Circuit, c.LoopOhm, want)
		}
		if c.AddressesUsed != len(used[c.Circuit]) {
			t.Errorf("%s: %d addresses used, %d given", c.Circuit, c.AddressesUsed, len(used[c.Circuit]))
		}
	}
}
