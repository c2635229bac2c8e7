// Package workbook writes the takeoff as a spreadsheet that an estimator works
// in: counts, lengths, prices and proofs with live formulas, every formula with
// its value beside it so that a preview shows numbers too.
//
// Each sheet is a function of the outcome and of the book, which holds the cells
// that one sheet takes from another. Sheets are plain values first: a formula
// stands beside the value that it must come to, computed in Go by code other than
// the formula. Package xlsx then makes the file in one pass. The same outcome
// gives the same bytes.
//
// # Rules
//
//   - A figure that the job does not give is a blank framed cell and a flag,
//     never a zero.
//   - Names from a drawing are compared with EXACT inside SUMPRODUCT, never as a
//     criterion of COUNTIF, where *, > and 1 in a name would be operators.
//   - Rows that refer to one another (Voltage by leg, Faults by leg) carry no filter.
//   - The bid adds up in this order: material, sundries on it, tax on both, labor;
//     contingency on that, overhead on both, profit on all of it.
//   - Package back finds the sheets Devices and Loop by the heads of their
//     columns: renaming a head makes issued workbooks unreadable.
//
// # Tests
//
// LibreOffice computes every formula anew, and the result is compared cell by
// cell; new prices, hours, shares, limits and currents are typed in, and the whole
// workbook must then say what the program says of a job with those figures. The
// golden files are the sheets of a small job whose circuits are frozen, so that
// better routes change no golden file.
package workbook

import (
	"io"
	"slices"
	"strings"

	"loopwright/assign"
	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook/xlsx"
	"loopwright/takeoff"
	"loopwright/takeoff/measure"
)

// Write writes the workbook. An error means that nothing usable was written.
func Write(w io.Writer, o *outcome.Outcome) error {
	b, err := compose(o)
	if err != nil {
		return err
	}
	return b.Write(w)
}

// compose builds every sheet. They are built in the order in which they need
// one another's cells and stand in the order in which people read them.
func compose(o *outcome.Outcome) (*book, error) {
	b := newBook(o)
	settings := settingsSheet(b, o)
	devices := devicesSheet(b, o)
	counts := countsSheet(b, o)
	legs := legsSheet(b, o)
	cable := cableSheet(b, o)
	loop := loopSheet(b, o)
	battery := batterySheet(b, o)
	voltage, voltageLegs := voltageSheets(b, o)
	faults, faultLegs := faultsSheets(b, o)
	circuits := circuitsSheet(b, o)
	parts := partsSheet(b, o)
	conduit := conduitSheet(b, o)
	prices := pricesSheet(b, o)
	labor := laborSheet(b, o)
	account, err := accountSheet(b, o)
	if err != nil {
		return nil, err
	}
	plans, err := planSheets(b, o)
	if err != nil {
		return nil, err
	}
	summary := summarySheet(b, o)
	for _, x := range []*xlsx.Sheet{summary, settings, prices, labor, counts, cable, parts, conduit, devices, circuits, legs,
		loop, voltage, voltageLegs, battery, faults, faultLegs, changesSheet(b, o), findingsSheet(b, o), account, basisSheet(b, o)} {
		if x != nil {
			b.Sheets = append(b.Sheets, x)
		}
	}
	b.Sheets = append(b.Sheets, plans...)
	return b, nil
}

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
