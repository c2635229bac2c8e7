package outcome

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"loopwright/assign"
	"loopwright/assign/ledger"
	"loopwright/cmd/internal/commit"
	"loopwright/cmd/internal/job"
	"loopwright/takeoff"
)

// memory is what a job remembers of its earlier runs.
type memory struct {
	file string // path of the ledger; "" if nothing is to be written there
	was  []byte // the file as it was read; nil if there was none
	ledger.Recalled
	before before
}

// LedgerPath is where a job's ledger lies: beside the job file, under its name.
func LedgerPath(j *job.Job) string {
	return strings.TrimSuffix(j.File, filepath.Ext(j.File)) + ".ledger.csv"
}

// readLedger reads a job's ledger; data is the file as it stands, nil if there is
// none yet, missing how many of its rows it has lost. A damaged one is a *ledger.Damage.
func readLedger(j *job.Job) (l ledger.Ledger, data []byte, missing int, err error) {
	file := LedgerPath(j)
	data, err = os.ReadFile(file)
	if errors.Is(err, fs.ErrNotExist) {
		return l, nil, 0, nil
	}
	if err != nil {
		return l, nil, 0, err
	}
	l, missing, err = ledger.ParseShort(file, data)
	return l, data, missing, err
}

// recallKnowing reads the ledger and gives the devices their ids back.
func (o *Outcome) recallKnowing(known Known) error {
	l, data, missing, err := readLedger(o.Job)
	if err != nil {
		return err
	}
	o.memory.file, o.memory.was = LedgerPath(o.Job), data
	left, err := o.lost(l, missing, known)
	if err != nil {
		return err
	}
	o.remember(l)
	if err := o.replaced(l, left); err != nil {
		return err
	}
	o.memory.before, err = o.lookBack(l, data)
	return err
}

// remember takes a ledger as the outcome of the run before this one.
func (o *Outcome) remember(l ledger.Ledger) {
	l = o.renameType(l)
	o.memory.Recalled = l.Recall(o.Take.Devices)
	o.Take.Devices = o.memory.Devices
}

// renameType reads the rows of a type that the job has no more as those of the one type
// that is new in it: a job file in which a type was called otherwise exchanges no device.
func (o *Outcome) renameType(l ledger.Ledger) ledger.Ledger {
	held := map[string]bool{}
	for _, r := range l.Rows {
		held[r.Type] = true
	}
	var gone, come []string
	for t := range held {
		if !slices.ContainsFunc(o.Job.Types, func(x job.Type) bool { return x.Type == t }) {
			gone = append(gone, t)
		}
	}
	for _, t := range o.Job.Types {
		if !held[t.Type] && slices.ContainsFunc(o.Take.Devices, func(d takeoff.Device) bool { return d.Type == t.Type && d.Status == takeoff.Counted }) {
			come = append(come, t.Type)
		}
	}
	if len(gone) != 1 || len(come) != 1 {
		return l
	}
	l.Rows = slices.Clone(l.Rows)
	for i := range l.Rows {
		if l.Rows[i].Type == gone[0] {
			l.Rows[i].Type = come[0]
		}
	}
	o.Findings = append(o.Findings, takeoff.Finding{Code: assign.CodeTypeRenamed, Severity: takeoff.Warning,
		Message: fmt.Sprintf("the job has no type %s any more, and %s is new: its rows in %s are taken for type %s under another name; if the devices are to be exchanged, list both types", gone[0], come[0], filepath.Base(LedgerPath(o.Job)), come[0])})
	return l
}

// Ledger is the job's ledger after this run.
func (o *Outcome) Ledger() ledger.Ledger { return o.memory.Next(o.Devices, o.walks()) }

// Since tells in words what has changed since the run that wrote the ledger.
func (o *Outcome) Since() []string { return o.memory.Changes.Lines(o.Job.Report) }

// walks are the circuits as laid, with what is held of their addresses.
func (o *Outcome) walks() []assign.Walk {
	var levels []string
	for _, l := range o.Take.Levels {
		levels = append(levels, l.Name)
	}
	var walks []assign.Walk
	for _, c := range o.Circuits {
		w := assign.Walk{Circuit: c.Name, Kind: c.Kind, Devices: c.Devices, Addressing: c.Addressing, Levels: levels}
		w.Held = o.memory.Held(c.Name, c.Devices, o.hasCircuit)
		w.Retired = o.memory.Retired(c.Name)
		o.holdDrawn(&w, c.Row)
		walks = append(walks, w)
	}
	return walks
}

// hasCircuit tells the circuits that were laid.
func (o *Outcome) hasCircuit(name string) bool {
	return slices.ContainsFunc(o.Circuits, func(c Laid) bool { return c.Name == name })
}

// LedgerFiles are the ledger to be written with the deliverables: none if it stays
// as it is. A ledger that somebody has changed meanwhile is not written over.
func (o *Outcome) LedgerFiles() ([]commit.File, error) {
	file, data := o.memory.file, o.Ledger().Bytes()
	if file == "" {
		return nil, nil
	}
	if bytes.Equal(data, o.memory.was) {
		return nil, nil
	}
	now, err := os.ReadFile(file)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	if !bytes.Equal(now, o.memory.was) {
		return nil, fmt.Errorf("%s was changed while this run computed: run again", file)
	}
	files := []commit.File{{Path: file, Data: data}}
	if b := o.memory.before; b.fresh != nil {
		files = append(files, commit.File{Path: BeforePath(o.Job), Data: b.fresh})
	}
	return files, nil
}
