package assign

import (
	"fmt"
	"slices"

	"loopwright/takeoff"
)

// The codes of findings about addresses.
const (
	CodeNoCircuit    = "F501" // a device that no circuit takes
	CodeOverCapacity = "F502" // more addresses needed than the circuit has
	CodeNoSpare      = "F503" // less spare capacity than asked for
)

// Range is a run of addresses kept for some types. Without Types it takes any.
type Range struct {
	Types       []string
	First, Last int
}

// Addressing says which addresses a circuit has and how they are set.
type Addressing struct {
	Scheme   Scheme
	First    int
	Last     int
	Reserved []int
	Spare    float64 // share of the capacity to keep free, 0 to 1
	Ranges   []Range // ranges of their own for some types; empty for one range for all
}

// Capacity returns how many addresses may be used: those from first to last that are not reserved.
func (a Addressing) Capacity() int {
	n := a.Last - a.First + 1
	for i, r := range a.Reserved {
		if r >= a.First && r <= a.Last && !slices.Contains(a.Reserved[:i], r) {
			n--
		}
	}
	return max(0, n)
}

// Walk is a circuit as laid: its devices in walking order.
type Walk struct {
	Circuit    string
	Kind       takeoff.CircuitKind
	Devices    []string // ids
	Addressing Addressing
}

// NumberedPoint is one function under an address.
type NumberedPoint struct {
	Point    string `json:"point"` // address.sub, e.g. 12.1
	Function string `json:"function"`
	Event    string `json:"event"`
}

// OptionSetting is an extra switch on a device and whether it is on.
type OptionSetting struct {
	Switch string `json:"switch"`
	On     bool   `json:"on"`
}

// Numbered is a device on its circuit with its place in the walk and, if its
// type takes one, its address.
type Numbered struct {
	takeoff.Device
	Circuit  string // the first circuit that its type is wired to
	Also     []string
	Order    int // place in the walk along Circuit, from 1
	Address  int // first address; 0 for none
	Span     int // consecutive addresses taken; 0 for none
	Points   []NumberedPoint
	Switches *Setting // nil where nothing is set by hand
	Options  []OptionSetting
}

// Number gives the devices of each walk their addresses in walking order:
// reserved addresses are skipped, a device that takes several gets consecutive
// ones, and a device that takes none keeps only its place. Devices come back in
// the order given; those on no walk are returned without circuit. What does not
// fit is left without an address and reported with severity error.
func Number(devices []takeoff.Device, types []takeoff.DeviceType, walks []Walk) ([]Numbered, []takeoff.Finding) {
	byType := indexTypes(types)
	out := make([]Numbered, len(devices))
	at := make(map[string]int, len(devices))
	for i, d := range devices {
		out[i].Device = d
		at[d.ID] = i
	}
	var findings []takeoff.Finding
	for _, w := range walks {
		n := numberer{walk: w, next: map[int]int{}}
		for i, id := range w.Devices {
			k, ok := at[id]
			if !ok {
				continue
			}
			d := &out[k]
			if d.Circuit != "" {
				d.Also = append(d.Also, w.Circuit)
				continue
			}
			d.Circuit, d.Order = w.Circuit, i+1
			n.number(d, byType[d.Type])
		}
		findings = append(findings, n.findings()...)
	}
	return out, findings
}

// numberer hands out the addresses of one circuit.
type numberer struct {
	walk    Walk
	next    map[int]int // next address to try, by index of the range; -1 is the whole circuit
	used    int
	refused []takeoff.Device
	needed  int
}

func (n *numberer) number(d *Numbered, t takeoff.DeviceType) {
	if t.Addresses == 0 || n.walk.Kind != takeoff.SLC {
		return
	}
	n.needed += t.Addresses
	address, ok := n.take(t)
	if !ok {
		n.refused = append(n.refused, d.Device)
		return
	}
	n.used += t.Addresses
	d.Address, d.Span = address, t.Addresses
	d.Points = pointsAt(address, t)
	if set, err := n.walk.Addressing.Scheme.Encode(address); err == nil {
		d.Switches = &set
	}
}

// take finds the next run of free addresses for a type.
func (n *numberer) take(t takeoff.DeviceType) (int, bool) {
	r, key := n.rangeFor(t.Type)
	from, ok := n.next[key]
	if !ok {
		from = r.First
	}
	for a := from; a+t.Addresses-1 <= r.Last; a++ {
		if clash := n.lastReserved(a, t.Addresses); clash > 0 {
			a = clash
			continue
		}
		n.next[key] = a + t.Addresses
		return a, true
	}
	return 0, false
}

func (n *numberer) rangeFor(typ string) (Range, int) {
	for i, r := range n.walk.Addressing.Ranges {
		if len(r.Types) == 0 || slices.Contains(r.Types, typ) {
			return r, i
		}
	}
	return Range{First: n.walk.Addressing.First, Last: n.walk.Addressing.Last}, -1
}

// lastReserved returns the highest reserved address in a run, 0 for none.
func (n *numberer) lastReserved(first, span int) int {
	high := 0
	for _, r := range n.walk.Addressing.Reserved {
		if r >= first && r < first+span {
			high = max(high, r)
		}
	}
	return high
}

func (n *numberer) findings() []takeoff.Finding {
	capacity := n.walk.Addressing.Capacity()
	if len(n.refused) > 0 {
		d := n.refused[0]
		return []takeoff.Finding{{
			Code: CodeOverCapacity, Severity: takeoff.Error,
			Message: fmt.Sprintf("circuit %s needs %d addresses and has %d: %d device(s) have none, first %s; add a circuit, or write circuits: auto in its row to have it split",
				n.walk.Circuit, n.needed, capacity, len(n.refused), d.ID),
			Drawing: d.Drawing, Handle: d.Handle, At: d.At, Placed: d.Drawing != "",
		}}
	}
	keep := n.walk.Addressing.Spare * float64(capacity)
	if n.used > 0 && float64(capacity-n.used) < keep {
		return []takeoff.Finding{{
			Code: CodeNoSpare, Severity: takeoff.Warning,
			Message: fmt.Sprintf("circuit %s uses %d of %d addresses: %d are left, and the job asks for %.0f %% spare",
				n.walk.Circuit, n.used, capacity, capacity-n.used, n.walk.Addressing.Spare*100),
		}}
	}
	return nil
}

// pointsAt numbers a type's points: one under each address where there are as
// many, otherwise all under the first.
func pointsAt(address int, t takeoff.DeviceType) []NumberedPoint {
	var ps []NumberedPoint
	for i, p := range t.Points {
		number := fmt.Sprintf("%d.%d", address, i+1)
		if t.Addresses > 1 && t.Addresses == len(t.Points) {
			number = fmt.Sprintf("%d.1", address+i)
		}
		ps = append(ps, NumberedPoint{number, p.Function, p.Event})
	}
	return ps
}
