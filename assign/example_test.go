package assign_test

import (
	"fmt"

	"loopwright/assign"
	"loopwright/takeoff"
)

// Number a circuit in the order in which it is walked. The isolator takes no
// address, and the addresses that are set aside are skipped.
func ExampleNumber() {
	slc := []takeoff.CircuitKind{takeoff.SLC}
	types := []takeoff.DeviceType{
		{Type: "smoke", Addresses: 1, WiredTo: slc, Points: []takeoff.Point{{Function: "smoke", Event: "111"}}},
		{Type: "isolator", Isolates: true, WiredTo: slc},
	}
	var devices []takeoff.Device
	for i, typ := range []string{"smoke", "smoke", "isolator", "smoke"} {
		devices = append(devices, takeoff.Device{ID: fmt.Sprintf("L1-%03d", i+1), Type: typ, Level: "Level 1", Status: takeoff.Counted})
	}
	walk := assign.Walk{
		Circuit: "SLC-1", Kind: takeoff.SLC,
		Devices:    []string{"L1-004", "L1-003", "L1-001", "L1-002"}, // as laid, from the panel outward
		Addressing: assign.Addressing{Scheme: assign.Scheme{Name: "binary7"}, First: 89, Last: 127, Reserved: []int{91}},
	}

	numbered, findings := assign.Number(devices, types, []assign.Walk{walk})
	for _, d := range numbered {
		if d.Switches == nil {
			fmt.Println(d.ID, d.Type, "place", d.Order, "no address")
			continue
		}
		fmt.Println(d.ID, d.Type, "place", d.Order, "address", d.Address, "ON", d.Switches.On)
	}
	fmt.Println("findings", len(findings))
	// Output:
	// L1-001 smoke place 3 address 90 ON [2 8 16 64]
	// L1-002 smoke place 4 address 92 ON [4 8 16 64]
	// L1-003 isolator place 2 no address
	// L1-004 smoke place 1 address 89 ON [1 8 16 64]
	// findings 0
}

// The switches of address 90, and what a person reads back from a device.
func ExampleScheme() {
	s := assign.Scheme{Name: "binary7"}
	set, err := s.Encode(90)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("switches", s.Values())
	fmt.Println("row", set.Row, "ON", set.On)
	fmt.Println(s.Sum(90))

	address, err := s.DecodeOn([]int{64, 16, 8, 2})
	fmt.Println("read back", address, err)
	_, err = s.Encode(128)
	fmt.Println(err)
	// Output:
	// switches [1 2 4 8 16 32 64]
	// row 0101101 ON [2 8 16 64]
	// 2+8+16+64 = 90
	// read back 90 <nil>
	// address 128 cannot be set in scheme binary7: want 1 to 127
}

// The horn hangs on the appliance circuit; the detectors of both levels may
// share one signaling line circuit.
func ExampleDivide() {
	types := []takeoff.DeviceType{
		{Type: "smoke", Addresses: 1, WiredTo: []takeoff.CircuitKind{takeoff.SLC}},
		{Type: "horn", WiredTo: []takeoff.CircuitKind{takeoff.NAC}},
	}
	devices := []takeoff.Device{
		{ID: "L1-001", Type: "smoke", Level: "Level 1", Status: takeoff.Counted},
		{ID: "L1-002", Type: "horn", Level: "Level 1", Status: takeoff.Counted},
		{ID: "L2-001", Type: "smoke", Level: "Level 2", Status: takeoff.Counted},
		{ID: "L2-002", Type: "horn", Level: "Level 2", Status: takeoff.Counted},
	}
	groups, findings := assign.Divide(devices, types, []assign.Row{
		{Circuit: "SLC-1", Kind: takeoff.SLC, Panel: "FACP"},
		{Circuit: "NAC-1", Kind: takeoff.NAC, Panel: "FACP", Levels: []string{"Level 1"}},
	})
	for _, g := range groups {
		for _, d := range g.Devices {
			fmt.Println(g.Rows[0].Circuit, d.ID)
		}
	}
	for _, f := range findings {
		fmt.Println(f)
	}
	// Output:
	// SLC-1 L1-001
	// SLC-1 L2-001
	// NAC-1 L1-002
	// F501 error: Level 2: no circuit of kind nac for 1 device, first L2-002 (horn): add a circuit, or leave nac out of wired_to
}
