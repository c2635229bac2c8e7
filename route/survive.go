package route

import (
	"fmt"
	"slices"

	"loopwright/route/circuit"
	"loopwright/route/fault"
	"loopwright/takeoff"
	"loopwright/takeoff/measure"
)

// The codes of findings about faults.
const (
	CodeFault     = "F406" // one fault loses more than the job allows
	CodeIsolators = "F407" // isolators to be added so that the limits hold
	CodeSegment   = "F418" // more devices between two isolators than the listing allows
	CodeBeside    = "F408" // outgoing and return run share a route
)

// FaultLimits bound what one wire-to-wire short may cost.
type FaultLimits struct {
	Devices int  // 0 for no bound
	Zones   int  // of the devices lost; 0 for no bound
	Panel   bool // the panel's circuit terminals isolate
	Segment int  // devices between two isolators; 0 for no bound
	Bases   bool // a class X circuit is brought within them by isolating bases: one for each device, not two modules
}

// LegLoss is what one open and one short on a leg lose.
type LegLoss struct {
	From, To    string
	Open, Short int // devices lost
	Zones       int // zones of the devices that the short loses
	Over        bool
}

// Isolator is one to be added: on a leg, beside the device or panel named.
type Isolator struct {
	Circuit  string
	Beside   string
	From, To string // the leg it stands on
	Level    string // of Beside, "" for a branch point
}

// Survival is what single faults cost a circuit as laid, and the isolators that
// bring it within its limits.
type Survival struct {
	OnPlan    int       // isolating devices that the plans show on it
	Legs      []LegLoss // with those
	WorstOpen LegLoss
	Worst     LegLoss    // by short
	Passes    bool       // with the isolators on the plans
	Added     []Isolator // the fewest that reach the limits
	With      LegLoss    // worst short with them
	PassesNow bool       // with them
	Stubborn  int        // shorts that no isolator brings within the limits

	Segment     int // devices between two isolators at most, as drawn
	SegmentWith int // with the isolators to add

	bases bool // those to add are bases
}

// Survive works out every single open and short of an SLC, with the isolators
// that the plans show and with the fewest that must be added. zoneOf names the
// zone of a device; a level is a zone unless the job divides it further.
func Survive(c Circuit, devices []takeoff.Device, types []takeoff.DeviceType, lim FaultLimits, zoneOf func(takeoff.Device) string) (Survival, error) {
	f, names, levels := c.faultCircuit(devices, types, zoneOf)
	var s Survival
	f.Nodes[0].Isolator = lim.Panel
	for _, n := range f.Nodes[1:] {
		if n.Isolator {
			s.OnPlan++
		}
	}
	limits := fault.Limits{MaxDevices: lim.Devices, MaxZones: lim.Zones}
	before, err := fault.Assess(f, limits)
	if err != nil {
		return s, fmt.Errorf("circuit %s: %w", c.Name, err)
	}
	s.Legs = lossesOf(before, f, names)
	s.WorstOpen, s.Worst, s.Passes = worst(before, f, names)
	placed, err := fault.Place(f, limits, fault.OnLegs)
	if err != nil {
		return s, fmt.Errorf("circuit %s: %w", c.Name, err)
	}
	for _, site := range placed.Sites {
		iso := Isolator{Circuit: c.Name, Beside: names[site.Node], Level: levels[site.Node]}
		if site.Leg >= 0 {
			iso.From, iso.To = names[f.Legs[site.Leg].From], names[f.Legs[site.Leg].To]
		}
		s.Added = append(s.Added, iso)
	}
	_, s.With, s.PassesNow = worst(placed.Report, f, names)
	s.PassesNow = s.PassesNow && placed.Met
	s.Stubborn = len(placed.Incurable)
	if s.bases = lim.Bases && c.Pathway == circuit.ClassX; s.bases {
		s.Added = onePerDevice(s.Added, c.Panel)
	}
	cut := map[int]bool{}
	for _, site := range placed.Sites {
		cut[site.Leg] = true
	}
	s.Segment, s.SegmentWith = segment(f, nil), segment(f, cut)
	return s, nil
}

// onePerDevice keeps one of the isolators beside each device: a base isolates both its sides.
func onePerDevice(added []Isolator, panel string) []Isolator {
	seen := map[string]bool{panel: false}
	return slices.DeleteFunc(slices.Clone(added), func(a Isolator) bool {
		again := seen[a.Beside]
		seen[a.Beside] = a.Beside != panel
		return again
	})
}

// beside are the devices that the isolators to add stand at, each once.
func (s Survival) beside(panel string) []string {
	var at []string
	for _, a := range onePerDevice(s.Added, panel) {
		if a.Beside != panel {
			at = append(at, a.Beside)
		}
	}
	return at
}

// segment is the most devices that stand between two isolators, with isolators on
// the legs that are cut. Devices that isolate stand at the ends of segments, in none.
func segment(f fault.Circuit, cut map[int]bool) int {
	of := make([]int, len(f.Nodes))
	for i := range of {
		of[i] = i
	}
	root := func(i int) int {
		for of[i] != i {
			i = of[i]
		}
		return i
	}
	for k, l := range f.Legs {
		if !cut[k] && !f.Nodes[l.From].Isolator && !f.Nodes[l.To].Isolator {
			of[root(l.From)] = root(l.To)
		}
	}
	n, most := map[int]int{}, 0
	for i, node := range f.Nodes {
		if node.Device && !node.Isolator {
			n[root(i)]++
			most = max(most, n[root(i)])
		}
	}
	return most
}

// SegmentFindings holds the devices between two isolators against the listing's limit.
func (s Survival) SegmentFindings(c Circuit, lim FaultLimits) []takeoff.Finding {
	if lim.Segment == 0 || s.Segment <= lim.Segment {
		return nil
	}
	f := takeoff.Finding{Code: CodeSegment, Severity: takeoff.Error,
		Message: fmt.Sprintf("circuit %s: %d devices stand between two isolators, and the listing allows %d: add isolators", c.Name, s.Segment, lim.Segment)}
	if len(s.Added) > 0 {
		f.Message += fmt.Sprintf("; with those to add there are %d", s.SegmentWith)
		if s.SegmentWith <= lim.Segment {
			f.Severity = takeoff.Warning
		}
	}
	return []takeoff.Finding{f}
}

// Findings says in words what a survival lacks: one finding with the isolators
// that it asks for, and one with what no isolator cures.
func (s Survival) Findings(c Circuit, devices []takeoff.Device, lim FaultLimits) []takeoff.Finding {
	if s.Passes {
		return nil
	}
	allowed := "the job allows " + lim.String()
	if c.Pathway == circuit.ClassX {
		allowed = "class X may lose none"
	}
	loss := fmt.Sprintf("circuit %s: a short between %s and %s loses %s in %s, and %s", c.Name, s.Worst.From, s.Worst.To, measure.Count(s.Worst.Short, "device"), measure.Count(s.Worst.Zones, "zone"), allowed)
	if s.PassesNow && len(s.Added) > 0 {
		a := s.Added[0]
		cure := s.cure()
		switch {
		case s.bases:
			at := s.beside(c.Panel)
			cure = fmt.Sprintf("with %s: %s", measure.Count(len(at), "isolating base"), listed(at, namedIsolators))
			if n := len(s.Added) - len(at); n > 0 {
				cure += fmt.Sprintf(", and %s at the panel", measure.Count(n, "isolator"))
			}
			cure += " it loses none"
		case c.Pathway == circuit.ClassX:
			cure += fmt.Sprintf("; or an isolating base for each of its %s instead: class_x: bases", measure.Count(len(s.beside(c.Panel)), "device"))
		}
		return []takeoff.Finding{atDevice(takeoff.Finding{Code: CodeIsolators, Severity: takeoff.Warning, Message: loss + "; " + cure}, devices, a.Beside, a.From, a.To)}
	}
	fs := []takeoff.Finding{atDevice(takeoff.Finding{Code: CodeFault, Severity: takeoff.Error,
		Message: fmt.Sprintf("%s; no isolator brings %s within the limit: split the circuit, or change its class", loss, measure.Count(s.Stubborn, "short"))}, devices, s.Worst.To, s.Worst.From)}
	if len(s.Added) > 0 {
		a := s.Added[0]
		fs = append(fs, atDevice(takeoff.Finding{Code: CodeIsolators, Severity: takeoff.Warning,
			Message: fmt.Sprintf("circuit %s: for all other shorts %s", c.Name, s.cure())}, devices, a.Beside, a.From, a.To))
	}
	return fs
}

// namedIsolators is how many isolators to add a finding names; the rest it counts.
const namedIsolators = 8

// cure says how many isolators are to be added, and where.
func (s Survival) cure() string {
	var places []string
	for _, a := range s.Added {
		to := a.To
		if to == a.Beside {
			to = a.From
		}
		places = append(places, fmt.Sprintf("%s towards %s", a.Beside, to))
	}
	text := "1 isolator is enough: beside "
	if n := len(places); n != 1 {
		text = fmt.Sprintf("%d isolators are enough: beside ", n)
	}
	if text += listed(places, namedIsolators); len(places) > namedIsolators {
		text += " in the circuit's list of isolators"
	}
	return text
}

// WithAdded is a circuit with isolators of a type standing on its legs, and these
// as devices: each beside the device or panel that it is named with.
func (c Circuit) WithAdded(added []Isolator, typ string) (Circuit, []takeoff.Device) {
	var isolators []takeoff.Device
	taken := make([]bool, len(added))
	legs := c.Legs
	c.Legs = nil
	for _, l := range legs {
		last := l
		for k, a := range added {
			if taken[k] || a.From != l.From || a.To != l.To {
				continue
			}
			taken[k] = true
			id := fmt.Sprintf("isolator to add %d", k+1)
			isolators = append(isolators, takeoff.Device{ID: id, Type: typ, Level: a.Level})
			near := last
			near.To, last.From = id, id
			if a.Beside == l.From { // all of the cable lies behind it
				near.Length, near.Slack = 0, 0
			} else {
				last.Length, last.Slack = 0, 0
			}
			c.Legs = append(c.Legs, near)
		}
		c.Legs = append(c.Legs, last)
	}
	return c, isolators
}

// IsolatorNote says once for a whole job what isolators to add stand for; ok is false where there are none.
//
// With proved their resistance is in the verdicts with isolators added.
func IsolatorNote(survivals []Survival, proved bool) (f takeoff.Finding, ok bool) {
	words := "their resistance and current are in no proof until they are drawn, as not just one type isolates and takes no address"
	if proved {
		words = "their resistance, and their current where it is limited, are in the verdicts with isolators added; the battery leaves them out until they are drawn"
	}
	n, circuits := 0, 0
	for _, s := range survivals {
		if n += len(s.Added); len(s.Added) > 0 {
			circuits++
		}
	}
	return takeoff.Finding{Code: CodeIsolators, Severity: takeoff.Note,
		Message: fmt.Sprintf("isolators to add: %d, on %s; they are counted for the order; %s", n, measure.Count(circuits, "circuit"), words)}, n > 0
}

// String writes the limits as a report shows them.
func (l FaultLimits) String() string {
	s := "any number of devices"
	if l.Devices > 0 {
		s = fmt.Sprintf("%d devices", l.Devices)
	}
	switch l.Zones {
	case 0:
		return s
	case 1:
		return s + " of one zone"
	}
	return s + fmt.Sprintf(" of at most %d zones", l.Zones)
}

// faultCircuit turns a laid circuit into the graph that faults are worked out on.
func (c Circuit) faultCircuit(devices []takeoff.Device, types []takeoff.DeviceType, zoneOf func(takeoff.Device) string) (f fault.Circuit, names, levels []string) {
	typeOf := map[string]takeoff.DeviceType{}
	for _, t := range types {
		typeOf[t.Type] = t
	}
	byID := make(map[string]takeoff.Device, len(devices))
	for _, d := range devices {
		byID[d.ID] = d
	}
	f.Class = c.Pathway
	at := map[string]int{}
	node := func(name string) int {
		if i, ok := at[name]; ok {
			return i
		}
		n := fault.Node{}
		d, ok := byID[name]
		if ok {
			t := typeOf[d.Type]
			// An isolator module that takes no address is no device to lose.
			n = fault.Node{Device: !t.Isolates || t.Addresses > 0, Zone: zoneOf(d), Isolator: t.Isolates}
		}
		at[name] = len(names)
		names, levels = append(names, name), append(levels, d.Level)
		f.Nodes = append(f.Nodes, n)
		return at[name]
	}
	node(c.Panel)
	for _, l := range c.Legs {
		f.Legs = append(f.Legs, fault.Leg{Ends: circuit.Ends{From: node(l.From), To: node(l.To)}})
	}
	return f, names, levels
}

// lossesOf pairs the open and the short of every leg.
func lossesOf(r fault.Report, f fault.Circuit, names []string) []LegLoss {
	out := make([]LegLoss, len(f.Legs))
	for i, l := range f.Legs {
		out[i].From, out[i].To = names[l.From], names[l.To]
	}
	for _, l := range r.Losses {
		if l.Fault.Leg < 0 {
			continue
		}
		row := &out[l.Fault.Leg]
		if l.Fault.Kind == fault.Open {
			row.Open = l.Devices
			continue
		}
		row.Short, row.Zones = l.Devices, l.Zones
		row.Over = l.OverLimit || l.BreaksClass
	}
	return out
}

func worst(r fault.Report, f fault.Circuit, names []string) (open, short LegLoss, passes bool) {
	legs := lossesOf(r, f, names)
	if r.WorstOpen >= 0 {
		open = legs[r.Losses[r.WorstOpen].Fault.Leg]
	}
	if r.WorstShort >= 0 {
		short = legs[r.Losses[r.WorstShort].Fault.Leg]
	}
	return open, short, r.Passes
}
