package ledger_test

import (
	"fmt"

	"loopwright/assign"
	"loopwright/assign/ledger"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
)

var types = []takeoff.DeviceType{{Type: "smoke", Addresses: 1, WiredTo: []takeoff.CircuitKind{takeoff.SLC}}}

func detector(id, handle string, x float64) takeoff.Device {
	return takeoff.Device{ID: id, Type: "smoke", Level: "Level 1", Drawing: "level-1.dxf", Handle: handle,
		Pos: geom.Pt(x, 0), Status: takeoff.Counted}
}

// run is one run of the program: devices find their rows again, are numbered
// with what they hold, and give the next ledger.
func run(before ledger.Ledger, devices ...takeoff.Device) (ledger.Ledger, ledger.Changes) {
	rec := before.Recall(devices)
	walk := assign.Walk{Circuit: "SLC-1", Kind: takeoff.SLC,
		Addressing: assign.Addressing{Scheme: assign.Scheme{Name: "binary7"}, First: 1, Last: 127},
		Retired:    rec.Retired("SLC-1")} // those that are gone since, too
	for _, d := range rec.Devices {
		walk.Devices = append(walk.Devices, d.ID)
	}
	walk.Held = rec.Held("SLC-1", walk.Devices, func(circuit string) bool { return circuit == "SLC-1" })
	numbered, _ := assign.Number(rec.Devices, types, []assign.Walk{walk})
	return rec.Next(numbered, []assign.Walk{walk}), rec.Changes
}

// Three detectors are numbered. In the revised plan the second is gone and two
// new ones stand before it in the walk: what is in the ceiling keeps its number,
// and the number of the one that is gone is not given out again.
func ExampleLedger_Recall() {
	first, _ := run(ledger.Ledger{}, detector("L1-001", "2A", 0), detector("L1-002", "2B", 10), detector("L1-003", "2C", 20))

	kept, err := ledger.Parse("job.ledger.csv", first.Bytes()) // as the next run reads it
	if err != nil {
		fmt.Println(err)
		return
	}
	revised, changes := run(kept, detector("L1-001", "2A", 0), detector("L1-002", "3A", 4), detector("L1-003", "3B", 6), detector("L1-004", "2C", 20))

	for _, r := range revised.Rows {
		fmt.Println("address", r.Address, r.ID, "handle", r.Handle, r.State)
	}
	for _, line := range changes.Lines(measure.Metric) {
		fmt.Println(line)
	}
	// Output:
	// address 1 L1-001 handle 2A planned
	// address 2 L1-002 handle 2B retired
	// address 3 L1-003 handle 2C planned
	// address 4 L1-004 handle 3A planned
	// address 5 L1-005 handle 3B planned
	// 2 new: L1-004, L1-005
	// 1 gone, their addresses are not reused: L1-002
}

// A ledger that cannot be read for certain is refused with the line.
func ExampleParse() {
	_, err := ledger.Parse("job.ledger.csv", []byte("id,circuit,order,address,span,type,level,drawing,handle,x_m,y_m,state\n"+
		"L1-001,SLC-1,1,7,1,smoke,Level 1,level-1.dxf,2A,0,0,installed\n"+
		"L1-002,SLC-1,2,7,1,smoke,Level 1,level-1.dxf,2B,9,0,installed\n"))
	fmt.Println(err)
	// Output:
	// job.ledger.csv:3: address 7 of circuit SLC-1 is held by L1-001 in line 2 and by L1-002 in line 3; correct the line, or restore the file from version control (nothing was written)
}
