package wire

import (
	"fmt"
	"math"
)

// Branch is the loop from the control unit to one end of the circuit.
type Branch struct {
	End    int     // node at the far end; 0 (the return terminals) for class A and X
	Length float64 // one-way cable from the control unit to the end, metres
	Series float64 // ohms of the devices passed, the end device included
	Ohm    float64 // 2 x Length x rate + Series
}

// Loop is the resistance of a circuit as a meter at the control unit would read it.
type Loop struct {
	Branches []Branch // class B: every branch end, by node; class A and X: the one loop
	Worst    int      // index of the branch with the greatest Ohm; -1 where there is none
	Ohm      float64  // of the worst branch
	Cable    float64  // all legs together, one-way cable in metres
	Rate     Rate
	Method   string // how to meter the same figure on site
}

const (
	methodB = "disconnect the circuit at the control unit, short the two conductors at one branch end and meter across them at the control unit; repeat for each branch end"
	methodA = "disconnect both ends at the control unit, short the two conductors at the return terminals and meter across the outgoing terminals: both conductors over the whole loop"
)

// resist returns the loop resistance: for class B to each branch end, for class
// A and X over the whole loop with its return, both conductors, plus the series
// resistance of every device passed.
func resist(c Circuit, rate Rate) (Loop, error) {
	r, err := c.walk()
	if err != nil {
		return Loop{}, err
	}
	if err := rate.check(); err != nil {
		return Loop{}, err
	}
	out := Loop{Worst: -1, Cable: r.cable, Rate: rate, Method: methodB}
	length, series, leaf := c.reach(r)
	if c.Class.Looped() {
		out.Method = methodA
		if len(c.Legs) > 0 {
			out.Branches = []Branch{newBranch(0, length[r.last]+r.back, series[r.last], rate)}
		}
	} else {
		for v := 1; v < len(c.Nodes); v++ {
			if leaf[v] {
				out.Branches = append(out.Branches, newBranch(v, length[v], series[v], rate))
			}
		}
	}
	for i, b := range out.Branches {
		if out.Worst < 0 || b.Ohm > out.Ohm {
			out.Worst, out.Ohm = i, b.Ohm
		}
	}
	return out, nil
}

func (r Rate) check() error {
	if !(r.OhmPerMetre > 0) || math.IsInf(r.OhmPerMetre, 0) {
		return fmt.Errorf("rate of %v ohm per metre: take one from a conductor or give one above zero", r.OhmPerMetre)
	}
	return nil
}

func newBranch(end int, length, series float64, rate Rate) Branch {
	return Branch{end, length, series, 2*length*rate.OhmPerMetre + series}
}

// reach gives, per node, the cable from the control unit, the series ohms on the
// way and whether the way ends there.
func (c Circuit) reach(r run) (length, series []float64, leaf []bool) {
	n := len(c.Nodes)
	length, series, leaf = make([]float64, n), make([]float64, n), make([]bool, n)
	for _, v := range r.order[1:] {
		p := r.parent[v]
		length[v] = length[p] + r.length[v]
		series[v] = series[p] + c.Nodes[v].Series
		leaf[v], leaf[p] = true, false
	}
	return length, series, leaf
}

// Limits are the bounds of a circuit's listing. A zero field sets no bound.
type Limits struct {
	Ohm               float64 // loop resistance of the worst branch
	Cable             float64 // all cable, one-way metres
	Microfarad        float64 // capacitance of all cable; needs PicofaradPerMetre
	PicofaradPerMetre float64 // of the cable, conductor to conductor
}

func (l Limits) check() error {
	for _, f := range []struct {
		name string
		v    float64
	}{{"resistance", l.Ohm}, {"cable length", l.Cable}, {"capacitance", l.Microfarad}, {"capacitance per metre", l.PicofaradPerMetre}} {
		if !(f.v >= 0) || math.IsInf(f.v, 0) {
			return fmt.Errorf("%s limit %v: give a number above zero, or zero for none", f.name, f.v)
		}
	}
	if l.Microfarad > 0 && l.PicofaradPerMetre == 0 {
		return fmt.Errorf("a capacitance limit needs the cable's capacitance per metre")
	}
	return nil
}

// Bound is one limit compared with the circuit.
type Bound struct {
	Name   string  // "loop resistance", "cable length", "capacitance"
	Unit   string  // "ohm", "m", "uF"
	Value  float64 // of the circuit
	Limit  float64
	Left   float64 // one-way cable that may still be added, metres; negative by how much it is too long
	Passes bool
}

// Check is a circuit held against its limits.
type Check struct {
	Loop
	Bounds  []Bound // one per limit that was set
	Tight   int     // index of the bound with the least Left; -1 where no limit was set
	Judged  bool    // false where no limit was set: nothing was proved
	Passes  bool    // every bound passes, and at least one was set
	Missing string  // what was not judged, in words; empty where resistance was
}

// Against measures a circuit and compares it with the limits. The length left
// under the resistance limit is counted on the worst branch.
func Against(c Circuit, rate Rate, lim Limits) (Check, error) {
	loop, err := resist(c, rate)
	if err != nil {
		return Check{}, err
	}
	if err := lim.check(); err != nil {
		return Check{}, err
	}
	out := Check{Loop: loop, Tight: -1}
	if lim.Ohm > 0 {
		out.add(Bound{Name: "loop resistance", Unit: "ohm", Value: loop.Ohm, Limit: lim.Ohm,
			Left: rate.maxOneWay(lim.Ohm, loop.Ohm)})
	} else {
		out.Missing = "no resistance limit was given, so the loop resistance is not judged"
	}
	if lim.Cable > 0 {
		out.add(Bound{Name: "cable length", Unit: "m", Value: loop.Cable, Limit: lim.Cable, Left: lim.Cable - loop.Cable})
	}
	if lim.Microfarad > 0 {
		value := loop.Cable * lim.PicofaradPerMetre * 1e-6
		out.add(Bound{Name: "capacitance", Unit: "uF", Value: value, Limit: lim.Microfarad,
			Left: (lim.Microfarad - value) * 1e6 / lim.PicofaradPerMetre})
	}
	return out, nil
}

func (c *Check) add(b Bound) {
	b.Passes = within(b.Value, b.Limit)
	c.Passes = b.Passes && (c.Passes || !c.Judged)
	c.Judged = true
	if c.Tight < 0 || b.Left < c.Bounds[c.Tight].Left {
		c.Tight = len(c.Bounds)
	}
	c.Bounds = append(c.Bounds, b)
}

// within is v <= limit, forgiving the last bits of a sum that lands on the limit.
func within(v, limit float64) bool { return v <= limit+1e-9*math.Abs(limit) }

// Trial is one conductor tried on a circuit.
type Trial struct {
	Conductor Conductor
	Check     Check
}

// SmallestConductor tries the conductors in the order given, at tempC, and stops
// at the first that passes every limit. It returns all that were tried; found
// says whether the last of them passes. [Family] gives the usual list.
func SmallestConductor(c Circuit, list []Conductor, tempC float64, lim Limits) (tried []Trial, found bool, err error) {
	for _, k := range list {
		rate, err := k.Rate(tempC)
		if err != nil {
			return nil, false, err
		}
		check, err := Against(c, rate, lim)
		if err != nil {
			return nil, false, err
		}
		tried = append(tried, Trial{k, check})
		if check.Passes {
			return tried, true, nil
		}
	}
	return tried, false, nil
}
