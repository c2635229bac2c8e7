package route

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"loopwright/route/loops"
	"loopwright/route/tour"
	"loopwright/takeoff"
	"loopwright/takeoff/measure"
	"loopwright/takeoff/parallel"
)

// Part is a set of devices and the circuit that takes them.
type Part struct {
	Spec
	Devices []takeoff.Device
}

// Split divides the devices of a group among the circuits that may take them.
// With one row that is not to be split they all go to it. A row that is Auto
// becomes as many circuits as are needed, numbered after its name; several rows
// share the devices, and what does not fit stays with the last, reported.
func Split(b Building, specs []Spec, devices []takeoff.Device, opt Options) ([]Part, []takeoff.Finding, error) {
	if len(specs) == 0 {
		return nil, nil, fmt.Errorf("no circuit takes these %d devices", len(devices))
	}
	if len(specs) == 1 && !specs[0].Auto {
		return []Part{{specs[0], devices}}, nil, nil
	}
	if len(specs) == 1 && len(devices) > splitWhole && severalLevels(devices) {
		return splitByLevel(b, specs[0], devices, opt)
	}
	return splitTogether(b, specs, devices, 0, opt)
}

// splitWhole is the number of devices above which a building is split level by
// level: levels then stay whole, and the work grows with the levels only.
const splitWhole = 1200

func severalLevels(devices []takeoff.Device) bool {
	return slices.ContainsFunc(devices, func(d takeoff.Device) bool { return d.Level != devices[0].Level })
}

// splitByLevel splits each level by itself, side by side, and numbers the
// circuits through.
func splitByLevel(b Building, spec Spec, devices []takeoff.Device, opt Options) ([]Part, []takeoff.Finding, error) {
	byLevel := make([][]takeoff.Device, len(b.Levels))
	for _, d := range devices {
		l, err := b.level(d.Level)
		if err != nil {
			return nil, nil, fmt.Errorf("circuit %s: device %s: %w", spec.Name, d.ID, err)
		}
		byLevel[l] = append(byLevel[l], d)
	}
	parts, findings := make([][]Part, len(byLevel)), make([][]takeoff.Finding, len(byLevel))
	errs := make([]error, len(byLevel))
	parallel.For(len(byLevel), func(l int) {
		if ds := byLevel[l]; len(ds) > 0 {
			parts[l], findings[l], errs[l] = splitTogether(b, []Spec{spec}, ds, len(devices), opt)
		}
	})
	if err := cmp.Or(errs...); err != nil {
		return nil, nil, err
	}
	all := slices.Concat(parts...)
	for i := range all {
		all[i].Name = fmt.Sprintf("%s-%d", spec.Name, i+1)
	}
	return all, slices.Concat(findings...), nil
}

// splitTogether splits the devices of all levels at once, or those of one level of
// a building that has so many devices in all.
func splitTogether(b Building, specs []Spec, devices []takeoff.Device, inAll int, opt Options) ([]Part, []takeoff.Finding, error) {
	s, err := newSplitter(b, specs[0], devices, opt)
	if err != nil {
		return nil, nil, fmt.Errorf("circuit %s: %w", specs[0].Name, err)
	}
	s.problem.PartOf = inAll
	routes, fs, err := s.solve()
	if errors.Is(err, loops.ErrInfeasible) {
		// The counts and the rest of the job still stand: one circuit takes them all, and fails its proof.
		all := make([]int, len(devices))
		for i := range all {
			all[i] = i + 1
		}
		routes, fs = [][]int{all}, []takeoff.Finding{{Code: codeSplit, Severity: takeoff.Error, Message: err.Error()}}
	} else if err != nil {
		return nil, nil, err
	}
	parts, more := s.name(specs, routes)
	return parts, append(fs, more...), nil
}

// splitter divides the devices of one floorplan.
type splitter struct {
	b       Building
	spec    Spec
	devices []takeoff.Device
	opt     Options
	plan    *floorplan
	problem loops.Problem
	extra   []float64 // metres that each place adds: its allowance, and cable of the resistance that it puts in series
}

func newSplitter(b Building, spec Spec, devices []takeoff.Device, opt Options) (*splitter, error) {
	panel, err := b.panel(spec.Panel)
	if err != nil {
		return nil, err
	}
	f, err := newFloorplan(b, panel, devices, opt)
	if err != nil {
		return nil, err
	}
	s := &splitter{b: b, spec: spec, devices: devices, opt: opt, plan: f}
	s.problem = loops.Problem{Open: !spec.Pathway.Looped(), Seed: opt.Seed, GroupCost: 2 * opt.Weights.LevelChange, Fewest: true}
	at := tour.Problem{}
	if f.plane(&at) {
		s.problem.Points, s.problem.Metric, s.problem.Axis = at.Points, at.Metric, at.Axis
	} else {
		s.problem.N, s.problem.Dist = len(f.places), f.cost
		if s.problem.N <= matrixLimit {
			s.problem.Dist = tour.FromMatrix(f.table(f.cost))
		}
	}
	for _, p := range f.places {
		s.problem.Group = append(s.problem.Group, p.level)
	}
	return s, s.limits()
}

// limits sets what bounds a circuit: addresses or current, and the resistance
// turned into length.
func (s *splitter) limits() error {
	types := map[string]takeoff.DeviceType{}
	for _, t := range s.b.Types {
		types[t.Type] = t
	}
	rate, err := s.spec.Cable.Conductor.Rate(s.spec.Cable.Temperature)
	if err != nil {
		return err
	}
	s.extra = []float64{0}
	var demand [][]float64
	for _, d := range s.devices {
		t := types[d.Type]
		for r, need := range s.spec.Needs(t) {
			if r == len(demand) {
				demand = append(demand, []float64{0})
			}
			demand[r] = append(demand[r], need)
		}
		s.extra = append(s.extra, s.opt.Allow.Device+t.Resistance/(2*rate.OhmPerMetre))
	}
	if room := s.spec.Room(); room > 0 {
		for _, row := range demand {
			if len(demand) > 1 && !slices.ContainsFunc(row, func(v float64) bool { return v > 0 }) {
				continue // nothing draws in this state
			}
			s.problem.Demand, s.problem.Capacity = append(s.problem.Demand, row), append(s.problem.Capacity, room)
		}
	}
	if s.spec.MaxResistance > 0 {
		ends := 1.0
		if s.spec.Pathway.Looped() {
			ends = 2
		}
		panel := s.opt.Allow.Panel
		if s.problem.Points != nil { // the plane knows no drops
			panel += s.plan.places[0].rise
		}
		s.problem.MaxLength = max(0, s.spec.MaxResistance/(2*rate.OhmPerMetre)-ends*panel)
		s.problem.Extra = s.extra
	}
	return nil
}

// Needs is what a device of a type takes of its circuit's [Spec.Room]: addresses
// of an SLC; amperes of another, in standby and in alarm, each of which must fit.
// A current that is not given counts as none here; Prove reports it.
func (s Spec) Needs(t takeoff.DeviceType) []float64 {
	if s.Kind == takeoff.SLC {
		return []float64{float64(t.Addresses)}
	}
	return []float64{load(s.Kind, t, Standby).A, load(s.Kind, t, Alarm).A}
}

// Room is the capacity of a circuit less its spare, in what [Spec.Needs] counts; 0 for not known.
func (s Spec) Room() float64 {
	if s.Kind == takeoff.SLC {
		return math.Floor(float64(s.Capacity)*(1-s.SpareShare) + 1e-9)
	}
	return s.MaxCurrent * (1 - s.SpareShare)
}

// momentTries bounds how often the limit that keeps the voltage is made a little
// harder, where costs tell less than metres of how far a device is.
const momentTries = 6

// solve finds the routes: fewest circuits first, then least cable. Those of
// appliance and power circuits are proved; where a device gets too little voltage,
// current times way is limited too, which is what the voltage falls by, and the
// fewest circuits are sought that keep it. Where none do, as one device alone is
// too far, the first routes stand, and fail their proof.
func (s *splitter) solve() ([][]int, []takeoff.Finding, error) {
	first, err := s.fewest()
	if err != nil || s.spec.Kind == takeoff.SLC || s.spec.StartVolts == 0 || s.spec.EndVolts == 0 || len(s.problem.Capacity) == 0 {
		return first, nil, s.explain(err)
	}
	if ok, err := s.voltagesHold(first); ok || err != nil {
		return first, nil, err
	}
	limit, err := s.limitMoment()
	if err != nil {
		return nil, nil, err
	}
	s.problem.MaxMoment = limit * s.stretch(first)
	for range momentTries {
		routes, err := s.fewest()
		if errors.Is(err, loops.ErrInfeasible) {
			break
		} else if err != nil {
			return nil, nil, s.explain(err)
		}
		if ok, err := s.voltagesHold(routes); err != nil {
			return nil, nil, err
		} else if ok {
			return routes, s.moreCircuits(len(first), len(routes)), nil
		}
		s.problem.MaxMoment *= 0.96
	}
	return first, nil, nil
}

// limitMoment sets what comes on top of the ways between devices, and returns how
// many ampere metres of cable may be between the panel and the devices of a circuit.
func (s *splitter) limitMoment() (float64, error) {
	rate, err := s.spec.Cable.Conductor.Rate(s.spec.Cable.Temperature)
	if err != nil {
		return 0, err
	}
	s.problem.Lead = s.opt.Allow.Panel + s.spec.LoadFactor/(2*rate.OhmPerMetre)
	s.problem.Extra = slices.Clone(s.extra)
	if s.problem.Points != nil { // the plane knows no drops
		s.problem.Lead += s.plan.places[0].rise
		for i := range s.devices {
			s.problem.Extra[i+1] += 2 * s.plan.places[i+1].rise
		}
	}
	return (s.spec.StartVolts - s.spec.EndVolts) / (2 * rate.OhmPerMetre), nil
}

// stretch is by how much the ways that routes are chosen by exceed their cable, as
// walls and levels cost more than their metres.
func (s *splitter) stretch(routes [][]int) float64 {
	if s.problem.Points != nil {
		return 1
	}
	cost, cable := 0.0, 0.0
	for _, r := range routes {
		at := 0
		for _, i := range r {
			cost += s.problem.Dist(at, i)
			cable += s.plan.leg(at, i).Length
			at = i
		}
	}
	if cable == 0 {
		return 1
	}
	return max(1, cost/cable)
}

// moreCircuits reports that the voltage asks for more circuits than the current.
func (s *splitter) moreCircuits(first, now int) []takeoff.Finding {
	if now <= first {
		return nil
	}
	return []takeoff.Finding{{Code: codeSplit, Severity: takeoff.Note,
		Message: fmt.Sprintf("circuit %s: split into %s, where the current alone needs %d, to keep the voltage at every device", s.spec.Name, measure.Count(now, "circuit"), first)}}
}

// fewest splits into the fewest circuits, and among those with the least cable:
// every circuit costs a loop at the panel besides its cable.
func (s *splitter) fewest() ([][]int, error) {
	r, err := loops.Solve(s.problem)
	return r.Routes, err
}

// explain names the device for which no circuit is enough.
func (s *splitter) explain(err error) error {
	if !errors.Is(err, loops.ErrInfeasible) {
		if err == nil {
			return nil
		}
		return fmt.Errorf("circuit %s: %w", s.spec.Name, err)
	}
	for i, d := range s.devices {
		for r, room := range s.problem.Capacity {
			if need := s.problem.Demand[r][i+1]; need > room {
				return fmt.Errorf("circuit %s cannot be split: %s (%s) needs %.4g by itself, over the %.4g that the circuit has after spare: raise its capacity (%w)",
					s.spec.Name, d.ID, d.Type, need, room, loops.ErrInfeasible)
			}
		}
	}
	return fmt.Errorf("circuit %s cannot be split: a device is so far from the panel that its circuit would exceed %.4g ohm even alone (%w): use a thicker conductor or another panel, or check the drawing's units",
		s.spec.Name, s.spec.MaxResistance, err)
}

// voltagesHold proves every route in the order in which it was found.
func (s *splitter) voltagesHold(routes [][]int) (bool, error) {
	for _, r := range routes {
		p, _, err := Prove(s.b, s.chain(r), s.part(s.spec, r).Devices)
		if err != nil {
			return false, err
		}
		for _, state := range p.States {
			if len(state.Feeds) > 0 && !state.VoltageOK {
				return false, nil
			}
		}
	}
	return true, nil
}

// chain is a route as a circuit, its devices in the order given.
func (s *splitter) chain(route []int) Circuit {
	c := Circuit{Spec: s.spec}
	at := 0
	for _, i := range route {
		c.Devices = append(c.Devices, s.plan.places[i].id)
		c.Legs = append(c.Legs, s.plan.leg(at, i))
		at = i
	}
	if s.spec.Pathway.Looped() {
		back := s.plan.leg(at, 0)
		back.Return = true
		c.Legs = append(c.Legs, back)
	}
	s.plan.settleSlack(&c)
	c.sum(s.opt.Allow)
	return c
}

func (s *splitter) part(spec Spec, route []int) Part {
	p := Part{Spec: spec}
	for _, i := range route {
		p.Devices = append(p.Devices, s.devices[i-1])
	}
	return p
}

// name gives the routes to the rows. Routes beyond the rows go to the last one.
func (s *splitter) name(specs []Spec, routes [][]int) ([]Part, []takeoff.Finding) {
	var parts []Part
	auto := -1
	for i, sp := range specs {
		if sp.Auto {
			auto = i
		}
	}
	over := 0
	for k, r := range routes {
		switch {
		case auto < 0 && k >= len(specs):
			over++
			last := &parts[len(parts)-1]
			last.Devices = append(last.Devices, s.part(last.Spec, r).Devices...)
		case auto >= 0 && k >= auto:
			sp := specs[auto]
			sp.Name = fmt.Sprintf("%s-%d", sp.Name, k-auto+1)
			parts = append(parts, s.part(sp, r))
		default:
			parts = append(parts, s.part(specs[k], r))
		}
	}
	if over == 0 {
		return parts, nil
	}
	return parts, []takeoff.Finding{{Code: codeSplit, Severity: takeoff.Error,
		Message: fmt.Sprintf("%d circuits of kind %s serve these levels and %d are needed: add %s, or write circuits: auto in the row of %s", len(specs), s.spec.Kind, len(routes), measure.Count(over, "row"), s.spec.Name)}}
}
