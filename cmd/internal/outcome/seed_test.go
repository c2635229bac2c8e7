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

func TestSeeds(t *testing.T) {
	device := func(id, addr string) takeoff.Device {
		return takeoff.Device{ID: id, Type: "smoke", Level: "L", Status: takeoff.Counted, Handle: id, Drawing: "a.dxf", Attribs: map[string]string{"Addr": addr}}
	}
	o := &Outcome{Job: &job.Job{
		Types:    []job.Type{{DeviceType: takeoff.DeviceType{Type: "smoke", Addresses: 1, WiredTo: []takeoff.CircuitKind{takeoff.SLC}}}},
		Circuits: []job.Circuit{{Circuit: "C", Kind: takeoff.SLC, Addresses: job.Addressing{Seed: "ADDR"}}},
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
	if len(fs) != 1 || fs[0].Code != assign.CodeHeldTwice {
		t.Errorf("%v", fs)
	}
	o.doubtSeeds()
	if len(o.Findings) != 1 || !strings.HasPrefix(o.Findings[0].Message, "D has address 9 on circuit C, and its attribute ADDR on the drawing says 7") {
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
