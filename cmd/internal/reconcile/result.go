package reconcile

import (
	"slices"
	"strconv"
	"strings"

	"loopwright/cmd/internal/build"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/returned"
	"loopwright/takeoff"
)

// Result is what reconciling comes to.
type Result struct {
	Job         string            `json:"job"`
	Sources     []SourceSum       `json:"sources"`
	Circuits    []CircuitSum      `json:"circuits"`
	Devices     []Device          `json:"devices"` // those that somebody has said something about
	Readings    []ReadingOut      `json:"readings"`
	Differences []Difference      `json:"differences"`
	Findings    []takeoff.Finding `json:"findings"`
	Ledger      string            `json:"ledger"`
	Outputs     []string          `json:"outputs"`
	// Sums are the SHA-256 sums of the outputs but reconcile.json, by name.
	Sums map[string]string `json:"sha256,omitempty"`
	// Kept tells of files in the folder that somebody had worked on.
	Kept []string `json:"-"`
}

// SourceSum is one source in numbers.
type SourceSum struct {
	File     string        `json:"file"`
	Kind     returned.Kind `json:"kind"`
	Devices  int           `json:"devices"` // about which it says something
	Readings int           `json:"readings"`
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
	Least      float64  `json:"computed_least_ohm,omitempty"` // of a module's own circuit: the resistor without wire
	Limit      float64  `json:"limit_ohm,omitempty"`
	Verdict    string   `json:"verdict"`
	Initials   string   `json:"initials,omitempty"`
	Date       string   `json:"date,omitempty"`
	Source     string   `json:"source"`
}

func (m *merger) result(outs []build.Output) Result {
	r := Result{Job: m.outcome.Job.Name, Differences: append([]Difference{}, m.diffs...), Findings: m.located(),
		Devices: []Device{}, Readings: []ReadingOut{}, Outputs: []string{}, Ledger: outcome.LedgerPath(m.outcome.Job)}
	for _, s := range m.sources {
		sum := SourceSum{File: s.File, Kind: s.Kind, Readings: len(s.Readings)}
		for _, p := range s.Entries {
			if p.Says() {
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
	r.Outputs = append(r.Outputs, recordName)
	r.Sums = build.Sums(outs)
	return r
}

// recordName is the file that tells about the others.
const recordName = "reconcile.json"

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
	if x.input {
		r.Computed20, r.Least = 0, x.at20
	}
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

// Standing reports whether a finding of severity error remains.
func (r Result) Standing() bool {
	return slices.ContainsFunc(r.Findings, func(f takeoff.Finding) bool { return f.Severity == takeoff.Error })
}
