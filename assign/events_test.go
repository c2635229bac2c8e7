package assign

import (
	"encoding/csv"
	"os"
	"testing"

	"loopwright/takeoff"
)

// TestEventsAreThePublicOnes holds the table against the reference file, which
// names the source of every row.
func TestEventsAreThePublicOnes(t *testing.T) {
	f, err := os.Open("../testdata/reference/event_codes.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	rows = rows[1:]
	if len(rows) != len(eventTable) || len(eventByCode) != len(eventTable) {
		t.Errorf("%d codes in the reference, %d in the table, %d of them different", len(rows), len(eventTable), len(eventByCode))
	}
	for _, r := range rows {
		e, ok := EventOf(r[0])
		if !ok || e.Meaning != r[1] || string(e.Class) != r[2] {
			t.Errorf("%v: the table has %v", r, e)
		}
		if r[3] == "" || r[4] == "" {
			t.Errorf("%v has no source", r)
		}
	}
}

func TestCheckEvents(t *testing.T) {
	types := []takeoff.DeviceType{
		{Type: "smoke", Points: []takeoff.Point{{Function: "smoke", Event: "111"}, {Function: "fan", Event: "999"}}},
		{Type: "heat", Points: []takeoff.Point{{Function: "heat", Event: "fa"}, {Function: "x", Event: "999"}, {Function: "none"}}},
	}
	fs := CheckEvents(types)
	if len(fs) != 1 || fs[0].Severity != takeoff.Warning || fs[0].Message != `event code "999" of smoke (fan), heat (x) is not in the program's list of public codes (three digits, or two letters): check it with the monitoring station` {
		t.Errorf("%v", fs)
	}
}
