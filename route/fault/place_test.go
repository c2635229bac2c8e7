package fault

import (
	"testing"

	"loopwright/route/circuit"
)

func TestPlace(t *testing.T) {
	zone := Limits{MaxZones: 1}
	for _, tt := range []struct {
		name      string
		class     circuit.Class
		text      string
		lim       Limits
		method    Method
		want      string
		incurable int
	}{
		{"nothing to do", circuit.ClassA, "P - a - a - P", Limits{MaxDevices: 2, MaxZones: 1}, OnLegs, "", 0},
		{"loop, one zone each half", circuit.ClassA, "P - a - a - b - b - P", zone, OnLegs, "leg 0 at 0, leg 2 at 2, leg 4 at 0", 0},
		{"loop, ports of the panel isolate", circuit.ClassA, "[P] - a - a - b - b - P", zone, OnLegs, "leg 2 at 2", 0},
		{"loop, even split", circuit.ClassA, "[P] - a - a - a - a - a - a - P", Limits{MaxDevices: 4}, OnLegs, "leg 3 at 3", 0},
		{"loop, isolator already there", circuit.ClassA, "[P] - a - a |- b - b - P", zone, OnLegs, "", 0},
		{"loop, in devices: the leg to the panel stays open to it", circuit.ClassA, "P - a - a - b - b - P", zone, InDevices, "in 1, in 2, in 4", 2},
		{"loop, in devices, panel isolates: the border device", circuit.ClassA, "[P] - a - a - b - b - P", zone, InDevices, "in 2", 0},
		{"loop, in devices, even split", circuit.ClassA, "[P] - a - a - a - a - a - P", Limits{MaxDevices: 2}, InDevices, "in 3", 0},
		{"chain within limits", circuit.ClassB, "P - a - a", Limits{MaxDevices: 2, MaxZones: 1}, OnLegs, "", 0},
		// Shorts in the first zone lose the second too, as opens do; the second is kept apart.
		{"chain over two zones", circuit.ClassB, "P - a - a - b - b", zone, OnLegs, "leg 2 at 2", 4},
		// Each zone's entry, although only the last zone can be kept whole against what lies above it.
		{"chain over three zones", circuit.ClassB, "P - a - a - b - b - c - c", zone, OnLegs, "leg 2 at 2, leg 4 at 4", 8},
		{"chain of seven, two at a time", circuit.ClassB, "P - a - a - a - a - a - a - a", Limits{MaxDevices: 2}, OnLegs, "leg 1 at 1, leg 3 at 3, leg 5 at 5", 10},
		{"branches at the panel", circuit.ClassB, "P ( - a - a ) ( - b ) - c", zone, OnLegs, "leg 0 at 0, leg 2 at 0, leg 3 at 0", 0},
		{"riser in protected legs", circuit.ClassB, "P = +* ( - a - a ) = +* - b", zone, OnLegs, "leg 1 at 1, leg 4 at 4", 0},
		{"loop of four zones, two may go together", circuit.ClassA, "P - a - b - c - d - P", Limits{MaxZones: 2}, OnLegs, "leg 0 at 0, leg 2 at 2, leg 4 at 0", 0},
		// Four changes of zone, but two zones only: nothing to add.
		{"loop that comes back to a zone", circuit.ClassA, "P - a - b - a - b - a - P", Limits{MaxZones: 2}, OnLegs, "", 0},
		{"loop of six, two zones and three devices", circuit.ClassA, "[P] - a - a - b - b - c - c - P", Limits{MaxDevices: 3, MaxZones: 2}, OnLegs, "leg 3 at 3", 0},
		{"chain over four zones, two may go together", circuit.ClassB, "P - a - b - c - d", Limits{MaxZones: 2}, OnLegs, "leg 2 at 2", 4},
		{"branches at the panel, two zones each", circuit.ClassB, "P ( - a - b ) ( - c - d ) - a", Limits{MaxZones: 2}, OnLegs, "leg 0 at 0, leg 2 at 0, leg 4 at 0", 0},
		{"branches at the panel, three zones in all", circuit.ClassB, "P ( - a - b ) ( - b ) - c", Limits{MaxZones: 3}, OnLegs, "", 0},
		{"class X on legs", circuit.ClassX, "P - a - b - P", Limits{}, OnLegs, "leg 0 at 0, leg 0 at 1, leg 1 at 1, leg 1 at 2, leg 2 at 0, leg 2 at 2", 0},
		{"class X in devices", circuit.ClassX, "[P] - a - b - P", Limits{}, InDevices, "in 1, in 2", 0},
		{"class X in devices, panel does not isolate", circuit.ClassX, "P - a - b - P", Limits{}, InDevices, "in 1, in 2", 2},
	} {
		p := mustPlace(t, sketch(t, tt.class, tt.text), tt.lim, tt.method)
		if got := sitesText(p.Sites); got != tt.want || len(p.Incurable) != tt.incurable || p.Met != (tt.incurable == 0) {
			t.Errorf("%s: %q %s: got %q, want %q; incurable %v, met %v", tt.name, tt.text, tt.method, got, tt.want, p.Incurable, p.Met)
		}
	}
}

// Splices cannot isolate, so a branch may have to be bought smaller at a higher
// price: four chains of five devices under two splices, three devices a segment.
func TestPlaceTradesIsolatorsForDevices(t *testing.T) {
	five := "( - a - a - a - a - a ) "
	c := sketch(t, circuit.ClassB, "P - + ( - + "+five+five+") ( - + "+five+five+")")
	p := mustPlace(t, c, Limits{MaxDevices: 3}, InDevices)
	if len(p.Sites) != 5 {
		t.Errorf("%d isolators: %s", len(p.Sites), sitesText(p.Sites))
	}
	fewest(t, c, Limits{MaxDevices: 3}, InDevices, p)
}

// failer is what the checks need of a test, plain or drawn.
type failer interface {
	Helper()
	Fatal(args ...any)
	Fatalf(format string, args ...any)
}

// fewest tries every set of sites with fewer isolators than the placement. It
// judges by simulation only.
func fewest(t failer, c Circuit, lim Limits, m Method, p Placement) {
	t.Helper()
	g, err := newGraph(c)
	if err != nil {
		t.Fatal(err)
	}
	o, err := newGoal(g, lim, m)
	if err != nil {
		t.Fatal(err)
	}
	placed, err := newGraph(p.Circuit)
	if err != nil {
		t.Fatal(err)
	}
	if !o.met(placed) {
		t.Fatalf("%+v: the placement does not hold: %s", c, sitesText(p.Sites))
	}
	sites := allSites(g, m)
	var try func(from, left int) bool
	var chosen []Site
	try = func(from, left int) bool {
		if left == 0 {
			h, err := newGraph(with(c, chosen))
			if err != nil {
				t.Fatal(err)
			}
			return o.met(h)
		}
		for i := from; i+left <= len(sites); i++ {
			chosen = append(chosen, sites[i])
			if try(i+1, left-1) {
				return true
			}
			chosen = chosen[:len(chosen)-1]
		}
		return false
	}
	// More isolators never lose more, so one size below the placement is enough.
	if n := len(p.Sites); n > 0 && try(0, n-1) {
		t.Fatalf("%+v %+v %s: %d isolators at %s, but %d do: %s", c, lim, m, n, sitesText(p.Sites), len(chosen), sitesText(chosen))
	}
}

// TestPlaceIsFewestOnAllSmallCircuits runs through every chain, loop and tree of
// up to four devices, every way to spread them over zones, and every limit.
func TestPlaceIsFewestOnAllSmallCircuits(t *testing.T) {
	const most = 4
	count := 0
	for n := 1; n <= most; n++ {
		for _, shape := range shapes(n) {
			for _, zones := range partitions(n) {
				c := shape
				c.Nodes = make([]Node, n+1)
				for v := 1; v <= n; v++ {
					c.Nodes[v] = Node{Device: true, Zone: string(rune('a' + zones[v-1]))}
				}
				for _, isolates := range []bool{false, true} {
					c.Nodes[0].Isolator = isolates
					for max := 0; max < n; max++ {
						for _, m := range []Method{OnLegs, InDevices} {
							for most := 0; most < n; most++ {
								lim := Limits{MaxDevices: max, MaxZones: most}
								p, err := Place(c, lim, m)
								if err != nil {
									t.Fatalf("%+v %+v %s: %v", c, lim, m, err)
								}
								fewest(t, c, lim, m, p)
								count++
							}
						}
					}
				}
			}
		}
	}
	t.Logf("%d circuits with limits, each against every smaller placement", count)
}

// shapes lists every tree of n devices by parents (chains among them), and the loops.
func shapes(n int) []Circuit {
	var out []Circuit
	var grow func(legs []Leg, v int)
	grow = func(legs []Leg, v int) {
		if v > n {
			out = append(out, Circuit{Class: circuit.ClassB, Legs: append([]Leg(nil), legs...)})
			return
		}
		for p := range v {
			grow(append(legs, Leg{Ends: circuit.Ends{From: p, To: v}}), v+1)
		}
	}
	grow(nil, 1)
	var loop []Leg
	for v := 1; v <= n; v++ {
		loop = append(loop, Leg{Ends: circuit.Ends{From: v - 1, To: v}})
	}
	loop = append(loop, Leg{Ends: circuit.Ends{From: n, To: 0}})
	return append(out, Circuit{Class: circuit.ClassA, Legs: loop}, Circuit{Class: circuit.ClassX, Legs: loop})
}

// partitions lists every way to put n devices into zones, as restricted growth strings.
func partitions(n int) [][]int {
	out := [][]int{{}}
	for range n {
		var next [][]int
		for _, p := range out {
			top := 0
			for _, z := range p {
				top = max(top, z+1)
			}
			for z := 0; z <= top; z++ {
				next = append(next, append(append([]int(nil), p...), z))
			}
		}
		out = next
	}
	return out
}
