package workbook

import (
	"slices"
	"strings"

	"loopwright/assign"
	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook/xlsx"
	"loopwright/takeoff"
	"loopwright/takeoff/measure"
)

// book is the workbook under construction: the file, the units in which it speaks,
// and the cells that one sheet takes from another.
type book struct {
	*xlsx.Book
	u units

	// Cells that other sheets refer to.
	set        settings
	typeTotal  map[string]xlsx.Ref // devices of a type, on all levels
	byCable    map[string]cableCells
	byCircuit  map[string]*circuitCells
	current    map[string]currentCells // of a type, and of a panel under its name with a leading blank
	excluded   xlsx.Ref
	counted    xlsx.Ref
	prices     *costTable
	labor      *costTable
	batteries  []batteryCells
	conduits   []conduitCells
	boxes      []boxCells
	resistors  xlsx.Ref
	boxless    xlsx.Ref          // devices for which no box is named
	inConduit  xlsx.Ref          // length of all conduit; without sheet where no cable is listed
	itemCounts []xlsx.Ref        // of the job's further items
	isolators  xlsx.Ref          // to add; without sheet where none was judged
	marks      map[string]string // id of a device -> its mark on the plan sheets
	parts      []legPart
	legKey     map[string]int    // of a circuit: the key of its first leg; the others follow
	legLength  map[int]float64   // installed length of a leg by key
	panels     map[string]string // of a circuit
	types      map[string]string // of a device
}

func newBook(o *outcome.Outcome) *book {
	j := o.Job
	f := &xlsx.Book{Title: j.Name + ": takeoff", Date: j.Date, A4: j.Report == measure.Metric, Head: j.Name, Foot: edition(j), Note: "An aid, not an approval"}
	b := &book{Book: f, u: unitsFor(j.Report),
		typeTotal: map[string]xlsx.Ref{}, byCable: map[string]cableCells{}, byCircuit: map[string]*circuitCells{},
		current: map[string]currentCells{}, marks: markDevices(o),
		legKey: map[string]int{}, legLength: map[int]float64{}, panels: map[string]string{}}
	for _, c := range o.Circuits {
		b.byCircuit[c.Name] = &circuitCells{}
		b.panels[c.Name] = c.Panel
	}
	return b
}

// edition is date and revision of a job as they stand at the foot of every page.
func edition(j *job.Job) string {
	words := ""
	if !j.Date.IsZero() {
		words = j.Date.Format("2006-01-02")
	}
	if r := j.Revision; r != "" {
		words = strings.TrimSpace(words + "  rev. " + xlsx.Cut(r, 30))
	}
	return words
}

// typeName is a type as people call it.
func typeName(t takeoff.DeviceType) string {
	if t.Name != "" {
		return t.Name
	}
	return t.Type
}

// panelsOf returns the panels that a device hangs on, that of its first circuit first.
func (b *book) panelsOf(d assign.Numbered) []string {
	var ps []string
	for _, c := range append([]string{d.Circuit}, d.Also...) {
		if p := b.panels[c]; p != "" && !slices.Contains(ps, p) {
			ps = append(ps, p)
		}
	}
	return ps
}

// exact is the test, in a formula over ranges, that a range holds the text of a
// cell: letter for letter, where comparing with criteria would take * and > in
// names from a drawing for operators.
func exact(span, cell string) string { return "EXACT(" + span + "," + cell + ")" }
