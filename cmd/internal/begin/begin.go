// Package begin drafts a job file from drawings: every proposal stands in it
// with the reason for it, ready to be edited.
package begin

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/sourcegraph/conc/iter"

	"loopwright/takeoff"
	"loopwright/takeoff/words"
)

// Write drafts the job file of some drawings and writes it to path, where no
// file may stand yet: a job file holds decisions that nobody wants to lose. It
// returns in words what a person must settle before the job can be built or believed.
func Write(path string, drawings []string) (open []string, err error) {
	if _, err := os.Lstat(path); err == nil {
		return nil, fmt.Errorf("%s is there already and is not overwritten: name another file with -o, or move it away", path)
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
		return fmt.Errorf("%s is there already and is not overwritten: name another file with -o, or move it away", path)
	}
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%s: there is no folder %s: make it first", path, filepath.Dir(path))
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
	sheets, errs := make([]sheet, len(drawings)), make([]error, len(drawings))
	seen := map[string]bool{}
	for i, d := range drawings {
		sheets[i].name = relative(folder, d)
		if seen[sheets[i].name] {
			return nil, fmt.Errorf("%s is named twice", d)
		}
		seen[sheets[i].name] = true
	}
	iter.ForEachIdx(drawings, func(i int, d *string) { sheets[i].Inspection, errs[i] = takeoff.Inspect(*d) })
	if err := cmp.Or(errs...); err != nil {
		return nil, err
	}
	return newDraft(sheets), nil
}

// sheet is one drawing with what was found on it.
type sheet struct {
	name string
	*takeoff.Inspection
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
	level takeoff.FoundLevel
	why   string
}

// draft gathers what goes into the job file.
type draft struct {
	sheets []sheet
	plans  []plan // from the lowest level up
	metric bool
	kinds  []kind
	panel  string // block of the panel, "" if none was found
	// panelAt is the row that sets the panel down where a loose figure shows it, "" if none does.
	panelAt string
	risers  []string
	ask     []ask
	others  []use // blocks that nothing says are ours, by name
	// figures are rows about loose figures of which a person must say what they are.
	figures []string
}

// ask is a block that a person must say something about.
type ask struct {
	block  string
	attrib [2]string // tag and value, "" for none
	placed int
	layers []string
	legend string
}

func newDraft(sheets []sheet) *draft {
	d := &draft{sheets: sheets}
	d.stack()
	imperial := 0
	for _, s := range sheets {
		switch s.Units.Unit() {
		case "in", "ft", "yd":
			imperial++
		}
	}
	d.metric = 2*imperial < len(sheets)
	d.sortBlocks()
	return d
}

// stack puts the levels of all drawings in order, the lowest first. A level
// without a title is named after its file.
func (d *draft) stack() {
	type placed struct {
		plan
		order int
	}
	var all []placed
	for i, s := range d.sheets {
		for _, l := range s.Levels {
			p := placed{plan{sheet: s, level: l, why: fmt.Sprintf("its title reads %q", l.Title)}, l.Order}
			if l.Name == "" {
				base := strings.TrimSuffix(filepath.Base(s.name), filepath.Ext(s.name))
				p.level.Name, p.order = base, 1000+i
				p.why = "named after its file: no title was found"
				if n, order, ok := words.Level(strings.NewReplacer("-", " ", "_", " ").Replace(base)); ok {
					p.level.Name, p.order, p.why = n, order, "read from the name of its file"
				}
			}
			all = append(all, p)
		}
	}
	slices.SortStableFunc(all, func(a, b placed) int { return a.order - b.order })
	for _, p := range all {
		d.plans = append(d.plans, p.plan)
	}
}
