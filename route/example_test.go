package route_test

import (
	"fmt"

	"loopwright/route"
	"loopwright/route/circuit"
	"loopwright/route/wire"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// Lay a class A loop of three ceiling detectors on the corners of a square of
// 10 m and prove its resistance. Cable runs 0.3 m above the ceiling, so a cable
// end at a detector costs 0.3 m; the panel's own height is not counted. So the
// loop has 4 x 10 + 6 x 0.3 = 41.8 m. By NEC Chapter 9 Table 8, 16 AWG solid has
// 4.89 ohm per 1,000 ft at 75 C: 2 x 41.8 m / 0.3048 x 0.00489 = 1.34 ohm.
func ExampleLay() {
	building := route.Building{
		Levels: []takeoff.Level{{Name: "Level 1", Ceiling: 3, CableHeight: 3.3}},
		Panels: []route.Panel{{Name: "FACP", Level: "Level 1"}},
		Types:  []takeoff.DeviceType{{Type: "smoke"}},
	}
	var devices []takeoff.Device
	for i, p := range []geom.Point{{X: 10, Y: 10}, {X: 10, Y: 0}, {X: 0, Y: 10}} {
		devices = append(devices, takeoff.Device{ID: fmt.Sprintf("L1-%03d", i+1), Type: "smoke", Level: "Level 1", Pos: p, Status: takeoff.Counted})
	}
	conductor, err := wire.ParseConductor("16 AWG solid")
	if err != nil {
		fmt.Println(err)
		return
	}
	spec := route.Spec{Name: "SLC-1", Kind: takeoff.SLC, Panel: "FACP", Pathway: circuit.ClassA, MaxResistance: 50,
		Cable: route.Cable{Name: "16/2", Conductor: conductor, Temperature: 75}}

	c, _, err := route.Lay(building, spec, devices, nil, route.Usual)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, l := range c.Legs {
		fmt.Printf("%s to %s: %.1f m, of which %.1f down\n", l.From, l.To, l.Length, l.Drop)
	}
	proof, _, err := route.Prove(building, c, devices)
	if err != nil {
		fmt.Println(err)
		return
	}
	b := proof.Loop.Bounds[proof.Loop.Tight]
	fmt.Printf("loop of %.1f m: %.2f of %.0f ohm, passes %v\n", c.Length, b.Value, b.Limit, proof.Passes())
	// Output:
	// FACP to L1-002: 10.3 m, of which 0.3 down
	// L1-002 to L1-001: 10.6 m, of which 0.6 down
	// L1-001 to L1-003: 10.6 m, of which 0.6 down
	// L1-003 to FACP: 10.3 m, of which 0.3 down
	// loop of 41.8 m: 1.49 of 50 ohm, passes true
}
