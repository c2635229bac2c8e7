// Package outcome runs the stages of a job, in the order in which compute.go
// reads, and holds what they made of it: the devices with their addresses, each
// circuit as laid, proved and addressed, the batteries, the findings. Every
// writer takes an Outcome and changes nothing in it.
//
// What a job remembers of its earlier runs is the ledger beside the job file:
// devices keep their ids, circuits and addresses by it (ledger.go, keep.go), and
// the issue before tells what the drawings changed (changes.go).
package outcome

import (
	"cmp"
	"path/filepath"
	"slices"

	"loopwright/assign"
	"loopwright/assign/ledger"
	"loopwright/assign/matrix"
	"loopwright/cmd/internal/job"
	"loopwright/route"
	"loopwright/takeoff"
	"loopwright/takeoff/parallel"
)

// Outcome is what the stages made of a job, before anything is written.
type Outcome struct {
	Job      *job.Job
	Take     takeoff.Result
	Circuits []Laid
	Devices  []assign.Numbered
	Battery  []Battery
	Supplies []Supply // of every panel
	Matrix   matrix.Matrix
	Findings []takeoff.Finding
	Changes  *Changes // since the issue before; nil for the first
	// PrintAgain are the devices whose papers have changed since the ledger that a person named; nil if none was.
	PrintAgain map[string]bool

	memory memory
}

// Laid is one circuit with its proof and its addresses.
type Laid struct {
	route.Circuit
	Proof      route.Proof
	With       *route.Proof      // with the isolators to add; nil where there are none or their type is not known
	Survival   route.Survival    // of an SLC
	Limits     route.FaultLimits // what one short may cost it; of an SLC
	Together   route.Alongside   // where two stretches of the loop lie side by side
	Addressing assign.Addressing
}

// Progress is told what is begun; done of total steps are behind it.
type Progress func(what string, done, total int)

// StepsOfCompute is how many steps Compute tells of.
const StepsOfCompute = 3

// Part is the progress of a part of some work of total steps, of which done are
// behind when the part begins. It may be called on nil.
func (p Progress) Part(done, total int) Progress {
	if p == nil {
		return func(string, int, int) {}
	}
	return func(what string, d, _ int) { p(what, done+d, total) }
}

// Compute runs every stage of a job and writes nothing. An error means that the
// job cannot be computed at all; what a person must know otherwise is a finding.
func Compute(j *job.Job, progress Progress) (*Outcome, error) {
	return ComputeKnowing(j, Known{}, progress)
}

// ComputeKnowing is Compute where more is known of earlier runs than the ledger: what
// it has lost, or would lose, is an error unless it is the number that a person gives up.
func ComputeKnowing(j *job.Job, known Known, progress Progress) (*Outcome, error) {
	o, err := compute(j, progress, func(o *Outcome) error { return o.recallKnowing(known) })
	if err != nil {
		return nil, err
	}
	return o, o.printSince(known.Since)
}

// ComputeAfter is Compute with a ledger in place of the one beside the job file.
func ComputeAfter(j *job.Job, l ledger.Ledger, progress Progress) (*Outcome, error) {
	return compute(j, progress, func(o *Outcome) error {
		o.remember(l)
		return nil
	})
}

func compute(j *job.Job, progress Progress, recall func(*Outcome) error) (*Outcome, error) {
	step := func(what string, done int) {
		if progress != nil {
			progress(what, done, StepsOfCompute)
		}
	}
	o := &Outcome{Job: j}
	step("reading drawings", 0)
	take, err := takeoff.Take(request(j))
	if err != nil {
		return nil, err
	}
	o.Take = take
	o.Findings = append(o.Findings, take.Findings...)
	if err := recall(o); err != nil {
		return nil, err
	}
	step("laying circuits", 1)
	if err := o.lay(); err != nil {
		return nil, err
	}
	if o.Battery, err = o.batteries(); err != nil {
		return nil, err
	}
	step("numbering", 2)
	o.number()
	o.mistakes()
	o.locate()
	takeoff.SortFindings(o.Findings)
	o.Changes = o.changes()
	return o, nil
}

// lay divides the devices among the circuits, lays each and proves it.
func (o *Outcome) lay() error {
	types := o.Job.DeviceTypes()
	groups, fs := assign.Divide(o.Take.Devices, types, rows(o.Job))
	o.Findings = append(o.Findings, fs...)
	if err := o.panelsFound(groups); err != nil {
		return err
	}
	b := o.building()
	opt := options(o.Job)
	var parts []route.Part
	for _, g := range groups {
		split, fs, err := o.split(b, g, opt)
		if err != nil {
			return err
		}
		o.Findings = append(o.Findings, fs...)
		parts = join(parts, split)
	}
	if err := o.layAll(b, parts, types, opt); err != nil {
		return err
	}
	o.Findings = append(o.Findings, o.doubts()...)
	return nil
}

// layAll lays the circuits side by side and keeps them in the order of the parts.
func (o *Outcome) layAll(b route.Building, parts []route.Part, types []takeoff.DeviceType, opt route.Options) error {
	laid, findings := make([]Laid, len(parts)), make([][]takeoff.Finding, len(parts))
	errs := make([]error, len(parts))
	parallel.For(len(parts), func(i int) { laid[i], findings[i], errs[i] = o.layOne(b, parts[i], types, opt) })
	if err := cmp.Or(errs...); err != nil {
		return err
	}
	o.Circuits = append(o.Circuits, laid...)
	o.Findings = append(o.Findings, slices.Concat(findings...)...)
	o.Findings = append(o.Findings, o.onceForAll(b)...)
	return nil
}

// join adds parts to those of earlier groups: a row that serves one level alone
// and another together with a second row gets devices from both groups.
func join(parts, more []route.Part) []route.Part {
	for _, m := range more {
		i := slices.IndexFunc(parts, func(p route.Part) bool { return p.Name == m.Name })
		if i < 0 {
			parts = append(parts, m)
			continue
		}
		parts[i].Devices = append(slices.Clone(parts[i].Devices), m.Devices...)
	}
	return parts
}

func (o *Outcome) layOne(b route.Building, p route.Part, types []takeoff.DeviceType, opt route.Options) (Laid, []takeoff.Finding, error) {
	prefer := o.memory.Order(p.Name)
	if len(prefer) > 0 {
		opt.Near = max(opt.Near, o.Job.Route.Keep)
	}
	c, fs, err := route.Lay(b, p.Spec, p.Devices, prefer, opt)
	if err != nil {
		return Laid{}, nil, err
	}
	proof, more, err := route.Prove(b, c, p.Devices)
	if err != nil {
		return Laid{}, nil, err
	}
	fs = append(fs, more...)
	l := Laid{Circuit: c, Proof: proof, Addressing: addressing(o.Job, p.Row)}
	if f, ok := o.unjudged(l, p.Devices); ok {
		fs = append(fs, f)
	}
	more, err = o.survive(b, &l, p.Devices)
	return l, append(fs, more...), err
}

// number gives the devices their addresses along the circuits as laid.
func (o *Outcome) number() {
	types := o.Job.DeviceTypes()
	devices, fs := assign.Number(o.Take.Devices, types, o.walks())
	o.Devices = devices
	o.setOptions()
	o.Findings = append(o.Findings, fs...)
	o.Findings = append(o.Findings, assign.CheckEvents(types)...)
	o.Findings = append(o.Findings, o.Ledger().Findings(filepath.Base(LedgerPath(o.Job)))...)
	o.Findings = append(o.Findings, o.memory.Doubts(filepath.Base(LedgerPath(o.Job)), o.Job.Report, o.hasCircuit)...)
	o.doubtDrawn()
	o.Matrix = matrix.Make(o.Walked(), types, o.Job.Matrix, o.zones())
	o.Findings = append(o.Findings, o.Matrix.Findings()...)
}

func options(j *job.Job) route.Options {
	r, w := j.Route, j.Route.Weights
	opt := route.Options{
		Along: route.Along(r.Along), Near: r.Near, Branch: route.Branch(r.BranchAt), Seed: route.Usual.Seed,
		Weights: route.Weights{LevelChange: w.LevelChange, Wall: w.Wall, RatedWall: w.RatedWall}, Rated: w.RatedWalls, Saving: w.Corridor,
		Allow: route.Allowance{Device: j.Allowances.Device, Panel: j.Allowances.Panel, Waste: j.Allowances.Waste},
	}
	if opt.Saving > 0 {
		opt.Corridors = w.Corridors
	}
	return opt
}
