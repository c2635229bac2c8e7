package fault

import (
	"fmt"
	"slices"

	"loopwright/route/circuit"
)

// Limits bound what one fault may cost.
type Limits struct {
	MaxDevices int  // devices lost; zero sets no bound
	MaxZones   int  // zones of the devices lost; zero sets no bound (NFPA 72-2016 23.6.1 allows one, a floor being a zone)
	Opens      bool // hold opens against the limits as well as shorts
}

func (l Limits) check() error {
	if l.MaxDevices < 0 {
		return fmt.Errorf("limit of %d devices lost: give one above zero, or zero for none", l.MaxDevices)
	}
	if l.MaxZones < 0 {
		return fmt.Errorf("limit of %d zones lost: give one above zero, or zero for none", l.MaxZones)
	}
	return nil
}

// allow reports whether a loss is within the limits.
func (l Limits) allow(devices, zones int) bool {
	return (l.MaxDevices == 0 || devices <= l.MaxDevices) && (l.MaxZones == 0 || zones <= l.MaxZones)
}

// Loss is what one fault costs, in numbers.
type Loss struct {
	Fault       Fault
	Devices     int  // lost
	Zones       int  // of those devices
	OverLimit   bool // judged and more than the limits allow
	BreaksClass bool // judged and more than the pathway class promises
}

// Report is every single fault of a circuit, judged.
type Report struct {
	Losses      []Loss // legs first, then nodes; at each place the open first
	WorstOpen   int    // index into Losses of the open on a leg that loses most; -1 without legs
	WorstShort  int    // the same for shorts
	ByLoss      []int  // legs, the one whose short loses most first; equal ones by index
	OverLimit   []int  // indices into Losses
	BreaksClass []int  // indices into Losses
	Passes      bool   // nothing over the limits and the class keeps its promise
}

// Assess works out every single fault. What a class promises: A, no open on a leg
// loses a device; X, neither an open nor a short on a leg does; both, a fault
// inside a device loses no other device where the class survives that kind of
// fault. Class B promises nothing.
func Assess(c Circuit, lim Limits) (Report, error) {
	g, err := newGraph(c)
	if err != nil {
		return Report{}, err
	}
	if err := lim.check(); err != nil {
		return Report{}, err
	}
	return g.assess(lim), nil
}

func (g *graph) assess(lim Limits) Report {
	r := Report{WorstOpen: -1, WorstShort: -1}
	t := newTally(g)
	shorts := make([]int, len(g.c.Legs))
	for _, f := range g.faults() {
		x := g.partOf(f)
		l := Loss{Fault: f}
		l.Devices, l.Zones = t.lost(f.Kind, x)
		judged := g.judged(x)
		l.OverLimit = judged && (f.Kind == Short || lim.Opens) && !lim.allow(l.Devices, l.Zones)
		l.BreaksClass = judged && l.Devices > g.promised(f)
		i := len(r.Losses)
		r.Losses = append(r.Losses, l)
		if l.OverLimit {
			r.OverLimit = append(r.OverLimit, i)
		}
		if l.BreaksClass {
			r.BreaksClass = append(r.BreaksClass, i)
		}
		if f.Leg < 0 {
			continue
		}
		worst := &r.WorstOpen
		if f.Kind == Short {
			worst = &r.WorstShort
			shorts[f.Leg] = l.Devices
			r.ByLoss = append(r.ByLoss, f.Leg)
		}
		if *worst < 0 || l.Devices > r.Losses[*worst].Devices {
			*worst = i
		}
	}
	slices.SortStableFunc(r.ByLoss, func(a, b int) int { return shorts[b] - shorts[a] })
	r.Passes = len(r.OverLimit) == 0 && len(r.BreaksClass) == 0
	return r
}

// promised is the number of devices that the class allows the fault to lose.
func (g *graph) promised(f Fault) int {
	if g.c.Class == circuit.ClassX || g.c.Class == circuit.ClassA && f.Kind == Open {
		if f.Node > 0 && g.c.Nodes[f.Node].Device {
			return 1
		}
		return 0
	}
	return len(g.c.Nodes)
}

// tally counts devices and zones without naming them.
type tally struct {
	g            *graph
	segment, fed *flood
	zone         []int // of each node, by number; -1 where there is no device
	seen         []int // the last count in which each zone was met
	count        int
}

func newTally(g *graph) *tally {
	t := &tally{g: g, segment: newFlood(g), fed: newFlood(g)}
	number := map[string]int{}
	for _, n := range g.c.Nodes {
		z := -1
		if n.Device {
			var ok bool
			if z, ok = number[n.Zone]; !ok {
				z = len(number)
				number[n.Zone] = z
			}
		}
		t.zone = append(t.zone, z)
	}
	t.seen = make([]int, len(number))
	return t
}

// lost counts what a fault loses in all.
func (t *tally) lost(k Kind, x part) (devices, zones int) {
	t.g.trip(t.segment, t.fed, k, x)
	return t.over(func(v int) bool { return t.segment.seen[v] || !t.fed.seen[v] })
}

// inSegment counts what stands in the segment of a short.
func (t *tally) inSegment(x part) (devices, zones int) {
	t.segment.reset()
	t.segment.segment(x)
	return t.over(func(v int) bool { return t.segment.seen[v] })
}

func (t *tally) over(lost func(int) bool) (devices, zones int) {
	t.count++
	for v, z := range t.zone {
		if z < 0 || !lost(v) {
			continue
		}
		devices++
		if t.seen[z] != t.count {
			t.seen[z] = t.count
			zones++
		}
	}
	return devices, zones
}
