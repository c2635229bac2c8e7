package reconcile

import (
	"loopwright/cmd/internal/build"
	"loopwright/cmd/internal/drafting"
	"loopwright/cmd/internal/outcome"
	"loopwright/takeoff"
)

// asBuiltPlans writes texts, by device, onto layers of their own in a copy of
// every drawing that shows one of the devices. A drawing that cannot be edited
// is a finding.
func asBuiltPlans(o *outcome.Outcome, texts map[string]string) ([]build.Output, []takeoff.Finding) {
	var outs []build.Output
	var fs []takeoff.Finding
	taken := map[string]bool{}
	for _, name := range drafting.Drawings(o) {
		file := build.PlanName(name, taken)
		a, err := drafting.AsBuilt(o, name, texts)
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
