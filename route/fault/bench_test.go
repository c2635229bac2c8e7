package fault

import (
	"fmt"
	"math/rand/v2"
	"testing"
)

// big makes a circuit of n devices over ten zones, laid one zone after the other.
func big(class Class, n int) Circuit {
	c := Circuit{Class: class, Nodes: []Node{{Isolator: true}}}
	for v := 1; v <= n; v++ {
		c.Nodes = append(c.Nodes, Node{Device: true, Zone: string(rune('a' + 10*(v-1)/n))})
		c.Legs = append(c.Legs, Leg{From: v - 1, To: v})
	}
	if class.Looped() {
		c.Legs = append(c.Legs, Leg{From: n, To: 0})
	}
	return c
}

// bushy makes a class B tree of n nodes, every fifth a splice.
func bushy(n int) Circuit {
	rng := rand.New(rand.NewPCG(3, 3))
	c := big(ClassB, n)
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
			c := big(ClassA, n)
			for b.Loop() {
				if _, err := Assess(c, Limits{MaxDevices: 50, OneZone: true}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkPlace(b *testing.B) {
	for _, n := range []int{250, 1000} {
		for name, c := range map[string]Circuit{"loop": big(ClassA, n), "class X": big(ClassX, n), "chain": big(ClassB, n), "tree": bushy(n)} {
			for _, m := range []Method{OnLegs, InDevices} {
				b.Run(fmt.Sprintf("%s of %d %s", name, n, m), func(b *testing.B) {
					for b.Loop() {
						if _, err := Place(c, Limits{MaxDevices: 50, OneZone: true}, m); err != nil {
							b.Fatal(err)
						}
					}
				})
			}
		}
	}
}
