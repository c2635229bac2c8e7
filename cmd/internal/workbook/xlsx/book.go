// Package xlsx makes a workbook of plain values: cells in which a formula stands
// beside the value that it must come to, so that a preview shows numbers too,
// sheets with what stands around their cells, and names. Same book, same bytes.
//
// The file is streamed, because only streaming keeps a value beside a formula.
// Views, page set-up, checks, conditional formats, charts and pictures are set
// before streaming starts: set afterwards they are lost without an error.
package xlsx

import (
	"fmt"
	"strings"
	"time"
)

// Book is the file under construction: its sheets in order, and names for cells.
type Book struct {
	Title      string    // in its properties
	Date       time.Time // in its properties; a fixed one where it is zero
	A4         bool      // paper; letter otherwise
	Head       string    // at the left of every page's head; the sheet's name stands at the right
	Foot, Note string    // at the left and in the middle of every page's foot; the page's number stands at the right

	Sheets []*Sheet
	names  []name
	taken  map[string]bool // sheet names, lower case
}

// name is a name for a cell or a range, which formulas read better with.
type name struct{ name, refersTo string }

// NewSheet starts a sheet with columns of the given widths.
func (f *Book) NewSheet(name string, widths ...float64) *Sheet {
	return &Sheet{Name: f.sheetName(name), widths: widths}
}

// sheetName makes a name that a sheet may have: no longer than 31 characters,
// without the characters that formulas need, and like no other's.
func (f *Book) sheetName(want string) string {
	clean := strings.Trim(strings.Map(func(r rune) rune {
		if strings.ContainsRune(`:\/?*[]`, r) || r < ' ' {
			return '-'
		}
		return r
	}, want), "' ")
	short := Cut(clean, 31)
	for i := 2; f.taken[strings.ToLower(short)] || short == ""; i++ {
		tail := fmt.Sprintf(" (%d)", i)
		short = Cut(clean, 31-len(tail)) + tail
	}
	if f.taken == nil {
		f.taken = map[string]bool{}
	}
	f.taken[strings.ToLower(short)] = true
	return short
}

// Cut shortens a text to at most n UTF-16 units, in which spreadsheets count.
func Cut(s string, n int) string {
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

// Define gives a cell a name of its own.
func (f *Book) Define(n string, r Ref) {
	f.names = append(f.names, name{n, r.There()})
}

// DefineSpan names the rows first to last of a column.
func (f *Book) DefineSpan(n string, s *Sheet, col, first, last int) {
	f.names = append(f.names, name{n, s.Span(col, first, last)})
}
