package reconcile

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"loopwright/cmd/internal/build"
	"loopwright/cmd/internal/job"
	"loopwright/takeoff"
)

// Result is what reconciling comes to.
type Result struct {
	Job         string          `json:"job"`
	Sources     []SourceSum     `json:"sources"`
	Circuits    []CircuitSum    `json:"circuits"`
	Devices     []Device        `json:"devices"` // those that somebody has said something about
	Readings    []ReadingOut    `json:"readings"`
	Differences []Difference    `json:"differences"`
	Findings    []build.Finding `json:"findings"`
	Ledger      string          `json:"ledger"`
	Outputs     []string        `json:"outputs"`
}

// SourceSum is one source in numbers.
type SourceSum struct {
	File     string `json:"file"`
	Kind     Kind   `json:"kind"`
	Devices  int    `json:"devices"` // about which it says something
	Readings int    `json:"readings"`
}

// CircuitSum is one circuit in numbers.
type CircuitSum struct {
	Circuit   string `json:"circuit"`
	Devices   int    `json:"devices"`
	Done      int    `json:"done"`
	Confirmed int    `json:"addresses_as_planned"` // found, and as planned
	Other     int    `json:"addresses_other"`      // found, and not as planned
	Problems  int    `json:"problems"`
}

// Device is the as-built state of one device.
type Device struct {
	ID        string   `json:"id"`
	Circuit   string   `json:"circuit"`
	Order     int      `json:"order"`
	Address   int      `json:"address"`
	Found     []string `json:"found"` // more than one where sources contradict
	Installed bool     `json:"installed"`
	Done      string   `json:"done,omitempty"`
	Problem   bool     `json:"problem"`
	Serial    string   `json:"serial,omitempty"`
	Remark    string   `json:"remark,omitempty"`
	Sources   []string `json:"sources"`
}

// ReadingOut is one meter reading beside what was computed.
type ReadingOut struct {
	Circuit    string   `json:"circuit"`
	End        string   `json:"end"`
	Ohm        *float64 `json:"ohm"`
	Entered    string   `json:"entered"`
	Volt       string   `json:"volt,omitempty"`
	Computed20 float64  `json:"computed_20c_ohm,omitempty"`
	Computed   float64  `json:"computed_ohm,omitempty"`
	Limit      float64  `json:"limit_ohm,omitempty"`
	Verdict    string   `json:"verdict"`
	Initials   string   `json:"initials,omitempty"`
	Date       string   `json:"date,omitempty"`
	Source     string   `json:"source"`
}

// Run reads the files, holds them against the job and writes everything into
// dir and the ledger beside the job file, all or nothing.
func Run(j *job.Job, files []string, dir string, progress build.Progress) (Result, error) {
	var sources []Source
	var errs []error
	for _, f := range files {
		s, err := Read(f)
		errs = append(errs, err)
		sources = append(sources, s)
	}
	if err := errors.Join(errs...); err != nil {
		return Result{}, err
	}
	tellApart(sources, files)
	o, err := build.Compute(j, progress)
	if err != nil {
		return Result{}, err
	}
	m, err := hold(o, sources)
	if err != nil {
		return Result{}, err
	}
	m.keep()
	outs, err := m.outputs()
	if err != nil {
		return Result{}, err
	}
	if err := spared(dir, outs, append(slices.Clone(files), j.File)); err != nil {
		return Result{}, err
	}
	if err := o.WriteWithLedger(dir, outs); err != nil {
		return Result{}, fmt.Errorf("nothing was written: %w", err)
	}
	return m.result(outs), nil
}

// hold checks that the sources belong to the job and brings them together.
func hold(o *build.Outcome, sources []Source) (*merger, error) {
	m := newMerger(o, sources)
	for _, s := range sources {
		if err := m.belongs(s); err != nil {
			return nil, err
		}
	}
	m.merge()
	m.twice()
	m.contradictory()
	m.open()
	m.order()
	return m, nil
}

// keep puts the as-built state into the ledger that will be written.
func (m *merger) keep() {
	for _, s := range m.states {
		m.outcome.SetAsBuilt(s.ID, build.AsBuilt{Installed: s.installed(), Found: values(s.found), Serial: values(s.serial), Done: s.done(), Remark: strings.Join(s.notes, "\n")})
	}
}

// belongs refuses a file of another job: by its name, or where it has none,
// because it knows none of the job's devices and circuits.
func (m *merger) belongs(s Source) error {
	if s.Job != "" && s.Job != m.outcome.Job.Name {
		return fmt.Errorf("%s belongs to the job %q and not to %q: nothing was written", s.File, s.Job, m.outcome.Job.Name)
	}
	if s.Job != "" || len(s.Reports)+len(s.Readings) == 0 {
		return nil
	}
	for _, r := range s.Reports {
		if m.at[r.ID] != nil {
			return nil
		}
	}
	for _, r := range s.Readings {
		if slices.ContainsFunc(m.outcome.Circuits, func(c build.Laid) bool { return c.Name == r.Circuit }) {
			return nil
		}
	}
	return fmt.Errorf("%s knows no device and no circuit of the job %q: it belongs to another one; nothing was written", s.File, m.outcome.Job.Name)
}

// tellApart names files of one name in different folders by their whole paths.
func tellApart(sources []Source, files []string) {
	n := map[string]int{}
	for _, s := range sources {
		n[s.File]++
	}
	for i := range sources {
		if n[sources[i].File] > 1 {
			sources[i].File = filepath.ToSlash(files[i])
		}
	}
}

// spared refuses to write over a file that was read.
func spared(dir string, outs []build.Output, inputs []string) error {
	for _, in := range inputs {
		was, err := os.Stat(in)
		if err != nil {
			continue
		}
		for _, o := range outs {
			path := filepath.Join(dir, filepath.FromSlash(o.Name))
			if is, err := os.Stat(path); err == nil && os.SameFile(was, is) {
				return fmt.Errorf("%s is an input and would be written over: choose another folder with -o; nothing was written", in)
			}
		}
	}
	return nil
}

// order puts the differences gravest first, then along the circuits.
func (m *merger) order() {
	rank := map[string]int{}
	for i, c := range m.outcome.Circuits {
		rank[c.Name] = i
	}
	slices.SortStableFunc(m.diffs, func(a, b Difference) int {
		if a.Severity != b.Severity {
			return int(b.Severity) - int(a.Severity)
		}
		if a.Circuit != b.Circuit {
			return rank[a.Circuit] - rank[b.Circuit]
		}
		return m.walkOrder(a.ID) - m.walkOrder(b.ID)
	})
}

func (m *merger) walkOrder(id string) int {
	if s := m.at[id]; s != nil {
		return s.Order
	}
	return 0
}

// findings are the differences as findings, with their places on the drawings.
func (m *merger) findings() []build.Finding {
	out := make([]build.Finding, 0, len(m.diffs))
	for _, d := range m.diffs {
		f := build.Finding{Code: d.Code, Severity: d.Severity, Message: d.Message}
		if s := m.at[d.ID]; s != nil && s.Drawing != "" {
			x, y := s.At.X, s.At.Y
			f.Drawing, f.Handle, f.X, f.Y = s.Drawing, s.Handle, &x, &y
		}
		out = append(out, f)
	}
	return out
}

func (m *merger) result(outs []build.Output) Result {
	r := Result{Job: m.outcome.Job.Name, Differences: append([]Difference{}, m.diffs...), Findings: m.findings(),
		Devices: []Device{}, Readings: []ReadingOut{}, Outputs: []string{}, Ledger: build.LedgerPath(m.outcome.Job)}
	for _, s := range m.sources {
		sum := SourceSum{File: s.File, Kind: s.Kind, Readings: len(s.Readings)}
		for _, p := range s.Reports {
			if p.says() {
				sum.Devices++
			}
		}
		r.Sources = append(r.Sources, sum)
	}
	for _, s := range m.states {
		if d := s.out(); len(d.Sources) > 0 {
			r.Devices = append(r.Devices, d)
		}
	}
	r.Circuits = m.sums()
	for _, x := range m.readings {
		r.Readings = append(r.Readings, x.out())
	}
	for _, o := range outs {
		r.Outputs = append(r.Outputs, o.Name)
	}
	return r
}

func (s *state) out() Device {
	d := Device{ID: s.ID, Circuit: s.Circuit, Order: s.Order, Address: s.Address, Found: []string{}, Installed: s.installed(), Done: s.done(),
		Problem: len(s.problem) > 0, Serial: values(s.serial), Remark: strings.Join(s.notes, "\n"), Sources: append([]string{}, s.sources...)}
	for _, f := range s.found {
		d.Found = append(d.Found, f.value)
	}
	return d
}

func (x *metered) out() ReadingOut {
	r := ReadingOut{Circuit: x.Circuit, End: x.End, Entered: x.Ohm, Volt: x.Volt, Computed20: x.at20, Computed: x.hot, Limit: x.limit,
		Verdict: x.verdict, Initials: x.Initials, Date: x.Date, Source: x.source}
	if x.known {
		ohm := x.ohm
		r.Ohm = &ohm
	}
	return r
}

// sums counts the devices of each circuit that is their own; those on none come last.
func (m *merger) sums() []CircuitSum {
	out := []CircuitSum{}
	at := map[string]int{}
	for _, c := range m.outcome.Circuits {
		at[c.Name] = len(out)
		out = append(out, CircuitSum{Circuit: c.Name})
	}
	for _, s := range m.states {
		i, ok := at[s.Circuit]
		if !ok {
			i = len(out)
			at[s.Circuit] = i
			out = append(out, CircuitSum{Circuit: s.Circuit})
		}
		c := &out[i]
		c.Devices++
		if s.installed() {
			c.Done++
		}
		if len(s.problem) > 0 {
			c.Problems++
		}
		if len(s.found) == 1 && s.found[0].value == strconv.Itoa(s.Address) {
			c.Confirmed++
		} else if len(s.found) > 0 {
			c.Other++
		}
	}
	return out
}

// Standing reports whether a finding of severity error stands.
func (r Result) Standing() bool {
	return slices.ContainsFunc(r.Findings, func(f build.Finding) bool { return f.Severity == takeoff.Error })
}
