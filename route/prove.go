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
	Nodes []string // names by wire node: the panel, devices, branch points
	Loop  wire.Check
	Power *wire.Power // nil for an SLC

	Smallest    wire.Conductor // thinnest conductor of the same family that passes; none where Judged is false
	HasSmallest bool

	Judged bool // by loop resistance, or by current and voltage: what these need was given
	Fails  bool // a limit that was given is broken, be the rest judged or not
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
	w, names := c.wired(devices, b.Types)
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
	if c.Kind != takeoff.SLC {
		more, err := p.power(c, w, rate, devices)
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
	return p, fs, p.smallest(c, w, lim)
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
func (p *Proof) smallest(c Circuit, w wire.Circuit, lim wire.Limits) error {
	if !p.Judged {
		return nil
	}
	for _, k := range wire.Family(c.Cable.Conductor) {
		ok, err := passesWith(c, w, lim, k)
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

// passesWith tries a conductor against all that the circuit is judged by.
func passesWith(c Circuit, w wire.Circuit, lim wire.Limits, k wire.Conductor) (bool, error) {
	try := []wire.Conductor{k}
	if lim != (wire.Limits{}) {
		if _, ok, err := wire.SmallestConductor(w, try, c.Cable.Temperature, lim); err != nil || !ok {
			return false, err
		}
	}
	if c.Kind == takeoff.SLC {
		return true, nil
	}
	_, ok, err := wire.SmallestForPower(w, try, c.Cable.Temperature, c.supply())
	return ok, err
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
	return wire.Supply{Start: c.StartVolts, Minimum: c.EndVolts, Capacity: c.MaxCurrent, Spare: c.SpareShare, LoadFactor: c.LoadFactor}
}

// power judges current and voltage of an appliance or power circuit.
func (p *Proof) power(c Circuit, w wire.Circuit, rate wire.Rate, devices []takeoff.Device) ([]takeoff.Finding, error) {
	res, err := wire.Drop(w, rate, c.supply())
	if err != nil {
		return nil, err
	}
	p.Power = &res
	p.Judged = c.MaxCurrent > 0 && c.StartVolts > 0 && c.EndVolts > 0 && len(res.Blank) == 0
	p.Fails = !res.CurrentOK || len(res.Feeds) > 0 && !res.VoltageOK
	return c.powerFindings(p, devices), nil
}

func (c Circuit) powerFindings(p *Proof, devices []takeoff.Device) []takeoff.Finding {
	var fs []takeoff.Finding
	r := p.Power
	if n := len(r.Blank); n > 0 {
		fs = append(fs, atDevice(takeoff.Finding{Code: CodeBlank, Severity: takeoff.Error,
			Message: fmt.Sprintf("circuit %s: no alarm current for %s, first %s: nothing is proved until their types give it", c.Name, measure.Count(n, "device"), p.Nodes[r.Blank[0]])}, devices, p.Nodes[r.Blank[0]]))
	}
	if !r.CurrentOK {
		fs = append(fs, takeoff.Finding{Code: CodeCurrent, Severity: takeoff.Error,
			Message: fmt.Sprintf("circuit %s draws %.3f A, over the %.3f A allowed (%.3f A less %.0f %% spare): move devices to another circuit",
				c.Name, r.Current, r.Allowed, c.MaxCurrent, c.SpareShare*100)})
	}
	if len(r.Feeds) > 0 && !r.VoltageOK {
		f := r.Feeds[r.WorstFeed]
		first := f.FirstBelow
		if first < 0 {
			first = f.Lowest
		}
		fs = append(fs, atDevice(takeoff.Finding{Code: CodeVoltage, Severity: takeoff.Error,
			Message: fmt.Sprintf("circuit %s: %s gets %.2f V and needs %.2f V, the first to fail; the lowest is %.2f V at %s: use a thicker conductor, or split the circuit",
				c.Name, p.Nodes[first], f.Volts[first], c.EndVolts, f.Volts[f.Lowest], p.Nodes[f.Lowest])}, devices, p.Nodes[first]))
	}
	return fs
}

// wired turns a laid circuit into nodes and legs of copper: every leg with its
// slack, every device with what it puts in series and what it draws.
func (c Circuit) wired(devices []takeoff.Device, types []takeoff.DeviceType) (wire.Circuit, []string) {
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
			if t.Alarm.Known {
				n.Load = t.Alarm.A
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
