package matrix_test

import (
	"fmt"

	"loopwright/assign"
	"loopwright/assign/matrix"
	"loopwright/takeoff"
)

// Smoke detectors work the horns of their own level. No rule says what carbon
// monoxide works, which is a finding: that is the designer's to decide.
func ExampleMake() {
	slc, nac := []takeoff.CircuitKind{takeoff.SLC}, []takeoff.CircuitKind{takeoff.NAC}
	types := []takeoff.DeviceType{
		{Type: "smoke", Addresses: 1, WiredTo: slc, Points: []takeoff.Point{{Function: "smoke", Event: "111"}}},
		{Type: "co", Addresses: 1, WiredTo: slc, Points: []takeoff.Point{{Function: "carbon monoxide", Event: "162"}}},
		{Type: "horn", WiredTo: nac},
	}
	var devices []assign.Numbered
	for i, s := range [][2]string{{"smoke", "Level 1"}, {"smoke", "Level 2"}, {"co", "Level 1"}, {"horn", "Level 1"}, {"horn", "Level 2"}} {
		d := assign.Numbered{Device: takeoff.Device{ID: fmt.Sprintf("D%d", i+1), Type: s[0], Level: s[1], Status: takeoff.Counted}, Address: i + 1, Circuit: "SLC-1"}
		for _, t := range types[:2] {
			if t.Type == d.Type {
				d.Points = []assign.NumberedPoint{{Point: fmt.Sprintf("%d.1", d.Address), Function: t.Points[0].Function, Event: t.Points[0].Event}}
			}
		}
		devices = append(devices, d)
	}

	m := matrix.Make(devices, types, []matrix.Rule{{
		Inputs:  matrix.Select{Functions: []string{"smoke"}},
		Outputs: matrix.Select{Types: []string{"horn"}},
		Scope:   matrix.Level,
	}}, func(d takeoff.Device) string { return d.Level })
	for i, in := range m.Inputs {
		fmt.Print(in.Device.ID, " ", in.Function, ":")
		for _, o := range m.Works[i] {
			fmt.Print(" ", m.Outputs[o].Device.ID)
		}
		fmt.Println()
	}
	for _, f := range m.Findings() {
		fmt.Println(f.Code, f.Message)
	}
	// Output:
	// D1 smoke: D4
	// D2 smoke: D5
	// D3 carbon monoxide:
	// F521 nothing in the matrix is activated by 1 input, co carbon monoxide: D3
}
