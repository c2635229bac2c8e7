package reconcile

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"loopwright/assign"
	"loopwright/cmd/internal/build"
	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/result"
	"loopwright/cmd/internal/returned"
	"loopwright/takeoff"
	"loopwright/takeoff/where"
)

// Run reads the files, holds them against the job and writes everything into
// dir and the ledger beside the job file, all or nothing.
func Run(j *job.Job, files []string, dir string, progress outcome.Progress) (Result, error) {
	step := progress.Part(0, outcome.StepsOfCompute+2)
	step("reading what came back", 0, 0)
	var sources []returned.Source
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
	built := filepath.Join(filepath.Dir(j.File), "out", result.FileName) // where build writes unless told otherwise
	o, err := outcome.ComputeKnowing(j, outcome.Known{Result: built}, progress.Part(1, outcome.StepsOfCompute+2))
	if err != nil {
		return Result{}, err
	}
	step("making the files", outcome.StepsOfCompute+1, 0)
	m, err := hold(o, sources)
	if err != nil {
		return Result{}, err
	}
	m.keep()
	// What differs from the ledger is a difference here, with its source.
	o.Findings = slices.DeleteFunc(o.Findings, func(f takeoff.Finding) bool { return f.Code == assign.CodeFoundOther })
	outs, err := m.outputs()
	if err != nil {
		return Result{}, err
	}
	r := m.result(outs)
	var b bytes.Buffer
	if err := result.WriteJSON(&b, r); err != nil {
		return Result{}, err
	}
	r.Kept, err = build.WriteWithLedger(o, dir, recordName, append(outs, build.Output{Name: recordName, Data: b.Bytes()}), files)
	if err != nil {
		return Result{}, fmt.Errorf("nothing was written: %w", err)
	}
	return r, nil
}

// hold checks that the sources belong to the job and brings them together.
func hold(o *outcome.Outcome, sources []returned.Source) (*merger, error) {
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
		m.outcome.SetAsBuilt(s.ID, outcome.AsBuilt{Installed: s.installed(), Found: values(s.found), Serial: values(s.serial), Done: s.done(), Remark: strings.Join(s.notes, "\n")})
	}
}

// belongs refuses a file of another job: by its name, or where it has none,
// because it knows none of the job's devices and circuits.
func (m *merger) belongs(s returned.Source) error {
	if s.Job != "" && s.Job != m.outcome.Job.Name {
		return where.In(s.File, fmt.Errorf("%s belongs to the job %q, not to %q: nothing was written", s.File, s.Job, m.outcome.Job.Name))
	}
	if s.Job != "" || len(s.Entries)+len(s.Readings) == 0 {
		return nil
	}
	for _, r := range s.Entries {
		if m.at[r.ID] != nil {
			return nil
		}
	}
	for _, r := range s.Readings {
		if slices.ContainsFunc(m.outcome.Circuits, func(c outcome.Laid) bool { return c.Name == r.Circuit }) {
			return nil
		}
	}
	return where.In(s.File, fmt.Errorf("%s names no device or circuit of the job %q: it belongs to another job; nothing was written", s.File, m.outcome.Job.Name))
}

// tellApart names files of one name in different folders by their whole paths.
func tellApart(sources []returned.Source, files []string) {
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

// located are the differences as findings, with their places on the drawings.
func (m *merger) located() []takeoff.Finding {
	out := make([]takeoff.Finding, 0, len(m.diffs))
	for _, d := range m.diffs {
		f := takeoff.Finding{Code: d.Code, Severity: d.Severity, Message: d.Message}
		if s := m.at[d.ID]; s != nil && s.Drawing != "" {
			f.Drawing, f.Handle, f.At, f.Placed = s.Drawing, s.Handle, s.At, true
		}
		out = append(out, f)
	}
	return out
}
