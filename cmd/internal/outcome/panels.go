package outcome

import (
	"fmt"
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
			for i, p := range o.Job.Panels {
				if p.Panel == r.Panel {
					return o.Job.Complain(fmt.Sprintf("panels[%d].match", i), "circuit %s cannot be laid: %s", r.Circuit, o.Take.Missing(p.Panel))
				}
			}
		}
	}
	return nil
}
