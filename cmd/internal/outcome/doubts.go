package outcome

import (
	"fmt"
	"slices"
	"strings"

	"loopwright/route"
	"loopwright/takeoff"
	"loopwright/takeoff/measure"
)

// The codes of findings about what the job leaves out of its circuits.
const (
	CodeIdleRow    = "F412" // a row of circuits that serves nothing
	CodeUnwired    = "F413" // devices that hang on no circuit, as their type names none
	CodeUndeclared = "F414" // isolators that are not declared as such
	CodeUnused     = "F415" // walls or wiring that the job gives and does not use
)

// doubts are findings about what the job gives and no circuit uses, or counts and
// no circuit takes.
func (o *Outcome) doubts() []takeoff.Finding {
	count := map[string]int{}
	first := map[string]takeoff.Device{}
	for _, d := range o.Take.Devices {
		if d.Status != takeoff.Counted {
			continue
		}
		if count[d.Type]++; count[d.Type] == 1 {
			first[d.Type] = d
		}
	}
	var fs []takeoff.Finding
	for i, t := range o.Job.Types {
		if n := count[t.Type]; n > 0 {
			fs = append(fs, o.doubtType(i, n, first[t.Type])...)
		}
	}
	fs = append(fs, o.idleRows()...)
	fs = append(fs, o.longRuns()...)
	return append(fs, o.unused()...)
}

// doubtType is what row i of the types leaves open for its n devices.
func (o *Outcome) doubtType(i, n int, first takeoff.Device) (fs []takeoff.Finding) {
	t := o.Job.Types[i]
	given := func(key string) bool { return o.Job.Given(fmt.Sprintf("types[%d].%s", i, key)) }
	tell := func(code, format string, args ...any) {
		fs = append(fs, takeoff.Finding{Code: code, Severity: takeoff.Warning, Drawing: first.Drawing, Handle: first.Handle, At: first.At, Placed: first.Drawing != "",
			Message: fmt.Sprintf("type %s: ", t.Type) + fmt.Sprintf(format, args...)})
	}
	devices := measure.Count(n, "device")
	if len(t.WiredTo) == 0 && !given("wired_to") {
		tell(CodeUnwired, "%s, first %s, on no circuit, and no cable is counted: write wired_to: [nac], [power] or [slc]; or [] if nothing is wired to it", devices, first.ID)
	}
	named := strings.Contains(strings.ToLower(t.Type+" "+t.Name), "isolator")
	if named && !t.Isolates && !given("isolates") {
		tell(CodeUndeclared, "%s, first %s, counted as no isolator: write isolates: true, or false if it is none", devices, first.ID)
	}
	if t.Isolates && !given("addresses") && len(t.Points) == 0 && t.Addresses > 0 {
		tell(CodeUndeclared, "isolates, and each of its %s takes an address: write addresses: 1, or 0 for an isolator without one", devices)
	}
	return fs
}

// idleRows names the rows of circuits on which nothing hangs, and why.
func (o *Outcome) idleRows() []takeoff.Finding {
	var fs []takeoff.Finding
	for i, c := range o.Job.Circuits {
		if slices.ContainsFunc(o.Circuits, func(l Laid) bool { return l.Row == i && len(l.Devices) > 0 }) {
			continue
		}
		fs = append(fs, takeoff.Finding{Code: CodeIdleRow, Severity: takeoff.Warning,
			Message: fmt.Sprintf("circuit %s (panel %s) serves nothing: %s", c.Circuit, c.Panel, o.whyIdle(i))})
	}
	return fs
}

// whyIdle says why row i of the circuits has no devices.
func (o *Outcome) whyIdle(i int) string {
	row := rows(o.Job)[i]
	types := o.Job.DeviceTypes()
	on := func(kind takeoff.CircuitKind) func(takeoff.Device) bool {
		return func(d takeoff.Device) bool {
			k := slices.IndexFunc(types, func(t takeoff.DeviceType) bool { return t.Type == d.Type })
			return d.Status == takeoff.Counted && k >= 0 && types[k].On(kind)
		}
	}
	where := "the job"
	if len(row.Levels) > 0 {
		where = strings.Join(row.Levels, ", ")
	}
	ours := slices.DeleteFunc(slices.Clone(o.Take.Devices), func(d takeoff.Device) bool { return !on(row.Kind)(d) || !row.Serves(d.Level) })
	if len(ours) == 0 {
		return fmt.Sprintf("no device of %s is wired to %s; delete the row, or check levels and wired_to", where, row.Kind)
	}
	var others []string
	for k, r := range o.Job.Circuits {
		if k != i && r.Kind == row.Kind && slices.ContainsFunc(o.Circuits, func(l Laid) bool { return l.Row == k && len(l.Devices) > 0 }) {
			others = append(others, r.Circuit)
		}
	}
	return fmt.Sprintf("its %s fit on %s; delete the row, or give each row levels of its own", measure.Count(len(ours), "device"), strings.Join(others, " and "))
}

// longRuns names of each circuit the longest run between two neighbors that no reel holds.
func (o *Outcome) longRuns() []takeoff.Finding {
	var fs []takeoff.Finding
	u := o.Job.Report
	for _, c := range o.Circuits {
		longest := route.Leg{}
		for _, l := range c.Legs {
			if l.Length+l.Slack > longest.Length+longest.Slack {
				longest = l
			}
		}
		if run := longest.Length + longest.Slack; c.Cable.Reel > 0 && run > c.Cable.Reel {
			fs = append(fs, takeoff.Finding{Code: CodeReel, Severity: takeoff.Warning,
				Message: fmt.Sprintf("circuit %s: the run from %s to %s takes %s of cable %s, and a reel holds %s: it needs a splice or a longer reel", c.Name, longest.From, longest.To, u.Length(run, 0), c.Cable.Name, u.Length(c.Cable.Reel, 0))})
		}
	}
	return fs
}

// Pathway is what the job says of a circuit's pathway for the record: the marking of
// its cable and its level of survivability. Nothing judges it; "" where nothing is said.
func (o *Outcome) Pathway(l Laid) string {
	var parts []string
	for _, k := range o.Job.Cables {
		if k.Cable == l.Cable.Name && k.Marking != "" {
			parts = append(parts, k.Marking)
		}
	}
	if s := o.Job.Circuits[l.Row].Survivability; s != "" {
		parts = append(parts, "survivability level "+s)
	}
	return strings.Join(parts, ", ")
}

// unused says once what the plans give and the routes do not follow.
func (o *Outcome) unused() []takeoff.Finding {
	along := route.Along(o.Job.Route.Along)
	tell := func(layers []string, format string, args ...any) takeoff.Finding {
		return takeoff.Finding{Code: CodeUnused, Severity: takeoff.Warning, Message: fmt.Sprintf(format, append([]any{strings.Join(layers, ", ")}, args...)...)}
	}
	layers := func(of func(takeoff.Plan) []string) (all []string) {
		for _, p := range o.Job.Plans {
			for _, l := range of(p) {
				if !slices.Contains(all, l) {
					all = append(all, l)
				}
			}
		}
		return all
	}
	var fs []takeoff.Finding
	if len(o.Circuits) == 0 {
		return nil
	}
	if wires := layers(func(p takeoff.Plan) []string { return p.Wiring }); len(wires) > 0 && along != route.AlongWiring {
		fs = append(fs, tell(wires, "wiring on %s is drawn and not followed: circuits are laid along %s and may contradict it; write route: {along: wiring}, or take wiring out of plans", along))
	}
	if walls := layers(func(p takeoff.Plan) []string { return p.Walls }); len(walls) > 0 && !o.Job.Given("route.along") {
		fs = append(fs, tell(walls, "walls on %s are not used: circuits are laid along %s, through walls; write route: {along: walls}, or along: %s to keep it so", along, along))
	}
	return fs
}
