package outcome

import (
	"fmt"
	"slices"
	"strings"

	"loopwright/cmd/internal/job"
	"loopwright/route"
	"loopwright/takeoff"
)

// unjudged says in one finding what of a circuit is not judged, as the job
// leaves the listing's figures blank; false where every figure is given.
func (o *Outcome) unjudged(l Laid, devices []takeoff.Device) (takeoff.Finding, bool) {
	var b blanks
	b.add(o.Job.BlankOfCircuit(l.Row), "")
	for i, t := range o.Job.Types {
		if l.Kind == takeoff.SLC && slices.ContainsFunc(devices, func(d takeoff.Device) bool { return d.Type == t.Type }) {
			b.add(o.Job.BlankOfInputs(i), " of "+t.Type)
		}
	}
	if len(b.parts) == 0 || len(l.Legs) == 0 {
		return takeoff.Finding{}, false
	}
	said := fmt.Sprintf("%s: %s", l.Name, b.String())
	if row := o.Job.Circuits[l.Row]; row.Auto && row.Kind != takeoff.SLC && !row.MaxCurrent.Known {
		said += "; without max_current nothing is split"
	}
	return takeoff.Finding{Code: route.CodeNoLimit, Severity: takeoff.Warning, Message: said}, true
}

// blanks gathers keys that are blank by what is not judged without them.
type blanks struct {
	parts []blankPart
	whose []string
}

type blankPart struct {
	what string
	keys []string
}

func (b *blanks) add(asks []job.Ask, of string) {
	for _, a := range asks {
		what := a.Unjudged + of
		i := slices.IndexFunc(b.parts, func(p blankPart) bool { return p.what == what })
		if i < 0 {
			i = len(b.parts)
			b.parts = append(b.parts, blankPart{what: what})
		}
		b.parts[i].keys = append(b.parts[i].keys, a.Key)
		if whose := a.Whose + "'s"; !slices.Contains(b.whose, whose) {
			b.whose = append(b.whose, whose)
		}
	}
}

// String is as in "loop resistance not judged: max_resistance is blank; take it
// from the panel's listing".
func (b *blanks) String() string {
	var parts []string
	n := 0
	for _, p := range b.parts {
		is := "is"
		if len(p.keys) > 1 {
			is = "are"
		}
		n += len(p.keys)
		parts = append(parts, fmt.Sprintf("%s not judged: %s %s blank", p.what, strings.Join(p.keys, " and "), is))
	}
	them := "it"
	if n > 1 {
		them = "them"
	}
	return fmt.Sprintf("%s; take %s from the %s listing", strings.Join(parts, "; "), them, strings.Join(b.whose, " and the "))
}
