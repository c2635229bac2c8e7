// Package build runs a job from its file to its deliverables: the writers in
// their order, and everything written together or not at all.
//
// No work of the user's is lost. result.json has the SHA-256 of every output, as
// reconcile.json and changes.json have for their commands; what one of the three
// knows is the program's own to all of them. A file that was changed since, a filled
// sheet or an edited workbook, is kept as NAME.changed-N.EXT before it is replaced;
// an output that the job no longer makes is removed if it is unchanged. A file that
// a run reads is never replaced.
package build

import (
	"bytes"
	"cmp"
	"fmt"
	"path/filepath"
	"slices"

	"loopwright/cmd/internal/commit"
	"loopwright/cmd/internal/fieldpage"
	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/paper"
	"loopwright/cmd/internal/result"
	"loopwright/cmd/internal/workbook"
	"loopwright/takeoff"
	"loopwright/takeoff/parallel"
)

// Run computes a job and writes its deliverables into dir and its ledger beside
// the job file, all together or none. No other run can come between. known is what
// a person says of earlier runs; its Result is the one in dir.
func Run(j *job.Job, dir string, known outcome.Known, progress outcome.Progress) (result.Result, error) {
	known.Result = filepath.Join(dir, result.FileName)
	s, err := commit.Open(dir, outcome.LedgerPath(j), outcome.BeforePath(j))
	if err != nil {
		return result.Result{}, fmt.Errorf("nothing was written: %w", err)
	}
	defer s.Close()
	if _, err := paper.Font(j); err != nil {
		return result.Result{}, err // before the long work, which would end with it
	}
	step := progress.Part(0, outcome.StepsOfCompute+2)
	o, err := outcome.ComputeKnowing(j, known, step)
	if err != nil {
		return result.Result{}, err
	}
	step("making the files", outcome.StepsOfCompute, 0)
	outs, err := deliverables(o)
	if err != nil {
		return result.Result{}, err
	}
	names := []string{}
	for _, f := range outs {
		names = append(names, f.Name)
	}
	names = append(names, result.FileName)
	r := result.Of(o, names)
	r.Sums = Sums(outs)
	var b bytes.Buffer
	if err := result.WriteJSON(&b, r); err != nil {
		return result.Result{}, err
	}
	files, err := placed(dir, append(outs, Output{result.FileName, b.Bytes()}))
	if err != nil {
		return result.Result{}, err
	}
	step("writing", outcome.StepsOfCompute+1, 0)
	more, kept := result.ReadEarlier(dir, result.FileName).Spare(dir, files)
	if err := commitAll(o, s, append(files, more...), Inputs(o.Job)); err != nil {
		return result.Result{}, fmt.Errorf("nothing was written: %w", err)
	}
	r.Kept = kept
	return r, nil
}

// commitAll puts files and ledger in place.
func commitAll(o *outcome.Outcome, s *commit.Session, files []commit.File, inputs []string) error {
	if err := sparesInputs(inputs, files); err != nil {
		return err
	}
	l, err := o.LedgerFiles()
	if err != nil {
		return err
	}
	return s.Write(append(files, l...))
}

// deliverables makes every file but result.json, in two rounds: what drawing and
// printing find stands in the workbook and on the page too. Within a round files
// are made side by side, the longest work first. Drawings and documents bound by
// themselves how many of them are in work at once.
func deliverables(o *outcome.Outcome) ([]Output, error) {
	var plans, papers []Output
	var drawn, printed []takeoff.Finding
	err := sideBySide(
		func() error { plans, drawn = drawPlans(o); return nil },
		func() (err error) { papers, printed, err = sheets(o); return err })
	if err != nil {
		return nil, err
	}
	o.Findings = slices.Concat(o.Findings, drawn, printed)
	takeoff.SortFindings(o.Findings)
	var book, page, points bytes.Buffer
	var matrix []byte
	err = sideBySide(
		func() error { return workbook.Write(&book, o) },
		func() error { return fieldpage.Write(&page, o) },
		func() error { matrix = Table(o.Matrix.Table()); return writePoints(&points, o) })
	if err != nil {
		return nil, err
	}
	return slices.Concat([]Output{{"takeoff.xlsx", book.Bytes()}}, plans,
		[]Output{{"points.csv", points.Bytes()}, {"matrix.csv", matrix}}, papers, []Output{{"field.html", page.Bytes()}}), nil
}

// sideBySide runs steps that do not need each other.
func sideBySide(steps ...func() error) error {
	errs := make([]error, len(steps))
	parallel.For(len(steps), func(i int) { errs[i] = steps[i]() })
	return cmp.Or(errs...)
}

// sheets are the documents that people carry on site.
func sheets(o *outcome.Outcome) ([]Output, []takeoff.Finding, error) {
	files, fs, err := paper.Documents(o)
	if err != nil {
		return nil, nil, err
	}
	again, err := paper.Again(o)
	var outs []Output
	for _, f := range slices.Concat(files, again) {
		outs = append(outs, Output{f.Name, f.PDF})
	}
	return outs, fs, err
}
