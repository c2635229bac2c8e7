package wire

import (
	"fmt"
	"math"
)

// Supply is what feeds a notification appliance or power circuit. Start, Minimum
// and Capacity are listing data; what is zero is not known, and nothing is judged by it.
type Supply struct {
	Start      float64 // volts at the terminals, loaded; no voltage is worked out without it
	Minimum    float64 // volts that the neediest device must have
	Capacity   float64 // amperes of the circuit
	Spare      float64 // part of the capacity to be kept free, 0 to below 1
	LoadFactor float64 // volts lost inside the control unit per ampere of circuit current (listing data, else 0)
}

func (s Supply) check() error {
	switch {
	case !(s.Start >= 0) || math.IsInf(s.Start, 0):
		return fmt.Errorf("start voltage %v V: give zero (not known) or more", s.Start)
	case !(s.Minimum >= 0) || s.Start > 0 && s.Minimum >= s.Start:
		return fmt.Errorf("minimum voltage %v V: give one below the start voltage of %v V", s.Minimum, s.Start)
	case !(s.Capacity >= 0) || math.IsInf(s.Capacity, 0):
		return fmt.Errorf("capacity %v A: give zero (not known) or more", s.Capacity)
	case !(s.Spare >= 0 && s.Spare < 1):
		return fmt.Errorf("spare %v: give a fraction from 0 to below 1", s.Spare)
	case !(s.LoadFactor >= 0) || math.IsInf(s.LoadFactor, 0):
		return fmt.Errorf("load factor %v V/A: give zero or more", s.LoadFactor)
	}
	return nil
}

// Feed is the circuit fed from one end.
type Feed struct {
	From       string    // "start", or "return" for a class A or X circuit open at its start
	Volts      []float64 // at every node, point to point: each leg carries the current of what lies beyond it
	Lumped     []float64 // at every node, the whole circuit's current taken to flow all the way to it
	Lowest     int       // node with a load that has the least point-to-point voltage: it fails first as the supply sags; -1 without loads
	FirstBelow int       // first loaded node, going out from the feed, below the minimum; -1 where none is
}

// power is the result for a notification appliance or power circuit.
type Power struct {
	Current    float64 // amperes of all known loads
	Allowed    float64 // capacity less the spare; zero where no capacity was given
	CurrentOK  bool    // true also where no capacity was given
	Feeds      []Feed  // from the start; for class A and X also from the return end. None while Blank is not empty, or without a start voltage
	VoltageOK  bool    // point to point, every loaded node, every feed; where no minimum was given, only a voltage below zero fails
	LumpedOK   bool    // the same by the lumped method, which is the harder of the two
	Blank      []int   // nodes whose load is not known; nothing is judged until they are
	Passes     bool    // CurrentOK and VoltageOK, with no blank
	WorstFeed  int     // index into Feeds of the lowest voltage; -1 without feeds or loads
	WorstVolts float64 // that voltage
	Rate       Rate
	Method     string // the model in words
}

const (
	powerMethod = "constant current in every load at its greatest value; both conductors count; point to point: each leg carries the current of the loads beyond it; lumped: the whole current flows to the device in question"
	powerLooped = powerMethod + "; the loop is fed from its start only, and again from its return end only, as after an open at the other end"
)

// Drop computes current and voltages of a notification appliance or power
// circuit. A class A or X circuit is worked out twice, fed from either end only:
// after one open the loop is fed from both ends, and no load is then worse off
// than in the worse of these two.
func Drop(c Circuit, rate Rate, s Supply) (Power, error) {
	r, err := c.walk()
	if err != nil {
		return Power{}, err
	}
	if err := rate.check(); err != nil {
		return Power{}, err
	}
	if err := s.check(); err != nil {
		return Power{}, err
	}
	out := Power{Rate: rate, WorstFeed: -1, Method: powerMethod, Allowed: s.Capacity * (1 - s.Spare)}
	for i, n := range c.Nodes {
		if math.IsNaN(n.Load) {
			out.Blank = append(out.Blank, i)
		} else {
			out.Current += n.Load
		}
	}
	out.CurrentOK = s.Capacity == 0 || within(out.Current, out.Allowed)
	if len(out.Blank) > 0 {
		return out, nil
	}
	if s.Start == 0 {
		out.judge(c, s.Minimum)
		return out, nil
	}
	out.Feeds = append(out.Feeds, c.feed("start", r, rate, s, out.Current))
	if c.Class.Looped() && len(c.Legs) > 0 {
		out.Method = powerLooped
		out.Feeds = append(out.Feeds, c.feed("return", r.reversed(), rate, s, out.Current))
	}
	out.judge(c, s.Minimum)
	return out, nil
}

func (p *Power) judge(c Circuit, minimum float64) {
	p.VoltageOK, p.LumpedOK = true, true
	for i, f := range p.Feeds {
		p.VoltageOK = p.VoltageOK && f.FirstBelow < 0
		for v, n := range c.Nodes {
			if n.Load > 0 && !within(minimum, f.Lumped[v]) {
				p.LumpedOK = false
			}
		}
		if f.Lowest >= 0 && (p.WorstFeed < 0 || f.Volts[f.Lowest] < p.WorstVolts) {
			p.WorstFeed, p.WorstVolts = i, f.Volts[f.Lowest]
		}
	}
	p.Passes = p.CurrentOK && p.VoltageOK
}

// feed works out the voltages with all current coming from the run's first node.
func (c Circuit) feed(from string, r run, rate Rate, s Supply, total float64) Feed {
	n := len(c.Nodes)
	beyond := make([]float64, n) // current through the leg that feeds each node
	for k := n - 1; k >= 0; k-- {
		v := r.order[k]
		beyond[v] += c.Nodes[v].Load
		if p := r.parent[v]; p >= 0 {
			beyond[p] += beyond[v]
		}
	}
	f := Feed{From: from, Volts: make([]float64, n), Lumped: make([]float64, n), Lowest: -1, FirstBelow: -1}
	f.Volts[0] = s.Start - s.LoadFactor*total
	f.Lumped[0] = f.Volts[0]
	for _, v := range r.order {
		if p := r.parent[v]; p >= 0 {
			ohm := 2*r.length[v]*rate.OhmPerMetre + c.Nodes[v].Series
			f.Volts[v] = f.Volts[p] - beyond[v]*ohm
			f.Lumped[v] = f.Lumped[p] - total*ohm
		}
		if !(c.Nodes[v].Load > 0) {
			continue
		}
		if f.Lowest < 0 || f.Volts[v] < f.Volts[f.Lowest] {
			f.Lowest = v
		}
		if f.FirstBelow < 0 && !within(s.Minimum, f.Volts[v]) {
			f.FirstBelow = v
		}
	}
	return f
}

// PowerTrial is one conductor tried on a power circuit.
type PowerTrial struct {
	conductor Conductor
	power     Power
}

// SmallestForPower tries the conductors in the order given, at tempC, and stops
// at the first with which the circuit passes. It returns all that were tried;
// found says whether the last of them passes. A current above the allowed one,
// or a blank load, is cured by no conductor: nothing is then tried.
func SmallestForPower(c Circuit, list []Conductor, tempC float64, s Supply) (tried []PowerTrial, found bool, err error) {
	for _, k := range list {
		rate, err := k.Rate(tempC)
		if err != nil {
			return nil, false, err
		}
		p, err := Drop(c, rate, s)
		if err != nil {
			return nil, false, err
		}
		if !p.CurrentOK || len(p.Blank) > 0 {
			return nil, false, nil
		}
		tried = append(tried, PowerTrial{k, p})
		if p.Passes {
			return tried, true, nil
		}
	}
	return tried, false, nil
}
