package reconcile

import (
	"strings"

	"loopwright/cmd/internal/build"
	"loopwright/cmd/internal/drafting"
	"loopwright/cmd/internal/outcome"
	"loopwright/takeoff"
	"loopwright/takeoff/dxf"
)

// asBuiltLayers stands before the kind in the names of the layers that found
// addresses stand on.
const asBuiltLayers = "ASBT-{kind}"

// asBuiltPlans writes texts, by device, onto layers of their own in a copy of
// every drawing that shows one of the devices. A drawing that cannot be edited
// is a finding.
func asBuiltPlans(o *outcome.Outcome, texts map[string]string) ([]build.Output, []takeoff.Finding) {
	bare := *o
	bare.Circuits = nil // where cable runs is no matter of found addresses
	var outs []build.Output
	var fs []takeoff.Finding
	taken := map[string]bool{}
	for _, name := range drafting.Drawings(o) {
		file := build.PlanName(name, taken)
		a, err := asBuiltPlan(&bare, name, texts)
		if err != nil {
			fs = append(fs, drafting.Refused(name, err))
			continue
		}
		fs = append(fs, a.Findings...)
		if len(a.Bytes) > 0 {
			outs = append(outs, build.Output{Name: file, Data: a.Bytes})
		}
	}
	return outs, fs
}

// asBuiltPlan is one drawing with nothing of ours but the texts; no bytes if it
// shows none of the devices.
func asBuiltPlan(o *outcome.Outcome, name string, texts map[string]string) (drafting.Annotated, error) {
	s, err := drafting.Compose(o, name)
	if err != nil {
		return drafting.Annotated{}, err
	}
	s.Layers = strings.ReplaceAll(s.Layers, "{kind}", asBuiltLayers)
	s.Attribute, s.Schedule, s.Riser = "", nil, nil
	for i := range s.Views {
		s.Views[i].Routes = nil
	}
	var marks []drafting.Mark
	for _, m := range s.Marks {
		if m.Text = texts[m.ID]; m.Text != "" {
			m.Kind = drafting.Address
			marks = append(marks, m)
		}
	}
	if s.Marks = marks; len(marks) == 0 {
		return drafting.Annotated{}, nil
	}
	d, err := dxf.Open(o.Job.Resolve(name))
	if err != nil {
		return drafting.Annotated{}, err
	}
	defer d.Close()
	return drafting.Annotate(d, s)
}
