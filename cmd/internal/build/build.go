package build

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"slices"

	"github.com/sourcegraph/conc/iter"

	"loopwright/cmd/internal/commit"
	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/paper"
	"loopwright/takeoff"
)

// Run computes a job and writes its deliverables into dir and its ledger beside
// the job file, all together or none. No other run can come between.
func Run(j *job.Job, dir string, progress Progress) (Result, error) {
	s, err := commit.Open(dir, LedgerPath(j), BeforePath(j))
	if err != nil {
		return Result{}, fmt.Errorf("nothing was written: %w", err)
	}
	defer s.Close()
	if _, err := paper.Font(j); err != nil {
		return Result{}, err // before the long work, which would end with it
	}
	step := progress.Part(0, StepsOfCompute+2)
	o, err := Compute(j, step)
	if err != nil {
		return Result{}, err
	}
	step("making the files", StepsOfCompute, 0)
	outs, err := o.deliverables()
	if err != nil {
		return Result{}, err
	}
	names := []string{}
	for _, f := range outs {
		names = append(names, f.Name)
	}
	names = append(names, ResultName)
	r := o.Result(names)
	r.Sums = Sums(outs)
	var b bytes.Buffer
	if err := WriteJSON(&b, r); err != nil {
		return Result{}, err
	}
	files, err := placed(dir, append(outs, Output{ResultName, b.Bytes()}))
	if err != nil {
		return Result{}, err
	}
	step("writing", StepsOfCompute+1, 0)
	more, kept := readEarlier(dir, ResultName).spare(dir, files)
	if err := o.commit(s, append(files, more...), Inputs(o.Job)); err != nil {
		return Result{}, fmt.Errorf("nothing was written: %w", err)
	}
	r.Kept = kept
	return r, nil
}

// commit puts files and ledger in place.
func (o *Outcome) commit(s *commit.Session, files []commit.File, inputs []string) error {
	if err := sparesInputs(inputs, files); err != nil {
		return err
	}
	l, err := o.ledgerFile()
	if err != nil {
		return err
	}
	return s.Write(append(files, l...))
}

// deliverables makes every file but result.json, in two rounds: what drawing and
// printing find stands in the workbook and on the page too. Within a round files
// are made side by side, the longest work first. Drawings and documents bound by
// themselves how many of them are in work at once.
func (o *Outcome) deliverables() ([]Output, error) {
	var plans, sheets []Output
	var drawn, printed []takeoff.Finding
	err := sideBySide(
		func() error { plans, drawn = o.plans(); return nil },
		func() (err error) { sheets, printed, err = o.sheets(); return err })
	if err != nil {
		return nil, err
	}
	o.Findings = slices.Concat(o.Findings, drawn, printed)
	takeoff.SortFindings(o.Findings)
	var book, page, matrix Output
	var points bytes.Buffer
	err = sideBySide(
		func() (err error) { book, err = o.workbook(); return err },
		func() (err error) { page, err = o.fieldPage(); return err },
		func() error { matrix = Output{"matrix.csv", Table(o.Matrix.Table())}; return o.WritePoints(&points) })
	if err != nil {
		return nil, err
	}
	return slices.Concat([]Output{book}, plans, []Output{{"points.csv", points.Bytes()}, matrix}, sheets, []Output{page}), nil
}

// sideBySide runs steps that do not need each other.
func sideBySide(steps ...func() error) error {
	errs := make([]error, len(steps))
	every := iter.Iterator[func() error]{MaxGoroutines: len(steps)}
	every.ForEachIdx(steps, func(i int, step *func() error) { errs[i] = (*step)() })
	return cmp.Or(errs...)
}

// sheets are the documents that people carry on site.
func (o *Outcome) sheets() ([]Output, []takeoff.Finding, error) {
	w := paper.Work{Job: o.Job, Take: o.Take, Devices: o.Devices}
	for _, c := range o.Circuits {
		w.Circuits = append(w.Circuits, paper.Laid{Circuit: c.Circuit, Proof: c.Proof, Added: c.Survival.Added, Addressing: c.Addressing})
	}
	files, fs, err := paper.Documents(w)
	var outs []Output
	for _, f := range files {
		outs = append(outs, Output{f.Name, f.PDF})
	}
	return outs, fs, err
}

// WriteJSON writes v indented by one blank, without HTML escapes, with a final line end.
func WriteJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	return enc.Encode(v)
}
