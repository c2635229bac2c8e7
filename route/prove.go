package route

import (
	"fmt"
	"math"

	"loopwright/route/wire"
	"loopwright/takeoff"
)

// The codes of findings about what the wire does.
const (
	CodeResistance = "F401" // loop resistance over the limit
	CodeCurrent    = "F402" // more current than the circuit may carry
	CodeVoltage    = "F403" // a device with too little voltage
	CodeBlank      = "F404" // a current that the job does not give
	CodeNoLimit    = "F405" // nothing to judge the circuit by
)

// Proof is what the wire of a circuit does, held against the job's limits.
type Proof struct {
	Nodes []string // names by wire node: the panel, devices, branch points
	Loop  wire.Check
	Power *wire.Power // nil for an SLC and where voltages are not given

	Smallest    wire.Conductor // thinnest conductor of the same family that passes
	HasSmallest bool
	Passes      bool // no limit that was given is broken
}

// WorstEnd names the far end of the branch with the highest resistance.
func (p Proof) WorstEnd() string {
	if p.Loop.Worst < 0 {
		return ""
	}
	return p.Nodes[p.Loop.Branches[p.Loop.Worst].End]
}

// Prove computes the loop resistance of a circuit, and for appliance and power
// circuits current and voltage, and compares them with the limits of its Spec.
func Prove(c Circuit, devices []takeoff.Device, types []takeoff.DeviceType) (Proof, []takeoff.Finding, error) {
	w, names := c.wired(devices, types)
	p := Proof{Nodes: names, Passes: true}
	rate, err := c.Cable.Conductor.Rate(c.Cable.Temperature)
	if err != nil {
		return p, nil, fmt.Errorf("circuit %s: cable %s: %w", c.Name, c.Cable.Name, err)
	}
	lim := wire.Limits{Ohm: c.MaxResistance}
	if p.Loop, err = wire.Against(w, rate, lim); err != nil {
		return p, nil, fmt.Errorf("circuit %s: %w", c.Name, err)
	}
	var fs []takeoff.Finding
	if c.Kind != takeoff.SLC {
		more, err := p.power(c, w, rate)
		if err != nil {
			return p, nil, fmt.Errorf("circuit %s: %w", c.Name, err)
		}
		fs = append(fs, more...)
	}
	if p.Loop.Judged && !p.Loop.Passes {
		p.Passes = false
		fs = append(fs, c.tooMuchOhm(p, w, lim))
	}
	return p, fs, p.smallest(c, w, lim)
}

// smallest looks for the thinnest conductor with which the circuit passes.
func (p *Proof) smallest(c Circuit, w wire.Circuit, lim wire.Limits) error {
	family := wire.Family(c.Cable.Conductor)
	if c.Kind == takeoff.SLC {
		if !p.Loop.Judged {
			return nil
		}
		tried, ok, err := wire.SmallestConductor(w, family, c.Cable.Temperature, lim)
		if err == nil && ok {
			p.Smallest, p.HasSmallest = tried[len(tried)-1].Conductor, true
		}
		return err
	}
	if p.Power == nil {
		return nil
	}
	tried, ok, err := wire.SmallestForPower(w, family, c.Cable.Temperature, c.supply())
	if err == nil && ok {
		p.Smallest, p.HasSmallest = tried[len(tried)-1].Conductor, true
	}
	return err
}

func (c Circuit) tooMuchOhm(p Proof, w wire.Circuit, lim wire.Limits) takeoff.Finding {
	advice := "split it, or shorten it"
	if tried, ok, err := wire.SmallestConductor(w, wire.Family(c.Cable.Conductor), c.Cable.Temperature, lim); err == nil && ok {
		advice = fmt.Sprintf("%s would pass; or split it", tried[len(tried)-1].Conductor)
	}
	return takeoff.Finding{Code: CodeResistance, Severity: takeoff.Error,
		Message: fmt.Sprintf("circuit %s measures %.1f ohm to %s, over its limit of %.1f ohm (%s): %s",
			c.Name, p.Loop.Ohm, p.WorstEnd(), c.MaxResistance, p.Loop.Rate.Basis, advice)}
}

func (c Circuit) supply() wire.Supply {
	return wire.Supply{Start: c.StartVolts, Minimum: c.EndVolts, Capacity: c.MaxCurrent, Spare: c.SpareShare}
}

// power judges current and voltage of an appliance or power circuit.
func (p *Proof) power(c Circuit, w wire.Circuit, rate wire.Rate) ([]takeoff.Finding, error) {
	if c.StartVolts == 0 {
		p.Passes = false
		return []takeoff.Finding{{Code: CodeNoLimit, Severity: takeoff.Warning,
			Message: fmt.Sprintf("circuit %s: no start voltage is given, so no voltage is proved: take start and end from the equipment's listing", c.Name)}}, nil
	}
	res, err := wire.Drop(w, rate, c.supply())
	if err != nil {
		return nil, err
	}
	p.Power = &res
	p.Passes = p.Passes && res.Passes
	return c.powerFindings(p), nil
}

func (c Circuit) powerFindings(p *Proof) []takeoff.Finding {
	var fs []takeoff.Finding
	r := p.Power
	if n := len(r.Blank); n > 0 {
		fs = append(fs, takeoff.Finding{Code: CodeBlank, Severity: takeoff.Error,
			Message: fmt.Sprintf("circuit %s: %d device(s) have no alarm current, first %s: nothing is proved until their types give it", c.Name, n, p.Nodes[r.Blank[0]])})
	}
	if !r.CurrentOK {
		fs = append(fs, takeoff.Finding{Code: CodeCurrent, Severity: takeoff.Error,
			Message: fmt.Sprintf("circuit %s draws %.3f A and may carry %.3f A (%.3f A less %.0f %% spare): move devices to another circuit",
				c.Name, r.Current, r.Allowed, c.MaxCurrent, c.SpareShare*100)})
	}
	if len(r.Feeds) > 0 && !r.VoltageOK {
		f := r.Feeds[r.WorstFeed]
		first := f.FirstBelow
		if first < 0 {
			first = f.Lowest
		}
		fs = append(fs, takeoff.Finding{Code: CodeVoltage, Severity: takeoff.Error,
			Message: fmt.Sprintf("circuit %s: %s gets %.2f V and needs %.2f V, the first to fail; the lowest is %.2f V at %s: take a thicker conductor, or split the circuit",
				c.Name, p.Nodes[first], f.Volts[first], c.EndVolts, f.Volts[f.Lowest], p.Nodes[f.Lowest])})
	}
	return fs
}

// wired turns a laid circuit into nodes and legs of copper: every leg with its
// slack, every device with what it puts in series and what it draws.
func (c Circuit) wired(devices []takeoff.Device, types []takeoff.DeviceType) (wire.Circuit, []string) {
	w := wire.Circuit{Class: wire.Class(c.Pathway[0])}
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
		w.Legs = append(w.Legs, wire.Leg{From: from, To: to, Length: l.Length + l.Slack})
	}
	return w, names
}
