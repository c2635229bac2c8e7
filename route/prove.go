package route

import (
	"fmt"
	"math"

	"loopwright/route/circuit"
	"loopwright/route/wire"
	"loopwright/takeoff"
	"loopwright/takeoff/measure"
)

// The codes of findings about what the wire does.
const (
	CodeResistance = "F401" // loop resistance over the limit
	CodeCurrent    = "F402" // more current than the circuit may carry
	CodeVoltage    = "F403" // a device with too little voltage
	CodeBlank      = "F404" // a current that the job does not give
	CodeNoLimit    = "F405" // listing data that the job does not give: what it limits is not judged
	CodeCapacity   = "F411" // capacitance of the cable over the limit
)

// Proof is what the wire of a circuit does, held against the job's limits.
type Proof struct {
	Nodes  []string // names by wire node: the panel, devices, branch points
	Loop   wire.Check
	States []State // of the system; none for an SLC without a limit of current or voltage
	Power  *State  // that of them which asks most of the circuit; nil where there are none

	Smallest    wire.Conductor // thinnest conductor of the same family that passes; none where Judged is false
	HasSmallest bool

	Judged bool // by loop resistance, or by current and voltage: what these need was given
	Fails  bool // a limit that was given is broken, be the rest judged or not
}

// State is what an appliance or power circuit carries in one state of the system.
type State struct {
	Name string // standby or alarm
	wire.Power
}

// The states of the system in which loads differ: a door holder draws its current
// in standby and releases in alarm.
const (
	Standby = "standby"
	Alarm   = "alarm"
)

// load is what a device draws from a circuit of a kind in a state of the system.
// On an appliance circuit a standby current that is not given is none: supervision
// runs with reversed polarity, against which appliances block (common practice, no source).
func load(kind takeoff.CircuitKind, t takeoff.DeviceType, state string) takeoff.Amps {
	switch {
	case state == Alarm:
		return t.Alarm
	case kind == takeoff.NAC && !t.Standby.Known:
		return takeoff.Amps{Known: true}
	}
	return t.Standby
}

// Passes reports that the circuit was judged and no limit that was given is broken.
func (p Proof) Passes() bool { return p.Judged && !p.Fails }

// WorstEnd names the far end of the branch with the highest resistance.
func (p Proof) WorstEnd() string {
	if p.Loop.Worst < 0 {
		return ""
	}
	return p.Nodes[p.Loop.Branches[p.Loop.Worst].End]
}

// Prove computes the loop resistance of a circuit, and for appliance and power
// circuits current and voltage, and compares them with the limits of its Spec.
func Prove(b Building, c Circuit, devices []takeoff.Device) (Proof, []takeoff.Finding, error) {
	w, names := c.wired(devices, b.Types, Alarm)
	p := Proof{Nodes: names}
	rate, err := c.Cable.Conductor.Rate(c.Cable.Temperature)
	if err != nil {
		return p, nil, fmt.Errorf("circuit %s: cable %s: %w", c.Name, c.Cable.Name, err)
	}
	lim, fs := c.limits()
	if p.Loop, err = wire.Against(w, rate, lim); err != nil {
		return p, nil, fmt.Errorf("circuit %s: %w", c.Name, err)
	}
	p.Judged = lim.Ohm > 0
	if c.Kind != takeoff.SLC || c.MaxCurrent > 0 || c.StartVolts > 0 {
		more, err := p.power(c, rate, devices, b.Types)
		if err != nil {
			return p, nil, fmt.Errorf("circuit %s: %w", c.Name, err)
		}
		fs = append(fs, more...)
	}
	p.Judged = p.Judged && (c.MaxCapacitance == 0 || c.Cable.Capacitance > 0)
	p.Fails = p.Fails || p.Loop.Judged && !p.Loop.Passes
	for _, bound := range p.Loop.Bounds {
		switch {
		case bound.Passes:
		case bound.Name == capacitance:
			fs = append(fs, c.tooMuchCapacitance(bound, b.Units))
		default:
			fs = append(fs, atDevice(c.tooMuchOhm(p, w, lim), devices, p.WorstEnd()))
		}
	}
	return p, fs, p.smallest(c, devices, b.Types, lim)
}

// capacitance is what the package wire calls the bound on it.
const capacitance = "capacitance"

// limits are those of the circuit's listing. A capacitance limit cannot be judged
// without the cable's own capacitance: it is reported.
func (c Circuit) limits() (wire.Limits, []takeoff.Finding) {
	lim := wire.Limits{Ohm: c.MaxResistance}
	if c.MaxCapacitance == 0 {
		return lim, nil
	}
	if c.Cable.Capacitance == 0 {
		return lim, []takeoff.Finding{{Code: CodeNoLimit, Severity: takeoff.Warning,
			Message: fmt.Sprintf("circuit %s: capacitance not proved: cable %s gives none; take it from the data sheet", c.Name, c.Cable.Name)}}
	}
	lim.Microfarad, lim.PicofaradPerMetre = c.MaxCapacitance*1e6, c.Cable.Capacitance*1e12
	return lim, nil
}

// smallest looks for the thinnest conductor with which the circuit passes.
func (p *Proof) smallest(c Circuit, devices []takeoff.Device, types []takeoff.DeviceType, lim wire.Limits) error {
	if !p.Judged {
		return nil
	}
	ws := []wire.Circuit{}
	for _, s := range []string{Standby, Alarm} {
		w, _ := c.wired(devices, types, s)
		ws = append(ws, w)
	}
	for _, k := range wire.Family(c.Cable.Conductor) {
		ok, err := passesWith(c, ws, lim, k)
		if err != nil {
			return err
		}
		if ok {
			p.Smallest, p.HasSmallest = k, true
			return nil
		}
	}
	return nil
}

// passesWith tries a conductor against all that the circuit is judged by, in
// every state of the system.
func passesWith(c Circuit, states []wire.Circuit, lim wire.Limits, k wire.Conductor) (bool, error) {
	try := []wire.Conductor{k}
	if lim != (wire.Limits{}) {
		if _, ok, err := wire.SmallestConductor(states[0], try, c.Cable.Temperature, lim); err != nil || !ok {
			return false, err
		}
	}
	if c.Kind == takeoff.SLC && c.MaxCurrent == 0 && c.StartVolts == 0 {
		return true, nil
	}
	for _, w := range states {
		if _, ok, err := wire.SmallestForPower(w, try, c.Cable.Temperature, c.supply()); err != nil || !ok {
			return false, err
		}
	}
	return true, nil
}

func (c Circuit) tooMuchCapacitance(b wire.Bound, units measure.System) takeoff.Finding {
	return takeoff.Finding{Code: CodeCapacity, Severity: takeoff.Error,
		Message: fmt.Sprintf("circuit %s: cable capacitance of %.3f uF is over the limit of %.3f uF, by %s of cable: shorten it, split it, or use a cable with less", c.Name, b.Value, b.Limit, units.Length(-b.Left, 1))}
}

func (c Circuit) tooMuchOhm(p Proof, w wire.Circuit, lim wire.Limits) takeoff.Finding {
	advice := "split it, or shorten it"
	ohm := wire.Limits{Ohm: lim.Ohm}
	if tried, ok, err := wire.SmallestConductor(w, wire.Family(c.Cable.Conductor), c.Cable.Temperature, ohm); err == nil && ok {
		advice = fmt.Sprintf("%s would pass; or split it", tried[len(tried)-1].Conductor)
	}
	return takeoff.Finding{Code: CodeResistance, Severity: takeoff.Error,
		Message: fmt.Sprintf("circuit %s measures %.1f ohm to %s, over its limit of %.1f ohm (%s): %s",
			c.Name, p.Loop.Ohm, p.WorstEnd(), c.MaxResistance, p.Loop.Rate.Basis, advice)}
}

func (c Circuit) supply() wire.Supply {
	return wire.Supply{Start: c.StartVolts, Minimum: c.EndVolts, Capacity: c.MaxCurrent, Spare: c.CurrentSpare(), LoadFactor: c.LoadFactor}
}

// CurrentSpare is the share of the current to keep free; the spare of an SLC is of its addresses.
func (s Spec) CurrentSpare() float64 {
	if s.Kind == takeoff.SLC {
		return 0
	}
	return s.SpareShare
}

// power judges current and voltage of an appliance or power circuit, in standby
// and in alarm, or of an SLC, in alarm with every device in alarm. An appliance
// circuit that draws nothing in standby is judged in alarm alone. A loop is fed
// from either end alone, as after a cut at the other: no cut between is worse.
func (p *Proof) power(c Circuit, rate wire.Rate, devices []takeoff.Device, types []takeoff.DeviceType) ([]takeoff.Finding, error) {
	if c.Kind != takeoff.SLC { // whose resistance is judged, and this besides if it is given
		p.Judged = c.MaxCurrent > 0 && c.StartVolts > 0 && c.EndVolts > 0
	}
	for _, state := range []string{Standby, Alarm} {
		w, _ := c.wired(devices, types, state)
		res, err := wire.Drop(w, rate, c.supply())
		if err != nil {
			return nil, err
		}
		if c.Kind == takeoff.NAC && state == Standby && res.Current == 0 {
			continue
		}
		p.States = append(p.States, State{state, res})
		p.Judged = p.Judged && len(res.Blank) == 0
		p.Fails = p.Fails || p.States[len(p.States)-1].fails()
	}
	var fs []takeoff.Finding
	for i := range p.States {
		s := &p.States[i]
		fs = append(fs, c.powerFindings(p.Nodes, s, devices)...)
		if p.Power == nil || s.asksMore(p.Power) {
			p.Power = s
		}
	}
	return fs, nil
}

// fails reports that a limit that was given is broken in the state.
func (s State) fails() bool { return !s.CurrentOK || len(s.Feeds) > 0 && !s.VoltageOK }

// asksMore reports whether a state is harder on its circuit than another: it fails
// and the other does not, it cannot be proved, it leaves less voltage, or it draws more.
func (s State) asksMore(than *State) bool {
	switch {
	case s.fails() != than.fails():
		return s.fails()
	case (len(s.Blank) > 0) != (len(than.Blank) > 0):
		return len(s.Blank) > 0
	case s.WorstFeed >= 0 && than.WorstFeed >= 0 && s.WorstVolts != than.WorstVolts:
		return s.WorstVolts < than.WorstVolts
	}
	return s.Current >= than.Current
}

func (c Circuit) powerFindings(nodes []string, s *State, devices []takeoff.Device) []takeoff.Finding {
	var fs []takeoff.Finding
	if n := len(s.Blank); n > 0 {
		fs = append(fs, atDevice(takeoff.Finding{Code: CodeBlank, Severity: takeoff.Error,
			Message: fmt.Sprintf("circuit %s: no %s current for %s, first %s: nothing is proved until their types give it", c.Name, s.Name, measure.Count(n, "device"), nodes[s.Blank[0]])}, devices, nodes[s.Blank[0]]))
	}
	if !s.CurrentOK {
		fs = append(fs, takeoff.Finding{Code: CodeCurrent, Severity: takeoff.Error,
			Message: fmt.Sprintf("circuit %s draws %.3f A in %s, over the %.3f A allowed (%.3f A less %.0f %% spare): move devices to another circuit",
				c.Name, s.Current, s.Name, s.Allowed, c.MaxCurrent, c.CurrentSpare()*100)})
	}
	if len(s.Feeds) > 0 && !s.VoltageOK {
		f := s.Feeds[s.WorstFeed]
		first := f.FirstBelow
		if first < 0 {
			first = f.Lowest
		}
		fs = append(fs, atDevice(takeoff.Finding{Code: CodeVoltage, Severity: takeoff.Error,
			Message: fmt.Sprintf("circuit %s: in %s %s gets %.2f V and needs %.2f V, the first to fail; the lowest is %.2f V at %s: use a thicker conductor, or split the circuit",
				c.Name, s.Name, nodes[first], f.Volts[first], c.EndVolts, f.Volts[f.Lowest], nodes[f.Lowest])}, devices, nodes[first]))
	}
	return fs
}

// wired turns a laid circuit into nodes and legs of copper: every leg with its
// slack, every device with what it puts in series and what it draws in a state.
func (c Circuit) wired(devices []takeoff.Device, types []takeoff.DeviceType, state string) (wire.Circuit, []string) {
	w := wire.Circuit{Class: c.Pathway}
	at := map[string]int{}
	var names []string
	typeOf := map[string]takeoff.DeviceType{}
	for _, t := range types {
		typeOf[t.Type] = t
	}
	typeAt := make(map[string]takeoff.DeviceType, len(devices))
	for _, d := range devices {
		typeAt[d.ID] = typeOf[d.Type]
	}
	node := func(name string) int {
		if i, ok := at[name]; ok {
			return i
		}
		n := wire.Node{}
		if t, ok := typeAt[name]; ok {
			n.Series, n.Load = t.Resistance, math.NaN()
			if a := load(c.Kind, t, state); a.Known {
				n.Load = a.A
			}
		}
		at[name] = len(names)
		names = append(names, name)
		w.Nodes = append(w.Nodes, n)
		return at[name]
	}
	node(c.Panel)
	for _, l := range c.Legs {
		from, to := node(l.From), node(l.To)
		w.Legs = append(w.Legs, wire.Leg{Ends: circuit.Ends{From: from, To: to}, Length: l.Length + l.Slack})
	}
	return w, names
}
