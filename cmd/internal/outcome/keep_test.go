package outcome

import (
	"testing"

	"loopwright/cmd/internal/job"
	"loopwright/route"
	"loopwright/takeoff"
)

// A new device stays off a circuit that it would overload in either state of the
// system: 0.8 A of 1 A may be drawn.
func TestKeepFits(t *testing.T) {
	typ := func(name string, standby, alarm float64) job.Type {
		return job.Type{DeviceType: takeoff.DeviceType{Type: name, Addresses: 1, Standby: takeoff.Amps{A: standby, Known: true}, Alarm: takeoff.Amps{A: alarm, Known: true}}}
	}
	k := keeper{o: &Outcome{Job: &job.Job{Types: []job.Type{typ("holder", .3, 0), typ("strobe", 0, .3)}, Circuits: []job.Circuit{{}}}}}
	on := func(types ...string) (ds []takeoff.Device) {
		for _, t := range types {
			ds = append(ds, takeoff.Device{Type: t})
		}
		return ds
	}
	for _, tt := range []struct {
		name string
		spec route.Spec
		has  []takeoff.Device
		add  string
		fits bool
	}{
		{"a third holder is too much in standby", route.Spec{Kind: takeoff.Power, MaxCurrent: 1, SpareShare: .2}, on("holder", "holder"), "holder", false},
		{"a strobe draws in the other state", route.Spec{Kind: takeoff.Power, MaxCurrent: 1, SpareShare: .2}, on("holder", "holder"), "strobe", true},
		{"a third strobe is too much in alarm", route.Spec{Kind: takeoff.Power, MaxCurrent: 1, SpareShare: .2}, on("holder", "strobe", "strobe"), "strobe", false},
		{"no current is given", route.Spec{Kind: takeoff.Power}, on("holder", "holder"), "holder", true},
		{"addresses are left", route.Spec{Kind: takeoff.SLC, Capacity: 3}, on("holder", "strobe"), "holder", true},
		{"no address is left", route.Spec{Kind: takeoff.SLC, Capacity: 2}, on("holder", "strobe"), "holder", false},
	} {
		if got := k.fits(route.Part{Spec: tt.spec, Devices: tt.has}, takeoff.Device{Type: tt.add}); got != tt.fits {
			t.Errorf("%s: fits %v", tt.name, got)
		}
	}
}
