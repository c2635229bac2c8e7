package fault

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"loopwright/route/circuit"
)

// big makes a circuit of n devices over ten zones, laid one zone after the other.
func big(class circuit.Class, n int) Circuit {
	c := Circuit{Class: class, Nodes: []Node{{Isolator: true}}}
	for v := 1; v <= n; v++ {
		c.Nodes = append(c.Nodes, Node{Device: true, Zone: string(rune('a' + 10*(v-1)/n))})
		c.Legs = append(c.Legs, Leg{Ends: circuit.Ends{From: v - 1, To: v}})
	}
	if class.Looped() {
		c.Legs = append(c.Legs, Leg{Ends: circuit.Ends{From: n, To: 0}})
	}
	return c
}

// mixed gives the devices of a circuit zones by chance, the worst case for a limit on zones.
func mixed(c Circuit) Circuit {
	rng := rand.New(rand.NewPCG(4, 4))
	for v := range c.Nodes {
		if c.Nodes[v].Device {
			c.Nodes[v].Zone = string(rune('a' + rng.IntN(10)))
		}
	}
	return c
}

// bushy makes a class B tree of n nodes, every fifth a splice.
func bushy(n int) Circuit {
	rng := rand.New(rand.NewPCG(3, 3))
	c := big(circuit.ClassB, n)
	for i := range c.Legs {
		c.Legs[i].From = max(0, i-rng.IntN(12))
		if i%5 == 0 {
			c.Nodes[i+1] = Node{}
		}
	}
	return c
}

func BenchmarkAssess(b *testing.B) {
	for _, n := range []int{250, 1000} {
		b.Run(fmt.Sprintf("loop of %d", n), func(b *testing.B) {
			c := big(circuit.ClassA, n)
			for b.Loop() {
				if _, err := Assess(c, Limits{MaxDevices: 50, MaxZones: 1}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkPlace(b *testing.B) {
	for _, n := range []int{250, 1000} {
		for name, c := range map[string]Circuit{"loop": big(circuit.ClassA, n), "class X": big(circuit.ClassX, n), "chain": big(circuit.ClassB, n), "tree": bushy(n), "mixed tree": mixed(bushy(n))} {
			for _, m := range []Method{OnLegs, InDevices} {
				for _, zones := range []int{1, 3} {
					b.Run(fmt.Sprintf("%s of %d %s %d zones", name, n, m, zones), func(b *testing.B) {
						for b.Loop() {
							if _, err := Place(c, Limits{MaxDevices: 50, MaxZones: zones}, m); err != nil {
								b.Fatal(err)
							}
						}
					})
				}
			}
		}
	}
}
