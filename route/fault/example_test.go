package fault_test

import (
	"fmt"

	"loopwright/route/circuit"
	"loopwright/route/fault"
)

// Six devices in two zones on a class A loop. One isolator at each end and one
// at the zones' border keep every short within one zone.
func ExamplePlace() {
	c := fault.Circuit{Class: circuit.ClassA, Nodes: []fault.Node{{}}}
	for i, zone := range []string{"Level 1", "Level 1", "Level 1", "Level 2", "Level 2", "Level 2"} {
		c.Nodes = append(c.Nodes, fault.Node{Device: true, Zone: zone})
		c.Legs = append(c.Legs, fault.Leg{Ends: circuit.Ends{From: i, To: i + 1}})
	}
	c.Legs = append(c.Legs, fault.Leg{Ends: circuit.Ends{From: 6, To: 0}})

	p, err := fault.Place(c, fault.Limits{MaxDevices: 50, MaxZones: 1}, fault.OnLegs)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range p.Sites {
		fmt.Printf("isolator on leg %d beside node %d\n", s.Leg, s.Node)
	}
	worst := p.Report.Losses[p.Report.WorstShort]
	fmt.Printf("worst: %s loses %d devices in %d zone\n", worst.Fault, worst.Devices, worst.Zones)
	// Output:
	// isolator on leg 0 beside node 0
	// isolator on leg 3 beside node 3
	// isolator on leg 6 beside node 0
	// worst: short on leg 0 loses 3 devices in 1 zone
}
