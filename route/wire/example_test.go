package wire_test

import (
	"fmt"

	"loopwright/route/circuit"
	"loopwright/route/wire"
)

// A class B circuit of 400 m with an isolator of 0.2 ohm half way, held against 50 ohm.
func ExampleAgainst() {
	conductor, err := wire.ParseConductor("18 AWG solid")
	if err != nil {
		fmt.Println(err)
		return
	}
	rate, err := conductor.Rate(wire.DefaultTemperature)
	if err != nil {
		fmt.Println(err)
		return
	}
	c := wire.Circuit{Class: circuit.ClassB,
		Nodes: []wire.Node{{}, {Series: 0.2}, {}},
		Legs:  []wire.Leg{{Ends: circuit.Ends{From: 0, To: 1}, Length: 200}, {Ends: circuit.Ends{From: 1, To: 2}, Length: 200}},
	}
	check, err := wire.Against(c, rate, wire.Limits{Ohm: 50})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f ohm of 50, %.0f m left\n%s\n", check.Ohm, check.Bounds[check.Tight].Left, rate.Basis)
	// Output:
	// 20.59 ohm of 50, 577 m left
	// 18 AWG solid, uncoated copper, at 75 C, NEC Chapter 9 Table 8 (7.77 ohm/kft at 75 C)
}
