package xlsx

import (
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"
)

// Cell is one cell: a value, and the formula that comes to it if there is one.
type Cell struct {
	Formula string
	Value   any // nil, string, float64 or int
	Style   Style
}

func Text(s string) Cell            { return Cell{Value: s} }
func Number(v float64, f Form) Cell { return Cell{Value: v, Style: Style{Form: f}} }
func Whole(n int) Cell              { return Cell{Value: n, Style: Style{Form: FormWhole}} }
func (c Cell) As(r Role) Cell       { c.Style.Role = r; return c }
func (c Cell) Wrapped() Cell        { c.Style.wrap = true; return c }
func (c Cell) AtRight() Cell        { c.Style.right = true; return c }
func Calc(f string, v any, m Form) Cell {
	return Cell{Formula: f, Value: v, Style: Style{Form: m}}
}

// Entry is a number that the user may change; zero or less is shown as blank,
// because the job file means by it that nothing was given.
func Entry(v float64, f Form) Cell {
	c := Cell{Style: Style{Form: f, Role: RoleInput}}
	if v > 0 {
		c.Value = v
	}
	return c
}

// EntryZero is a number that the user may change and that may be zero.
func EntryZero(v float64, f Form) Cell {
	return Cell{Value: v, Style: Style{Form: f, Role: RoleInput}}
}

// Ref is a cell in its place, for formulas and for the values that they come to.
type Ref struct {
	Sheet    *Sheet
	Row, Col int // from 1
}

// Here is the reference within its own sheet, Fixed the same where the formula
// is copied, There from any other sheet.
func (r Ref) Here() string  { return At(r.Col, r.Row) }
func (r Ref) Fixed() string { return fmt.Sprintf("$%s$%d", Column(r.Col), r.Row) }
func (r Ref) There() string { return quoted(r.Sheet.Name) + "!" + r.Fixed() }

// Cell is what stands there.
func (r Ref) Cell() Cell { return r.Sheet.rows[r.Row-1][r.Col-1] }

// Num returns the cell's number, and whether it is one.
func (r Ref) Num() (float64, bool) {
	switch v := r.Cell().Value.(type) {
	case float64:
		return v, true
	case int:
		return float64(v), true
	}
	return 0, false
}

// Or0 returns the cell's number, zero for a blank or a text.
func (r Ref) Or0() float64 { v, _ := r.Num(); return v }

func At(col, row int) string { return fmt.Sprintf("%s%d", Column(col), row) }

func Column(col int) string {
	name, err := excelize.ColumnNumberToName(col)
	if err != nil {
		panic(err) // columns are counted by this package: none is out of range
	}
	return name
}

// quoted is a sheet's name as formulas write it.
func quoted(name string) string { return "'" + strings.ReplaceAll(name, "'", "''") + "'" }

// Sheet is one sheet under construction.
type Sheet struct {
	Name    string
	rows    [][]Cell
	widths  []float64
	heights map[int]float64
	merges  []string

	Head     int // row that repeats on every printed page and stays in view; 0 for none
	Freeze   int // columns that stay in view
	Table    string
	TableTo  Ref // last cell of the table that starts at column A of the head row
	Hidden   []int
	NoGrid   bool
	Checks   []Check
	Verdicts []string // ranges in which a text that begins with FAILS stands out
	charts   []placedChart
	Pictures []Picture
	Portrait bool
	Large    bool // printed on twice the paper
}

// Check is a rule for what may be typed into a range.
type Check struct {
	Where string
	Whole bool
	Least float64
	Most  float64
	Words []string
}

type Picture struct {
	At    string
	PNG   []byte
	Alt   string
	Scale float64
}

// Next is the number of the row that add will write.
func (s *Sheet) Next() int { return len(s.rows) + 1 }

// Add appends a row and returns the reference of its first cell.
func (s *Sheet) Add(cells ...Cell) Ref {
	s.rows = append(s.rows, cells)
	return Ref{s, len(s.rows), 1}
}

// Row is what stands in a row from its first column on.
func (s *Sheet) Row(n int) []Cell { return s.rows[n-1] }

// Ref is the cell in a row and a column, both from 1.
func (s *Sheet) Ref(row, col int) Ref { return Ref{s, row, col} }

// Extend puts cells behind those that a row has already.
func (s *Sheet) Extend(row int, cells ...Cell) { s.rows[row-1] = append(s.rows[row-1], cells...) }

// Set puts a cell into a row that is there already.
func (s *Sheet) Set(row, col int, c Cell) {
	cells := s.rows[row-1]
	for len(cells) < col {
		cells = append(cells, Cell{})
	}
	cells[col-1] = c
	s.rows[row-1] = cells
}

// Right is the cell n columns further to the right.
func (r Ref) Right(n int) Ref { return Ref{r.Sheet, r.Row, r.Col + n} }

// Blank appends empty rows.
func (s *Sheet) Blank(n int) {
	for range n {
		s.Add()
	}
}

// Title appends the sheet's heading and what the sheet is for.
func (s *Sheet) Title(title string, notes ...string) {
	first := 1
	for s.isHidden(first) {
		first++
	}
	cells := make([]Cell, first)
	cells[first-1] = Text(title).As(RoleTitle)
	s.Height(s.Add(cells...).Row, 24)
	for _, n := range notes {
		s.Note(n)
	}
	s.Blank(1)
}

// Section appends a heading with a line under it, over the sheet's whole width.
func (s *Sheet) Section(words string) {
	cells := make([]Cell, max(1, len(s.widths)))
	for i := range cells {
		cells[i] = Cell{}.As(roleSection)
	}
	cells[0].Value = words
	s.Height(s.Add(cells...).Row, 18)
}

// noteWidth is about how many characters of a note fit on a line of the sheet.
func (s *Sheet) noteWidth() (chars float64) {
	for i, w := range s.widths {
		if !s.isHidden(i + 1) {
			chars += w
		}
	}
	return chars * 1.05
}

// Note appends a line of plain words over the whole width, as high as it needs.
func (s *Sheet) Note(words string) { s.wide(words, RoleNote) }

func (s *Sheet) wide(words string, r Role) {
	row := s.Next()
	first := 1
	for s.isHidden(first) {
		first++
	}
	cells := make([]Cell, max(first, len(s.widths)))
	for i := first - 1; i < len(cells); i++ {
		cells[i] = Cell{}.As(r).Wrapped()
	}
	cells[first-1].Value = words
	s.Add(cells...)
	if n := len(s.widths); n > first {
		s.merges = append(s.merges, At(first, row)+":"+At(n, row))
	}
	lines := 1 + int(float64(len([]rune(words)))/max(20, s.noteWidth()))
	s.Height(row, float64(lines)*lineHeight+1)
}

// Caution is note in a strong frame.
func (s *Sheet) Caution(words string) {
	s.wide(words, roleCaution)
	s.Height(len(s.rows), s.heights[len(s.rows)]+8)
}

const lineHeight = 13.5 // points, of the body font

func (s *Sheet) Height(row int, points float64) {
	if s.heights == nil {
		s.heights = map[int]float64{}
	}
	s.heights[row] = points
}

// Fit makes a row as high as words that wrap in a column need.
func (s *Sheet) Fit(row, col int, words string) {
	s.Height(row, max(s.heights[row], float64(wrappedLines(words, s.widths[col-1]))*lineHeight+1))
}

func (s *Sheet) isHidden(col int) bool {
	for _, h := range s.Hidden {
		if h == col {
			return true
		}
	}
	return false
}

// Header appends a row of column heads.
func (s *Sheet) Header(names ...string) Ref {
	cells := make([]Cell, len(names))
	lines := 1
	for i, n := range names {
		cells[i] = Text(n).As(RoleHead).Wrapped()
		if i < len(s.widths) {
			lines = max(lines, wrappedLines(n, 0.88*s.widths[i])) // heads are bold
		}
	}
	r := s.Add(cells...)
	s.Height(r.Row, float64(lines)*lineHeight+3)
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

// Span is rows first to last of one column, as a fixed range.
func (s *Sheet) Span(col, first, last int) string {
	return fmt.Sprintf("%s!$%s$%d:$%s$%d", quoted(s.Name), Column(col), first, Column(col), max(first, last))
}
