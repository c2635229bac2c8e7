package workbook

import (
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"
)

// cell is one cell: a value, and the formula that comes to it if there is one.
type cell struct {
	formula string
	value   any // nil, string, float64 or int
	style   style
}

func text(s string) cell            { return cell{value: s} }
func number(v float64, f form) cell { return cell{value: v, style: style{form: f}} }
func whole(n int) cell              { return cell{value: n, style: style{form: formWhole}} }
func (c cell) as(r role) cell       { c.style.role = r; return c }
func (c cell) wrapped() cell        { c.style.wrap = true; return c }
func (c cell) atRight() cell        { c.style.right = true; return c }
func calc(f string, v any, m form) cell {
	return cell{formula: f, value: v, style: style{form: m}}
}

// entry is a number that the user may change; zero or less is shown as blank,
// because the job file means by it that nothing was given.
func entry(v float64, f form) cell {
	c := cell{style: style{form: f, role: roleInput}}
	if v > 0 {
		c.value = v
	}
	return c
}

// entryZero is a number that the user may change and that may be zero.
func entryZero(v float64, f form) cell {
	return cell{value: v, style: style{form: f, role: roleInput}}
}

// ref is a cell in its place, for formulas and for the values that they come to.
type ref struct {
	sheet    *sheet
	row, col int // from 1
}

// here is the reference within its own sheet, there from any other one.
func (r ref) here() string  { return at(r.col, r.row) }
func (r ref) fixed() string { return fmt.Sprintf("$%s$%d", column(r.col), r.row) }
func (r ref) there() string { return quoted(r.sheet.name) + "!" + r.fixed() }

func (r ref) cell() cell { return r.sheet.rows[r.row-1][r.col-1] }

// num returns the cell's number, and whether it is one.
func (r ref) num() (float64, bool) {
	switch v := r.cell().value.(type) {
	case float64:
		return v, true
	case int:
		return float64(v), true
	}
	return 0, false
}

// or0 returns the cell's number, zero for a blank or a text.
func (r ref) or0() float64 { v, _ := r.num(); return v }

func at(col, row int) string { return fmt.Sprintf("%s%d", column(col), row) }

func column(col int) string {
	name, err := excelize.ColumnNumberToName(col)
	if err != nil {
		panic(err) // columns are counted by this package: none is out of range
	}
	return name
}

// quoted is a sheet's name as formulas write it.
func quoted(name string) string { return "'" + strings.ReplaceAll(name, "'", "''") + "'" }

// sheet is one sheet under construction.
type sheet struct {
	name    string
	rows    [][]cell
	widths  []float64
	heights map[int]float64
	merges  []string

	head     int // row that repeats on every printed page and stays in view; 0 for none
	freeze   int // columns that stay in view
	table    string
	tableTo  ref // last cell of the table that starts at column A of the head row
	hidden   []int
	noGrid   bool
	checks   []check
	verdict  []string // ranges in which a text that begins with FAILS stands out
	charts   []placedChart
	picture  *placedPicture
	portrait bool
	large    bool // printed on twice the paper
}

// check is a rule for what may be typed into a range.
type check struct {
	where string
	whole bool
	least float64
	most  float64
	words []string
}

type placedPicture struct {
	at    string
	png   []byte
	alt   string
	scale float64
}

// next is the number of the row that add will write.
func (s *sheet) next() int { return len(s.rows) + 1 }

// add appends a row and returns the reference of its first cell.
func (s *sheet) add(cells ...cell) ref {
	s.rows = append(s.rows, cells)
	return ref{s, len(s.rows), 1}
}

// row is what stands in a row from its first column on.
func (s *sheet) row(n int) []cell { return s.rows[n-1] }

// extend puts cells behind those that a row has already.
func (s *sheet) extend(row int, cells ...cell) { s.rows[row-1] = append(s.rows[row-1], cells...) }

// set puts a cell into a row that is there already.
func (s *sheet) set(row, col int, c cell) {
	cells := s.rows[row-1]
	for len(cells) < col {
		cells = append(cells, cell{})
	}
	cells[col-1] = c
	s.rows[row-1] = cells
}

// right is the cell n columns further to the right.
func (r ref) right(n int) ref { return ref{r.sheet, r.row, r.col + n} }

// blank appends empty rows.
func (s *sheet) blank(n int) {
	for range n {
		s.add()
	}
}

// title appends the sheet's heading and what the sheet is for.
func (s *sheet) title(title string, notes ...string) {
	first := 1
	for s.isHidden(first) {
		first++
	}
	cells := make([]cell, first)
	cells[first-1] = text(title).as(roleTitle)
	s.height(s.add(cells...).row, 24)
	for _, n := range notes {
		s.note(n)
	}
	s.blank(1)
}

// section appends a heading with a line under it, over the sheet's whole width.
func (s *sheet) section(words string) {
	cells := make([]cell, max(1, len(s.widths)))
	for i := range cells {
		cells[i] = cell{}.as(roleSection)
	}
	cells[0].value = words
	s.height(s.add(cells...).row, 18)
}

// noteWidth is about how many characters of a note fit on a line of the sheet.
func (s *sheet) noteWidth() (chars float64) {
	for i, w := range s.widths {
		if !s.isHidden(i + 1) {
			chars += w
		}
	}
	return chars * 1.05
}

// note appends a line of plain words over the whole width, as high as it needs.
func (s *sheet) note(words string) { s.wide(words, roleNote) }

func (s *sheet) wide(words string, r role) {
	row := s.next()
	first := 1
	for s.isHidden(first) {
		first++
	}
	cells := make([]cell, max(first, len(s.widths)))
	for i := first - 1; i < len(cells); i++ {
		cells[i] = cell{}.as(r).wrapped()
	}
	cells[first-1].value = words
	s.add(cells...)
	if n := len(s.widths); n > first {
		s.merges = append(s.merges, at(first, row)+":"+at(n, row))
	}
	lines := 1 + int(float64(len([]rune(words)))/max(20, s.noteWidth()))
	s.height(row, float64(lines)*lineHeight+1)
}

// caution is note in a strong frame.
func (s *sheet) caution(words string) {
	s.wide(words, roleCaution)
	s.height(len(s.rows), s.heights[len(s.rows)]+8)
}

const lineHeight = 13.5 // points, of the body font

func (s *sheet) height(row int, points float64) {
	if s.heights == nil {
		s.heights = map[int]float64{}
	}
	s.heights[row] = points
}

// fit makes a row as high as words that wrap in a column need.
func (s *sheet) fit(row, col int, words string) {
	s.height(row, max(s.heights[row], float64(wrappedLines(words, s.widths[col-1]))*lineHeight+1))
}

func (s *sheet) isHidden(col int) bool {
	for _, h := range s.hidden {
		if h == col {
			return true
		}
	}
	return false
}

// header appends a row of column heads.
func (s *sheet) header(names ...string) ref {
	cells := make([]cell, len(names))
	lines := 1
	for i, n := range names {
		cells[i] = text(n).as(roleHead).wrapped()
		if i < len(s.widths) {
			lines = max(lines, wrappedLines(n, 0.88*s.widths[i])) // heads are bold
		}
	}
	r := s.add(cells...)
	s.height(r.row, float64(lines)*lineHeight+3)
	return r
}

// wrappedLines is about how many lines words take in a column of a width.
func wrappedLines(words string, width float64) int {
	lines, used := 1, 0.0
	width *= 1.1 // letters are narrower than the digits that widths are counted in
	for _, w := range strings.Fields(words) {
		n := float64(len([]rune(w)))
		if used > 0 && used+1+n > width-0.5 {
			lines++
			used = 0
		} else if used > 0 {
			used++
		}
		used += n
	}
	return lines
}

// column of a block: rows first to last of one column, as a fixed range.
func (s *sheet) span(col, first, last int) string {
	return fmt.Sprintf("%s!$%s$%d:$%s$%d", quoted(s.name), column(col), first, column(col), max(first, last))
}
