package route

import (
	"fmt"
	"math"

	"loopwright/route/circuit"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// Lay orders the devices of one circuit outward from its panel and measures
// every leg. prefer is the order of an earlier run as device ids; it may be nil.
// A circuit without devices comes back without legs.
func Lay(b Building, spec Spec, devices []takeoff.Device, prefer []string, opt Options) (Circuit, []takeoff.Finding, error) {
	c := Circuit{Spec: spec}
	if len(devices) == 0 {
		return c, nil, nil
	}
	panel, err := b.panel(spec.Panel)
	if err != nil {
		return c, nil, fmt.Errorf("circuit %s: %w", spec.Name, err)
	}
	f, err := newFloorplan(b, panel, devices, opt)
	if err != nil {
		return c, nil, fmt.Errorf("circuit %s: %w", spec.Name, err)
	}
	lay := f.layChain
	if spec.Taps && spec.Pathway == circuit.ClassB {
		lay = f.layTree
	}
	drawn := f.drawn(devices, spec)
	if drawn != nil {
		lay = drawn.lay
	}
	if err := lay(&c, prefer); err != nil {
		return c, nil, fmt.Errorf("circuit %s: %w", spec.Name, err)
	}
	if drawn == nil { // cable that somebody has drawn bends where it is drawn
		if err := f.keepApart(b, &c, devices, len(prefer) > 0); err != nil {
			return c, nil, fmt.Errorf("circuit %s: %w", spec.Name, err)
		}
	}
	c.Unjoined = f.unjoined
	f.settleSlack(&c)
	c.sum(opt.Allow)
	return c, f.findings(c), nil
}

// settleSlack gives the device at the end of a chain or branch its whole
// allowance: only one leg meets it.
func (f *floorplan) settleSlack(c *Circuit) {
	met := map[string]int{}
	for _, l := range c.Legs {
		met[l.From]++
		met[l.To]++
	}
	half := f.opt.Allow.Device / 2
	for i := range c.Legs {
		if l := &c.Legs[i]; met[l.To] == 1 {
			l.Slack += half
		}
	}
}

// sum adds up the legs and what must be ordered.
func (c *Circuit) sum(a Allowance) {
	for _, l := range c.Legs {
		c.Length += l.Length
		c.Slack += l.Slack
		c.Crossings += l.Crossings
		if l.Return {
			c.Back += l.Length
		}
		if l.Rise > 0 {
			c.LevelHops++
		}
	}
	c.Outgoing = c.Length - c.Back
	c.Turns = turns(c.Legs)
	c.Order = c.Wire() * (1 + a.Waste)
}

// turns counts the bends along the run, those at devices included.
func turns(legs []Leg) int {
	n := 0
	var last geom.Point
	for _, l := range legs {
		for _, s := range l.Stretches {
			for i := 1; i < len(s.Points); i++ {
				d := s.Points[i].Sub(s.Points[i-1])
				if d.Len() < 1e-6 {
					continue
				}
				d = d.Mul(1 / d.Len())
				if last != (geom.Point{}) && d.Dot(last) < 0.999 {
					n++
				}
				last = d
			}
		}
	}
	return n
}

// findings reports what the measuring had to fall back on, once for a level.
func (f *floorplan) findings(c Circuit) []takeoff.Finding {
	fs := f.notes
	if c.LowerBound > 0 && !math.IsInf(c.LowerBound, 0) && c.Length < c.LowerBound*(1-1e-9) {
		// A bound above the length itself would be a fault of ours: never hide it.
		fs = append(fs, takeoff.Finding{Code: codeFarFromBest, Severity: takeoff.Error,
			Message: fmt.Sprintf("circuit %s: internal check failed: length %s is under its lower bound %s; please report this job", c.Name, f.units.Length(c.Length, 3), f.units.Length(c.LowerBound, 3))})
	}
	seen := map[string]bool{}
	for _, l := range c.Legs {
		if l.Note == "" || len(l.Stretches) == 0 {
			continue
		}
		msg := fmt.Sprintf("circuit %s on %s: %s", c.Name, l.Stretches[0].Level, l.Note)
		if !seen[msg] {
			seen[msg] = true
			fs = append(fs, takeoff.Finding{Code: codeMeasuredElse, Severity: takeoff.Note, Message: msg})
		}
	}
	return fs
}
