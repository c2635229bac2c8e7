package reconcile

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/returned"
	"loopwright/takeoff"
)

// The codes of findings about what came back from site.
const (
	codeUnknown    = "F701" // a device that the job does not have
	codeCircuit    = "F702" // a device reported on a circuit that it is not on
	codeImpossible = "F703" // an address that cannot be set, or that the circuit does not have
	codeTwice      = "F704" // two devices that would answer to one address
	codeOther      = "F705" // an address found that is not the one planned
	codeContradict = "F706" // two sources that contradict one another
	codeOverLimit  = "F707" // measured ohms over the limit
	codeFar        = "F708" // measured ohms far from those computed
	codeUnreadable = "F709" // a value that cannot be understood
	codeStale      = "F710" // a source made from another state of the job
	codeProblem    = "F711" // a problem that somebody reports
	codeReplaced   = "F712" // a value in the ledger that a newer one replaces
	codeOpen       = "F713" // devices not reported as done
)

// Difference is one thing that is not as planned, or not as another source has it.
type Difference struct {
	Code     string           `json:"code"`
	Severity takeoff.Severity `json:"severity"`
	What     string           `json:"what"`
	Circuit  string           `json:"circuit"`
	ID       string           `json:"id"` // device, or end of a circuit
	Level    string           `json:"level,omitempty"`
	Room     string           `json:"room,omitempty"`
	Planned  string           `json:"planned"`
	Found    string           `json:"found"`
	Source   string           `json:"source"`
	Message  string           `json:"message"`
}

// merger brings the sources together.
type merger struct {
	outcome  *outcome.Outcome
	sources  []returned.Source
	states   []*state // every device that counts, in the order of the takeoff
	at       map[string]*state
	readings []*metered
	diffs    []Difference
}

func newMerger(o *outcome.Outcome, sources []returned.Source) *merger {
	m := &merger{outcome: o, sources: sources, at: map[string]*state{}}
	for _, d := range o.Devices {
		if d.Status != takeoff.Counted {
			continue
		}
		s := &state{Numbered: d, ticks: map[string]bool{}}
		was := o.AsBuilt(d.ID)
		s.before = was.Found
		s.restore(was.Done)
		if was.Installed && len(s.ticks) == 0 {
			s.ticks[returned.Done] = true
		}
		s.note(was.Remark)
		m.states = append(m.states, s)
		m.at[d.ID] = s
	}
	return m
}

// find records a difference about a device.
func (m *merger) find(code string, sev takeoff.Severity, what string, s *state, found, source, format string, args ...any) {
	planned := ""
	if s.Address > 0 {
		planned = strconv.Itoa(s.Address)
	}
	m.diffs = append(m.diffs, Difference{Code: code, Severity: sev, What: what, Circuit: s.Circuit, ID: s.ID, Level: s.Level, Room: s.Room,
		Planned: planned, Found: found, Source: source, Message: fmt.Sprintf(format, args...)})
}

// merge hears every source and then settles each device.
func (m *merger) merge() {
	for _, src := range m.sources {
		m.stale(src)
		for _, r := range src.Entries {
			if r.Says() {
				m.report(src, r)
			}
		}
		for _, r := range src.Readings {
			m.reading(src, r)
		}
		for _, r := range src.Remarks {
			m.diffs = append(m.diffs, Difference{Code: codeUnreadable, Severity: takeoff.Warning, What: "value", Source: src.File,
				Message: fmt.Sprintf("%s, %s: %s", src.File, r.Where, r.Text)})
		}
	}
	for _, s := range m.states {
		m.settle(s)
	}
}

// report hears what a source says about a device.
func (m *merger) report(src returned.Source, r returned.Entry) {
	s := m.at[r.ID]
	if s == nil {
		m.diffs = append(m.diffs, Difference{Code: codeUnknown, Severity: takeoff.Error, What: "device", Circuit: r.Circuit, ID: r.ID, Found: r.Found, Source: src.File,
			Message: fmt.Sprintf("%s, %s: the job has no device %s on a circuit; it says: %s", src.File, r.Where, r.ID, r.Words())})
		return
	}
	if !slices.Contains(s.sources, src.File) {
		s.sources = append(s.sources, src.File)
	}
	s.note(r.Note)
	if r.Serial != "" {
		s.serial = hear(s.serial, r.Serial, src.File)
	}
	if r.Problem {
		s.problem = append(s.problem, src.File)
	}
	own := r.Circuit == s.Circuit || r.Circuit == "" && !r.OnNone
	if !own && !slices.Contains(s.Also, r.Circuit) {
		m.find(codeCircuit, takeoff.Error, "circuit", s, r.Circuit, src.File, "%s: %s reports it on circuit %q and the job has it on %q; it says: %s", s.ID, src.File, r.Circuit, s.Circuit, r.Words())
		s.note(fmt.Sprintf("%s reports it on circuit %q: %s", src.File, r.Circuit, r.Words()))
		return
	}
	if own && r.Planned > 0 && r.Planned != s.Address {
		m.find(codeStale, takeoff.Warning, "planned address", s, strconv.Itoa(r.Planned), src.File, "%s: %s was made when address %d was planned, now it is %s: check what is set on the device", s.ID, src.File, r.Planned, none(s.Address))
	}
	if !own { // the tick is about its wires on a further circuit: the device itself is ticked on its own
		s.note(strings.TrimSpace(fmt.Sprintf("on %s: %s", r.Circuit, r.Words())))
		return
	}
	for _, t := range r.Ticks {
		s.ticks[t] = true
	}
	if len(r.Ticks) > 0 {
		s.date = max(s.date, r.Date)
	}
	if r.Found != "" {
		m.found(src, s, r)
	}
}

// found hears an address.
func (m *merger) found(src returned.Source, s *state, r returned.Entry) {
	n, ok := number(r.Found)
	if !ok {
		m.find(codeUnreadable, takeoff.Warning, "address", s, r.Found, src.File, "%s: %q in %s is not an address: write a whole number", s.ID, r.Found, src.File)
		s.note(fmt.Sprintf("found, as written: %s", r.Found))
		return
	}
	s.found = hear(s.found, strconv.Itoa(n), src.File)
}

// none writes an address, or that there is none.
func none(a int) string {
	if a == 0 {
		return "none"
	}
	return strconv.Itoa(a)
}

// settle looks at what was said about one device.
func (m *merger) settle(s *state) {
	was := m.outcome.AsBuilt(s.ID)
	switch {
	case len(s.found) == 0 && was.Found != "": // nobody speaks of it now: what was found stays found
		for v := range strings.SplitSeq(was.Found, ";") {
			if v = strings.TrimSpace(v); v != "" {
				s.found = hear(s.found, v, "the ledger")
			}
		}
	case was.Found != "" && was.Found != values(s.found):
		m.find(codeReplaced, takeoff.Note, "address", s, values(s.found), strings.Join(s.sources, ", "), "%s: the ledger had address %s as found, now it is %s", s.ID, was.Found, values(s.found))
		s.note("found before: " + was.Found)
	}
	if len(s.found) > 1 {
		m.find(codeContradict, takeoff.Error, "address", s, values(s.found), strings.Join(s.sources, ", "), "%s: the sources disagree on its address: %s; check the device", s.ID, quote(s.found))
	}
	m.settleSerial(s, was.Serial)
	if len(s.problem) > 0 {
		m.find(codeProblem, takeoff.Warning, "problem", s, "", strings.Join(s.problem, ", "), "%s: %s reports a problem: %s", s.ID, strings.Join(s.problem, " and "), orNone(strings.Join(s.notes, " / ")))
		for _, file := range s.problem {
			s.note("problem reported in " + file)
		}
	}
	m.possible(s)
}

func (m *merger) settleSerial(s *state, was string) {
	if len(s.serial) > 1 {
		m.find(codeContradict, takeoff.Warning, "serial", s, values(s.serial), strings.Join(s.sources, ", "), "%s: the sources give different serial numbers: %s", s.ID, quote(s.serial))
	}
	switch {
	case was == "":
	case len(s.serial) == 0:
		s.serial = []said{{was, []string{"the ledger"}}}
	case values(s.serial) != was:
		m.find(codeReplaced, takeoff.Note, "serial", s, values(s.serial), strings.Join(s.sources, ", "), "%s: the ledger had serial number %s, now it is %s", s.ID, was, values(s.serial))
		s.note("serial before: " + was)
	}
}

func orNone(s string) string {
	if s == "" {
		return "no note"
	}
	return s
}

// stale reports a source that was made from another revision.
func (m *merger) stale(src returned.Source) {
	if src.Kind == returned.Page && src.Revision != m.outcome.Job.Revision {
		m.diffs = append(m.diffs, Difference{Code: codeStale, Severity: takeoff.Warning, What: "revision", Planned: m.outcome.Job.Revision, Found: src.Revision, Source: src.File,
			Message: fmt.Sprintf("%s is from revision %q of the job, which is now at %q: devices that changed are listed one by one", src.File, src.Revision, m.outcome.Job.Revision)})
	}
}

// Codes lists the findings about what came back from site.
func Codes() []takeoff.Code {
	return []takeoff.Code{
		{Code: codeUnknown, Meaning: "a device or end is reported that the job does not have", Remedy: "add it to the drawing, or correct the report"},
		{Code: codeCircuit, Meaning: "a device is reported on a circuit that it is not on", Remedy: "find out on site which circuit it is on"},
		{Code: codeImpossible, Meaning: "an address is reported that cannot be set, or that the circuit does not have", Remedy: "read it again on site"},
		{Code: codeTwice, Meaning: "two devices would answer to one address", Remedy: "reset one of them"},
		{Code: codeOther, Meaning: "the address found is not the one planned", Remedy: "reset the device, or write the address found into the ledger"},
		{Code: codeContradict, Meaning: "two sources contradict each other", Remedy: "look at the device and correct one of them"},
		{Code: codeOverLimit, Meaning: "the ohms measured are over the limit", Remedy: "find the bad splice, or shorten the run"},
		{Code: codeFar, Meaning: "the ohms measured are far from those computed", Remedy: "look for what the message names"},
		{Code: codeUnreadable, Meaning: "a value cannot be understood", Remedy: "write it as the message says and hand the file back again"},
		{Code: codeStale, Meaning: "a source was made from another state of the job", Remedy: "check what is set on the device"},
		{Code: codeProblem, Meaning: "somebody reports a problem", Remedy: "read it and settle it"},
		{Code: codeReplaced, Meaning: "a newer value replaces one in the ledger", Remedy: "nothing; the old one is in the message"},
		{Code: codeOpen, Meaning: "devices are not reported as done", Remedy: "nothing while work goes on"},
	}
}
