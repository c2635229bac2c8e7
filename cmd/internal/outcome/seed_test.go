package outcome

import (
	"fmt"
	"strings"
	"testing"

	"loopwright/assign"
	"loopwright/assign/ledger"
	"loopwright/cmd/internal/job"
	"loopwright/route"
	"loopwright/takeoff"
)

func TestAddressesOnTheDrawing(t *testing.T) {
	device := func(id, addr string) takeoff.Device {
		return takeoff.Device{ID: id, Type: "smoke", Level: "L", Status: takeoff.Counted, Handle: id, Drawing: "a.dxf", Attribs: map[string]string{"Addr": addr}}
	}
	o := &Outcome{Job: &job.Job{
		Types:    []job.Type{{DeviceType: takeoff.DeviceType{Type: "smoke", Addresses: 1, WiredTo: []takeoff.CircuitKind{takeoff.SLC}}}},
		Circuits: []job.Circuit{{Circuit: "C", Kind: takeoff.SLC, Addresses: job.Addressing{Drawn: "ADDR"}}},
	}}
	o.Take.Devices = []takeoff.Device{device("A", "SLC-1-023"), device("B", "7"), device("C", "none"), device("D", "007"), device("E", "12A")}
	o.remember(ledger.Ledger{})
	var ids []string
	for _, d := range o.Take.Devices {
		ids = append(ids, d.ID)
	}
	o.Circuits = []Laid{{Circuit: route.Circuit{Spec: route.Spec{Name: "C", Kind: takeoff.SLC}, Devices: ids},
		Addressing: assign.Addressing{Scheme: assign.Scheme{Name: "binary7"}, First: 1, Last: 127}}}
	devices, fs := assign.Number(o.Take.Devices, o.Job.DeviceTypes(), o.walks())
	o.Devices = devices
	var got []string
	for _, d := range devices {
		got = append(got, fmt.Sprint(d.ID, "=", d.Address))
	}
	if s := strings.Join(got, " "); s != "A=23 B=7 C=8 D=9 E=10" {
		t.Error(s)
	}
	if len(fs) != 0 {
		t.Errorf("%v", fs)
	}
	o.doubtDrawn()
	if len(o.Findings) != 2 || !strings.HasPrefix(o.Findings[0].Message, "B and D both have address 7 of circuit C in attribute ADDR on the drawing: L at 0.0, 0.0 ft and L at 0.0, 0.0 ft") ||
		!strings.HasPrefix(o.Findings[1].Message, "D has address 9 on circuit C, and its attribute ADDR on the drawing says 7") {
		t.Errorf("%v", o.Findings)
	}
	// On the next run the ledger speaks, and the finding is the same.
	l := o.Ledger()
	o.remember(l)
	again, _ := assign.Number(o.Take.Devices, o.Job.DeviceTypes(), o.walks())
	for i := range again {
		if again[i].Address != devices[i].Address {
			t.Errorf("%s has %d and then %d", devices[i].ID, devices[i].Address, again[i].Address)
		}
	}
}

// A tag names its circuit by the whole name or by its number.
func TestTags(t *testing.T) {
	for _, tt := range []struct {
		value, circuit string
		names          bool
		address        int
	}{
		{"2-004", "SLC-2", true, 4}, {"2-004", "SLC-1", false, 4}, {"02.17", "SLC-2", true, 17}, {"SLC-1-023", "SLC-1", true, 23},
		{"slc1:7", "SLC-1", true, 7}, {"SLC-1-023", "SLC-11", false, 23}, {"12", "SLC-1", false, 12}, {"L2 101", "L2", true, 101},
		{"M", "SLC-1", false, 0}, {"4A", "SLC-4", false, 0},
	} {
		got, ok := drawnAddress(takeoff.Device{Attribs: map[string]string{"ADDR": tt.value}}, "ADDR")
		if ok != (tt.address > 0) || got.address != tt.address || ok && got.names(tt.circuit) != tt.names {
			t.Errorf("%s: %+v %v, on %s: %v", tt.value, got, ok, tt.circuit, got.names(tt.circuit))
		}
	}
}

// What hangs on a circuit already, or is another contractor's, keeps its address from
// new devices, on the circuit that its tag names.
func TestAddressesOfOthersAreReserved(t *testing.T) {
	device := func(id, addr string, reason takeoff.Reason) takeoff.Device {
		d := takeoff.Device{ID: id, Type: "smoke", Level: "L", Status: takeoff.Counted, Handle: id, Drawing: "a.dxf", Attribs: map[string]string{"ADDR": addr}, Reason: reason}
		if reason != "" {
			d.Status = takeoff.Excluded
		}
		return d
	}
	o := &Outcome{Job: &job.Job{
		Types: []job.Type{{DeviceType: takeoff.DeviceType{Type: "smoke", Addresses: 1, WiredTo: []takeoff.CircuitKind{takeoff.SLC}}}},
		Circuits: []job.Circuit{{Circuit: "SLC-1", Kind: takeoff.SLC, Addresses: job.Addressing{Drawn: "ADDR"}},
			{Circuit: "SLC-2", Kind: takeoff.SLC, Addresses: job.Addressing{Drawn: "ADDR"}}},
	}}
	o.Take.Devices = []takeoff.Device{device("A", "", ""), device("B", "", ""), device("C", "2-002", takeoff.Existing), device("D", "1", takeoff.ByOthers),
		device("E", "2-003", takeoff.InLegend), device("F", "", ""), device("G", "2-3", ""), device("H", "2-003", takeoff.Existing)}
	o.remember(ledger.Ledger{})
	lay := func(name string, row int, ids ...string) Laid {
		return Laid{Circuit: route.Circuit{Spec: route.Spec{Name: name, Row: row, Kind: takeoff.SLC}, Devices: ids},
			Addressing: assign.Addressing{Scheme: assign.Scheme{Name: "binary7"}, First: 1, Last: 127}}
	}
	o.Circuits = []Laid{lay("SLC-1", 0, "A"), lay("SLC-2", 1, "B", "F", "G")}
	devices, _ := assign.Number(o.Take.Devices, o.Job.DeviceTypes(), o.walks())
	o.Devices = devices
	var got []string
	for _, d := range devices {
		if d.Address > 0 {
			got = append(got, fmt.Sprint(d.ID, "=", d.Circuit, " ", d.Address))
		}
	}
	// 1 is another's on either circuit, as its tag names none; 2 of SLC-2 exists, and so does 3, which G bears too.
	if s := strings.Join(got, ", "); s != "A=SLC-1 2, B=SLC-2 4, F=SLC-2 5, G=SLC-2 3" {
		t.Error(s)
	}
	o.doubtDrawn()
	if len(o.Findings) == 0 || o.Findings[0].Code != assign.CodeDrawnTwice || !strings.HasPrefix(o.Findings[0].Message, "G and H both have address 3 of circuit SLC-2") {
		t.Errorf("%v", o.Findings)
	}
}
