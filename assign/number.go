package assign

import (
	"fmt"

	"loopwright/takeoff"
)

// The codes of findings about addresses.
const (
	CodeNoCircuit      = "F501" // a device that no circuit takes
	CodeOverCapacity   = "F502" // more addresses needed than the circuit has
	CodeNoSpare        = "F503" // less spare capacity than asked for
	CodeEvent          = "F504" // an event code that is not in the public list
	CodeHeldOutside    = "F505" // an address held that the circuit does not have
	CodeHeldTwice      = "F506" // an address that two devices hold
	CodeSeed           = "F507" // an address on the drawing that is not the one held
	CodeRetired        = "F508" // addresses kept for devices that are gone
	CodeInstalledMoved = "F509" // an installed device that is drawn elsewhere
	CodeExchange       = "F510" // an installed device that is drawn as another type
	CodeInstalledGone  = "F511" // an installed device that is not drawn any more
	CodeFoundOther     = "F512" // an address found that is not the ledger's
	CodeStranger       = "F513" // rows of the ledger on a circuit that the job does not have
	CodeTurned         = "F514" // a plan that may have been turned another way
	CodeDrawnTwice     = "F515" // an address that two devices on the drawing bear
	CodeTypeRenamed    = "F516" // a type of the ledger that the job calls otherwise
	CodeMatrixDraft    = "F520" // the matrix is a draft of the program's
	CodeIdleInput      = "F521" // an input that activates nothing
	CodeIdleOutput     = "F522" // an output that nothing works
	CodeIdleRule       = "F523" // a rule of the matrix that fits nothing
)

// Walk is a circuit as laid: its devices in walking order.
type Walk struct {
	Circuit    string
	Kind       takeoff.CircuitKind
	Devices    []string // ids
	Addressing Addressing
	Held       map[string]Held // addresses held from an earlier run, by device
	Retired    []Held          // addresses of devices that are gone: not given out
	Levels     []string        // names of levels from the lowest up, for OrderLevel and OrderRoom
}

// Held is an address and how many it spans.
type Held struct{ Address, Span int }

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

// Number gives the devices of each walk their addresses: what is held stays,
// and the others get free addresses in the order that the circuit asks for,
// between those of their neighbours where there is room. Reserved addresses are
// skipped, a device that takes several gets consecutive ones, and a device that
// takes none keeps only its place. Devices come back in the order given; those
// on no walk are returned without circuit. What does not fit is left without an
// address and reported with severity error.
func Number(devices []takeoff.Device, types []takeoff.DeviceType, walks []Walk) ([]Numbered, []takeoff.Finding) {
	out := make([]Numbered, len(devices))
	at := make(map[string]int, len(devices))
	for i, d := range devices {
		out[i].Device = d
		at[d.ID] = i
	}
	byType := indexTypes(types)
	var findings []takeoff.Finding
	for _, w := range walks {
		n := newNumberer(w, byType)
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
			n.walked = append(n.walked, d)
		}
		n.run()
		findings = append(findings, n.findings()...)
	}
	return out, findings
}

// numberer hands out the addresses of one circuit.
type numberer struct {
	walk    Walk
	types   map[string]takeoff.DeviceType
	walked  []*Numbered    // in walking order
	taken   map[int]string // address -> device that has it; "" for reserved and retired ones
	windows []window
	refused []*Numbered
	outside []*Numbered // hold an address that the circuit does not have
	twice   [][2]string // device refused its held address, device that has it
}

func newNumberer(w Walk, types map[string]takeoff.DeviceType) *numberer {
	n := &numberer{walk: w, types: types, taken: map[int]string{}, windows: w.Addressing.windows()}
	for _, r := range w.Addressing.Reserved {
		n.taken[r] = ""
	}
	for _, r := range w.Retired {
		for a := r.Address; a < r.Address+r.Span; a++ {
			n.taken[a] = ""
		}
	}
	return n
}

// span is how many addresses a device takes on this circuit.
func (n *numberer) span(d *Numbered) int {
	if n.walk.Kind != takeoff.SLC {
		return 0
	}
	return n.types[d.Type].Addresses
}

// run keeps what is held and then numbers the others.
func (n *numberer) run() {
	for _, d := range n.walked {
		if n.span(d) <= n.walk.Held[d.ID].Span {
			n.keep(d)
		}
	}
	for _, d := range n.walked { // those that grew come second: none may push another off its address
		if n.span(d) > n.walk.Held[d.ID].Span {
			n.keep(d)
		}
	}
	seq := n.walk.Addressing.sequence(n.walked, n.walk.Levels)
	behind := n.behind(seq)
	before := map[window]int{}
	for i, d := range seq {
		w := n.window(d)
		if span := n.span(d); span > 0 && d.Address == 0 {
			n.give(d, w, max(before[w]+1, w.first), behind[i]-1)
		}
		if d.Address > 0 && w.holds(d.Address) {
			before[w] = d.Address + d.Span - 1
		}
	}
}

// behind returns for each device the next address that is held further on in
// its window; one beyond the window where none is.
func (n *numberer) behind(seq []*Numbered) []int {
	out := make([]int, len(seq))
	next := map[window]int{}
	for i := len(seq) - 1; i >= 0; i-- {
		d := seq[i]
		w := n.window(d)
		out[i] = w.last + 1
		if a, ok := next[w]; ok {
			out[i] = a
		}
		if d.Address > 0 && w.holds(d.Address) {
			next[w] = d.Address
		}
	}
	return out
}

// keep gives a device the address that it holds, if its span allows it. A
// reserved address stays with the device that holds it: that one is set already.
func (n *numberer) keep(d *Numbered) {
	h, ok := n.walk.Held[d.ID]
	span := n.span(d)
	if !ok || span == 0 || h.Address == 0 {
		return
	}
	for a := h.Address; a < h.Address+span; a++ {
		if a >= h.Address+h.Span && !n.has(a) {
			return // the type now takes more addresses than are free behind the first
		}
		if who := n.taken[a]; who != "" {
			n.twice = append(n.twice, [2]string{d.ID, who})
			return
		}
	}
	if !n.has(h.Address) {
		n.outside = append(n.outside, d)
	}
	n.set(d, h.Address, span)
}

// has reports whether an address is the circuit's and free to give.
func (n *numberer) has(a int) bool {
	_, used := n.taken[a]
	return !used && a >= n.walk.Addressing.First && a <= n.walk.Addressing.Last
}

// give finds an address for a device: between those of its neighbours, from
// above to below, else the next free one behind its forerunner, else the lowest.
func (n *numberer) give(d *Numbered, w window, above, below int) {
	span := n.span(d)
	for _, room := range [][2]int{{above, below}, {above, w.last}, {w.first, w.last}} {
		if a, ok := n.free(room[0], room[1], span, d.Type); ok {
			n.set(d, a, span)
			return
		}
	}
	n.refused = append(n.refused, d)
}

// free returns the lowest run of span free addresses within first to last.
func (n *numberer) free(first, last, span int, typ string) (int, bool) {
	run := 0
	for a := first; a <= last; a++ {
		if _, used := n.taken[a]; used || n.walk.Addressing.keptFrom(typ, a) {
			run = 0
			continue
		}
		if run++; run == span {
			return a - span + 1, true
		}
	}
	return 0, false
}

func (n *numberer) set(d *Numbered, address, span int) {
	for a := address; a < address+span; a++ {
		n.taken[a] = d.ID
	}
	d.Address, d.Span = address, span
	d.Points = pointsAt(address, n.types[d.Type])
	if set, err := n.walk.Addressing.Scheme.Encode(address); err == nil {
		d.Switches = &set
	}
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

// OptionSettings sets the extra switches of a type whose own input circuits are
// of the given pathway class.
func OptionSettings(t takeoff.DeviceType, inputs string) []OptionSetting {
	var out []OptionSetting
	for _, o := range t.Options {
		out = append(out, OptionSetting{Switch: o.Switch, On: o.OnWhen == inputs})
	}
	return out
}

// Codes lists the findings about addresses and the matrix.
func Codes() []takeoff.Code {
	return []takeoff.Code{
		{Code: CodeNoCircuit, Meaning: "devices are on no circuit", Remedy: "add a circuit of their kind that serves their level, or correct wired_to"},
		{Code: CodeOverCapacity, Meaning: "a circuit needs more addresses than it has", Remedy: "add a circuit, or write circuits: auto in its row"},
		{Code: CodeNoSpare, Meaning: "a circuit has less spare capacity than asked for", Remedy: "add a circuit, or ask for less spare"},
		{Code: CodeEvent, Meaning: "an event code is not in the public list", Remedy: "check the code, or keep it if the receiver takes it"},
		{Code: CodeHeldOutside, Meaning: "an installed device holds an address that its circuit does not have", Remedy: "widen addresses, or give the device another address in the ledger"},
		{Code: CodeHeldTwice, Meaning: "two installed devices hold one address", Remedy: "find out on site which one has it, and correct the ledger"},
		{Code: CodeSeed, Meaning: "an address on the drawing is not the one that the ledger holds", Remedy: "find out which one is set on site, and correct the other"},
		{Code: CodeRetired, Meaning: "addresses are kept for devices that are gone", Remedy: "write released as their state in the ledger to use them again"},
		{Code: CodeInstalledMoved, Meaning: "an installed device is drawn more than 1 m from where it hangs", Remedy: "put the symbol back, or write planned as its state in the ledger"},
		{Code: CodeExchange, Meaning: "an installed device is drawn as another type", Remedy: "exchange it and write installed as its state in the ledger, or correct the drawing"},
		{Code: CodeInstalledGone, Meaning: "an installed device is not drawn any more", Remedy: "draw it again, or write released as its state in the ledger once it is taken down"},
		{Code: CodeFoundOther, Meaning: "the address found on an installed device is not the one in the ledger", Remedy: "reset the device, or write the address found into the ledger"},
		{Code: CodeStranger, Meaning: "the ledger has addresses on a circuit that the job does not have", Remedy: "rename the circuit in the ledger, or add it to the job"},
		{Code: CodeTurned, Meaning: "a plan was turned, and its devices fit more than one turn", Remedy: "check two addresses that stand apart; write turned under the plan if they are wrong"},
		{Code: CodeDrawnTwice, Meaning: "two devices bear one address on the drawing", Remedy: "find out on site which one has it, and correct the other"},
		{Code: CodeTypeRenamed, Meaning: "a type of the ledger is not in the job, and another is new", Remedy: "nothing if the type was renamed; list both types if devices are to be exchanged"},
		{Code: CodeMatrixDraft, Meaning: "the matrix of inputs and outputs is a draft of the program's", Remedy: "write the rules of the sequence of operation under matrix"},
		{Code: CodeIdleInput, Meaning: "an input activates nothing", Remedy: "add a rule under matrix, or leave it if that is meant"},
		{Code: CodeIdleOutput, Meaning: "an output is activated by nothing", Remedy: "add a rule under matrix, or leave it if that is meant"},
		{Code: CodeIdleRule, Meaning: "a rule of the matrix fits nothing", Remedy: "correct the rule, or delete it"},
	}
}
