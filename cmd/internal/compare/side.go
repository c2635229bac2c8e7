// Package compare sets two revisions against each other, jobs or drawings: what
// came, went, moved, changed its type or its address, and what that costs.
package compare

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"loopwright/cmd/internal/build"
	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/takeoff"
	"loopwright/takeoff/dxf"
	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/inspect"
	"loopwright/takeoff/measure"
	"loopwright/takeoff/recognize"
	"loopwright/takeoff/words"
)

// Side is one of the two revisions.
type Side struct {
	file string
	job  *job.Job         // nil for a drawing
	out  *outcome.Outcome // nil for a drawing
	take takeoff.Result
}

// Units are those in which the side's people read lengths: as the job has it, or as a
// drawing without one is drawn.
func (s Side) Units() measure.System {
	if s.job != nil {
		return s.job.Report
	}
	for _, l := range s.take.Levels {
		for _, sh := range l.Sheets {
			if strings.HasSuffix(sh.Units, "m") { // mm, cm, dm, m, km
				return measure.Metric
			}
		}
	}
	return measure.Imperial
}

// ErrMixed says that a job was set against a drawing.
var ErrMixed = errors.New("compare two jobs or two drawings, not one of each")

// Load reads both revisions: two job files, or two DXF drawings, which are read in
// the units given, in their own where that is "". A new job that
// has no ledger yet is numbered as the next revision of the old one.
func Load(oldFile, newFile, units string, progress outcome.Progress) (old, fresh Side, err error) {
	switch a, b := isDrawing(oldFile), isDrawing(newFile); {
	case a != b:
		return old, fresh, ErrMixed
	case a:
		return loadDrawings(oldFile, newFile, units)
	}
	if old, err = loadJob(oldFile); err != nil {
		return old, fresh, err
	}
	first, second := progress.Part(0, 2*outcome.StepsOfCompute), progress.Part(outcome.StepsOfCompute, 2*outcome.StepsOfCompute)
	if old.out, err = outcome.Compute(old.job, first); err != nil {
		return old, fresh, fmt.Errorf("%s: %w", oldFile, err)
	}
	if fresh, err = loadJob(newFile); err != nil {
		return old, fresh, err
	}
	if _, err = os.Stat(outcome.LedgerPath(fresh.job)); errors.Is(err, fs.ErrNotExist) {
		fresh.out, err = outcome.ComputeAfter(fresh.job, old.out.Ledger(), second)
	} else {
		fresh.out, err = outcome.Compute(fresh.job, second)
	}
	if err != nil {
		return old, fresh, fmt.Errorf("%s: %w", newFile, err)
	}
	old.take, fresh.take = old.out.Take, fresh.out.Take
	return old, fresh, nil
}

func isDrawing(file string) bool { return strings.EqualFold(filepath.Ext(file), ".dxf") }

func loadJob(file string) (Side, error) {
	j, err := job.Load(file)
	return Side{file: file, job: j}, err
}

// onlyLevel is the level that a drawing without a job shows.
const onlyLevel = "drawing"

// loadDrawings takes every block of two drawings for a device type of its own;
// where a legend names blocks, only those.
func loadDrawings(oldFile, newFile, units string) (old, fresh Side, err error) {
	var all, named []string
	for _, file := range []string{oldFile, newFile} {
		blocks, legend, err := blocksOf(file)
		if err != nil {
			return old, fresh, err
		}
		all, named = append(all, blocks...), append(named, legend...)
	}
	if len(named) > 0 {
		all = named
	}
	slices.Sort(all)
	var types []takeoff.DeviceType
	for _, b := range slices.Compact(all) {
		types = append(types, takeoff.DeviceType{Type: b, Match: []words.Match{{Block: b}}})
	}
	if old, err = takeDrawing(oldFile, units, types); err != nil {
		return old, fresh, err
	}
	fresh, err = takeDrawing(newFile, units, types)
	return old, fresh, err
}

func blocksOf(file string) (blocks, samples []string, err error) {
	d, err := edit.Open(file)
	if err != nil {
		return nil, nil, err
	}
	defer d.Close()
	s, err := d.Survey(dxf.SurveyOptions{})
	if err != nil {
		return nil, nil, err
	}
	for _, b := range s.Blocks {
		if b.Effective != "" && !strings.ContainsAny(b.Effective, "*?") { // an anonymous block is nobody's symbol
			blocks = append(blocks, b.Effective)
		}
	}
	legends, err := inspect.Legends(d)
	for _, b := range blocks {
		if recognize.Describe(legends, b) != "" {
			samples = append(samples, b)
		}
	}
	return blocks, samples, err
}

func takeDrawing(file, units string, types []takeoff.DeviceType) (Side, error) {
	s := Side{file: file}
	var err error
	s.take, err = takeoff.Take(takeoff.Request{Folder: filepath.Dir(file), Types: types,
		Plans: []takeoff.Plan{{Drawing: filepath.Base(file), Level: onlyLevel, Units: units}}})
	if err != nil {
		return s, fmt.Errorf("%w (without a job file, give --units)", err)
	}
	return s, nil
}

// path is where a drawing of a side lies.
func (s Side) path(drawing string) string {
	if s.job != nil {
		return s.job.Resolve(drawing)
	}
	return s.file
}

// inputs are the files that a side is read from.
func (s Side) inputs() []string {
	if s.job != nil {
		return build.Inputs(s.job)
	}
	return []string{s.file}
}
