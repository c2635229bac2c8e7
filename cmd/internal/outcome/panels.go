package outcome

import (
	"slices"

	"loopwright/assign"
	"loopwright/takeoff"
)

// panelsFound refuses a job of which a circuit with devices has its panel on no
// plan: nothing can be laid from there. The takeoff has said why.
func (o *Outcome) panelsFound(groups []assign.Group) error {
	for _, g := range groups {
		for _, r := range g.Rows {
			found := func(s takeoff.Spot) bool { return s.Name == r.Panel }
			if slices.ContainsFunc(o.Take.Panels, found) {
				continue
			}
			if f, missing := o.Take.Missing(r.Panel); missing {
				return o.Job.Complain(f.Key, "circuit %s cannot be laid: %s", r.Circuit, f.Message)
			}
		}
	}
	return nil
}
