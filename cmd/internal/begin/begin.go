// Package begin drafts a job file from drawings: every proposal stands in it
// with the reason for it, ready to be edited.
package begin

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/inspect"
	"loopwright/takeoff/recognize"
	"loopwright/takeoff/where"
)

// Write drafts the job file of some drawings and writes it to path, where no
// file may stand yet: a job file holds decisions that nobody wants to lose. It
// returns in words what a person must settle before the job can be built or believed.
func Write(path string, drawings []string) (open []string, err error) {
	if _, err := os.Lstat(path); err == nil {
		return nil, where.In(path, fmt.Errorf("%s already exists and is not overwritten: name another file with -o, or rename the existing one", path))
	}
	dr, err := draftOf(filepath.Dir(path), drawings)
	if err != nil {
		return nil, err
	}
	return dr.open(), write(path, dr.text())
}

// write makes a file, all of it or none.
func write(path, text string) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if errors.Is(err, fs.ErrExist) {
		return where.In(path, fmt.Errorf("%s already exists and is not overwritten: name another file with -o, or rename the existing one", path))
	}
	if errors.Is(err, fs.ErrNotExist) {
		return where.In(path, fmt.Errorf("%s: no folder %s: create it first", path, filepath.Dir(path)))
	}
	if err != nil {
		return err
	}
	_, err = f.WriteString(text)
	if cerr := f.Close(); err == nil {
		err = cerr
	}
	if err != nil {
		os.Remove(path) // half a job file is worse than none
	}
	return err
}

func draftOf(folder string, drawings []string) (*draft, error) {
	sheets := make([]sheet, len(drawings))
	seen := map[string]bool{}
	for i, d := range drawings {
		sheets[i].name = relative(folder, d)
		if seen[sheets[i].name] {
			return nil, where.In(d, fmt.Errorf("%s is given twice", d))
		}
		seen[sheets[i].name] = true
	}
	found, look, err := inspect.Files(drawings)
	if err != nil {
		return nil, err
	}
	for i := range sheets {
		sheets[i].Contents = found[i]
	}
	return newDraft(sheets, look), nil
}

// sheet is one drawing with what was found on it.
type sheet struct {
	name string
	*inspect.Contents
}

func relative(folder, file string) string {
	a, err1 := filepath.Abs(folder)
	b, err2 := filepath.Abs(file)
	if err1 != nil || err2 != nil {
		return filepath.ToSlash(file)
	}
	r, err := filepath.Rel(a, b)
	if err != nil {
		return filepath.ToSlash(b)
	}
	return filepath.ToSlash(r)
}

// plan is one row under plans.
type plan struct {
	sheet sheet
	recognize.Plan
	index  int // of the plan among those recognised; -1 for a drawing on which none was
	bounds geom.Box
}

// draft gathers what goes into the job file.
type draft struct {
	sheets []sheet
	look   *recognize.Result
	datums []recognize.Datum // of the plans recognised
	plans  []plan            // from the lowest level up
	metric bool
	kinds  []kind
	panel  string // block of the panel, "" if none was found
	// panelAttrib is the attribute that tells the panel from other blocks of its name.
	panelAttrib [2]string
	// panelAt is the row that sets the panel down where a loose figure shows it, "" if none does.
	panelAt string
	risers  []string
	ask     []ask
	others  []use // blocks that nothing says are ours, by name
	// figures are rows about loose figures of which a person must say what they are.
	figures []string
	// heights are the lines of lettering that give a mounting height.
	heights []string
	notOurs []string        // rules and what they fit that is no device
	fates   map[int]fate    // by kind recognised
	named   map[string]fate // of blocks that no kind stands for
	account []recognize.AccountRow
	hidden  map[int]*hidden // by drawing
	apart   map[int]*apart  // by drawing
}

// ask is a block that a person must say something about.
type ask struct {
	block  string
	attrib [2]string // tag and value, "" for none
	placed int
	layers []string
}

func newDraft(sheets []sheet, look *recognize.Result) *draft {
	d := &draft{sheets: sheets, look: look, datums: look.Datums(), fates: map[int]fate{}, named: map[string]fate{}}
	d.stack()
	imperial := 0
	for _, s := range sheets {
		switch s.Units.Unit() {
		case "in", "ft", "yd":
			imperial++
		}
	}
	d.metric = 2*imperial < len(sheets)
	d.heights = heightNotes(look, d.metric)
	d.sort()
	d.accountFor()
	return d
}

// stack puts the plans of all drawings in order, the lowest first.
func (d *draft) stack() {
	for _, i := range d.look.InOrder() {
		p := d.look.Plans[i]
		d.plans = append(d.plans, plan{sheet: d.sheets[p.Page], Plan: p, index: i, bounds: d.look.Region(i)})
	}
	if len(d.plans) > 0 {
		return
	}
	for i, s := range d.sheets { // nothing hangs together anywhere: each drawing as a whole
		name, order, why := d.look.FileLevel(i)
		b := s.Levels[0].Box
		d.plans = append(d.plans, plan{sheet: s, index: -1, bounds: b,
			Plan: recognize.Plan{Page: i, Only: true, Box: b, Level: recognize.Level{Name: name, Order: order, Why: why}}})
	}
}
