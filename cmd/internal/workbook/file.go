package workbook

import (
	"fmt"
	"strings"
	"time"
)

// file is the file under construction: its sheets in order, and names for cells.
type file struct {
	title      string    // in its properties
	date       time.Time // in its properties; a fixed one where it is zero
	a4         bool      // paper; letter otherwise
	head       string    // at the left of every page's head; the sheet's name stands at the right
	foot, note string    // at the left and in the middle of every page's foot; the page's number stands at the right

	sheets []*sheet
	names  []name
	taken  map[string]bool // sheet names, lower case
}

// name is a name for a cell or a range, which formulas read better with.
type name struct{ name, refersTo string }

// newSheet starts a sheet with columns of the given widths.
func (f *file) newSheet(name string, widths ...float64) *sheet {
	return &sheet{name: f.sheetName(name), widths: widths}
}

// sheetName makes a name that a sheet may have: no longer than 31 characters,
// without the characters that formulas need, and like no other's.
func (f *file) sheetName(want string) string {
	clean := strings.Trim(strings.Map(func(r rune) rune {
		if strings.ContainsRune(`:\/?*[]`, r) || r < ' ' {
			return '-'
		}
		return r
	}, want), "' ")
	short := cut(clean, 31)
	for i := 2; f.taken[strings.ToLower(short)] || short == ""; i++ {
		tail := fmt.Sprintf(" (%d)", i)
		short = cut(clean, 31-len(tail)) + tail
	}
	if f.taken == nil {
		f.taken = map[string]bool{}
	}
	f.taken[strings.ToLower(short)] = true
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
func (f *file) define(n string, r ref) {
	f.names = append(f.names, name{n, r.there()})
}

// defineSpan names the rows first to last of a column.
func (f *file) defineSpan(n string, s *sheet, col, first, last int) {
	f.names = append(f.names, name{n, s.span(col, first, last)})
}
