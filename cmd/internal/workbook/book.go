package workbook

import (
	"fmt"
	"slices"
	"strings"

	"loopwright/assign"
	"loopwright/cmd/internal/outcome"
	"loopwright/takeoff"
)

// book is the workbook under construction: its sheets, its names, and the cells
// that one sheet takes from another.
type book struct {
	in     *outcome.Outcome
	u      units
	sheets []*sheet
	names  []name
	taken  map[string]bool // sheet names, lower case

	// Cells that other sheets refer to.
	set        settings
	typeTotal  map[string]ref // devices of a type, on all levels
	byCable    map[string]cableCells
	byCircuit  map[string]*circuitCells
	current    map[string]currentCells // of a type, and of a panel under its name with a leading blank
	excluded   ref
	counted    ref
	prices     *costTable
	labor      *costTable
	batteries  []batteryCells
	conduits   []conduitCells
	boxes      []boxCells
	resistors  ref
	boxless    ref               // devices for which no box is named
	inConduit  ref               // length of all conduit; without sheet where no cable is listed
	itemCounts []ref             // of the job's further items
	isolators  ref               // to add; without sheet where none was judged
	marks      map[string]string // id of a device -> its mark on the plan sheets
	parts      []legPart
	letters    letters           // of the pictures
	pixels     []uint8           // of the last picture, to be used again
	legKey     map[string]int    // of a circuit: the key of its first leg; the others follow
	legLength  map[int]float64   // installed length of a leg by key
	panels     map[string]string // of a circuit
	types      map[string]string // of a device
}

// name is a name for a cell or a range, which formulas read better with.
type name struct{ name, refersTo string }

func newBook(in *outcome.Outcome) *book {
	b := &book{in: in, u: unitsFor(in.Job.Report), taken: map[string]bool{},
		typeTotal: map[string]ref{}, byCable: map[string]cableCells{}, byCircuit: map[string]*circuitCells{},
		current: map[string]currentCells{}, marks: map[string]string{},
		legKey: map[string]int{}, legLength: map[int]float64{}, panels: map[string]string{}}
	for _, c := range in.Circuits {
		b.byCircuit[c.Name] = &circuitCells{}
		b.panels[c.Name] = c.Panel
	}
	b.markDevices()
	return b
}

// newSheet starts a sheet with columns of the given widths.
func (b *book) newSheet(name string, widths ...float64) *sheet {
	return &sheet{name: b.sheetName(name), widths: widths}
}

// sheetName makes a name that a sheet may have: no longer than 31 characters,
// without the characters that formulas need, and like no other's.
func (b *book) sheetName(want string) string {
	clean := strings.Trim(strings.Map(func(r rune) rune {
		if strings.ContainsRune(`:\/?*[]`, r) || r < ' ' {
			return '-'
		}
		return r
	}, want), "' ")
	short := cut(clean, 31)
	for i := 2; b.taken[strings.ToLower(short)] || short == ""; i++ {
		tail := fmt.Sprintf(" (%d)", i)
		short = cut(clean, 31-len(tail)) + tail
	}
	b.taken[strings.ToLower(short)] = true
	return short
}

// cut shortens a text to at most n UTF-16 units, in which spreadsheets count.
func cut(s string, n int) string {
	used := 0
	for i, r := range s {
		k := 1
		if r > 0xFFFF {
			k = 2
		}
		if used+k > n {
			return s[:i]
		}
		used += k
	}
	return s
}

// define gives a cell a name of its own.
func (b *book) define(n string, r ref) {
	b.names = append(b.names, name{n, r.there()})
}

// defineSpan names the rows first to last of a column.
func (b *book) defineSpan(n string, s *sheet, col, first, last int) {
	b.names = append(b.names, name{n, s.span(col, first, last)})
}

// typeName is a type as people call it.
func (b *book) typeName(t takeoff.DeviceType) string {
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
