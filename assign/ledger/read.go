package ledger

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Damage is why a ledger is refused: the line, from 1, and what to do. A file
// that is refused is left alone.
type Damage struct {
	File    string
	Line    int
	Message string
}

// Error returns FILE:LINE: MESSAGE.
func (d *Damage) Error() string {
	return fmt.Sprintf("%s:%d: %s; correct the line, or restore the file from version control (nothing was written)", d.File, d.Line, d.Message)
}

// Parse reads a ledger. It takes what spreadsheets make of one (CRLF, a byte
// order mark, quotes, other orders of rows and columns), and refuses with a
// *Damage what it cannot be sure about, and one that has lost rows.
func Parse(file string, data []byte) (Ledger, error) {
	l, missing, err := ParseShort(file, data)
	if err == nil && missing > 0 {
		return Ledger{}, &Damage{file, 1, fmt.Sprintf("the ledger counts %d rows and has %d: %d lost, with their addresses", len(l.Rows)+missing, len(l.Rows), missing)}
	}
	return l, err
}

// ParseShort is Parse for a ledger that may have lost rows; it returns how many.
func ParseShort(file string, data []byte) (l Ledger, missing int, err error) {
	p := parser{file: file}
	rows, err := p.read(data)
	if err != nil {
		return Ledger{}, 0, err
	}
	if err := p.unique(rows); err != nil {
		return Ledger{}, 0, err
	}
	for _, r := range rows {
		l.Rows = append(l.Rows, r.Row)
	}
	l.sort()
	return l, max(0, p.count-len(rows)), nil
}

type parser struct {
	file  string
	cols  []*column
	count int // rows that the file says it has; 0 if it does not say
}

type lineRow struct {
	Row
	line int
}

func (p *parser) damage(line int, format string, args ...any) error {
	return &Damage{p.file, line, fmt.Sprintf(format, args...)}
}

func (p *parser) read(data []byte) ([]lineRow, error) {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	switch lines := bytes.Count(data, []byte("\n")); {
	case len(data) == 0:
		return nil, p.damage(1, "the ledger is empty")
	case !utf8.Valid(data):
		return nil, p.damage(1+bytes.Count(data[:firstInvalid(data)], []byte("\n")), "the text is not UTF-8: save it as CSV UTF-8")
	case data[len(data)-1] != '\n':
		return nil, p.damage(lines+1, "the file ends in the middle of a line: its end may be lost")
	}
	r := csv.NewReader(bytes.NewReader(data))
	r.ReuseRecord = true
	r.FieldsPerRecord = -1
	var rows []lineRow
	for {
		rec, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		var syntax *csv.ParseError
		if errors.As(err, &syntax) {
			return nil, p.damage(syntax.Line, "%v", syntax.Err)
		}
		if err != nil {
			return nil, err
		}
		line, _ := r.FieldPos(0)
		switch {
		case strings.HasPrefix(rec[0], counts):
			n, err := strconv.Atoi(strings.TrimSpace(rec[0][len(counts):]))
			if err != nil || n < 0 || n > most {
				return nil, p.damage(line, "the count of rows is %q: want a whole number, or no such line", rec[0][len(counts):])
			}
			p.count = max(p.count, n)
			continue
		case len(rec) == 1 && slices.ContainsFunc(merging, func(m string) bool { return strings.HasPrefix(rec[0], m) }):
			return nil, p.damage(line, "a merge left both versions here: keep the rows of both that hold, and take its marks out")
		case p.cols != nil && len(rec) != len(p.cols):
			return nil, p.damage(line, "the line has %d cells and the line of the columns %d", len(rec), len(p.cols))
		}
		if p.cols == nil {
			if err := p.head(rec, line); err != nil {
				return nil, err
			}
			continue
		}
		row, err := p.row(rec, line)
		if err != nil {
			return nil, err
		}
		rows = append(rows, lineRow{row, line})
	}
	if p.cols == nil {
		return nil, p.damage(1, "the first line does not name the columns")
	}
	return rows, nil
}

// counts is how the line begins that counts the rows; merging is what version
// control leaves where it could not merge.
const counts = "# rows: "

var merging = []string{"<<<<<<<", "=======", ">>>>>>>"}

func firstInvalid(data []byte) int {
	for i := 0; i < len(data); {
		r, n := utf8.DecodeRune(data[i:])
		if r == utf8.RuneError && n <= 1 {
			return i
		}
		i += n
	}
	return len(data)
}

// head reads the names of the columns.
func (p *parser) head(rec []string, line int) error {
	if len(rec) == 1 && strings.Contains(rec[0], ";") {
		return p.damage(line, "the cells are separated by semicolons: save it with commas")
	}
	p.cols = []*column{}
	for _, name := range rec {
		name = strings.ToLower(strings.TrimSpace(name))
		k := slices.IndexFunc(columns, func(c column) bool { return c.name == name })
		switch {
		case k < 0:
			return p.damage(line, "unknown column %q: the columns are %s", name, columnNames())
		case slices.Contains(p.cols, &columns[k]):
			return p.damage(line, "column %s is named twice", name)
		}
		p.cols = append(p.cols, &columns[k])
	}
	for i := range columns {
		if columns[i].needed && !slices.Contains(p.cols, &columns[i]) {
			return p.damage(line, "column %s is missing", columns[i].name)
		}
	}
	return nil
}

func columnNames() string {
	var names []string
	for _, c := range columns {
		names = append(names, c.name)
	}
	return strings.Join(names, ", ")
}

func (p *parser) row(rec []string, line int) (Row, error) {
	var r Row
	for i, c := range p.cols {
		if err := c.set(&r, rec[i]); err != nil {
			return r, p.damage(line, "%s %v", c.name, err)
		}
	}
	switch {
	case r.ID == "":
		return r, p.damage(line, "the row has no id")
	case r.Address == 0 && r.Span != 0:
		return r, p.damage(line, "%s has a span of %d and no address", r.ID, r.Span)
	case r.Address > 0 && r.Span == 0:
		return r, p.damage(line, "%s has address %d and a span of 0: want 1, or as many as it takes", r.ID, r.Address)
	case r.Address > 0 && r.Circuit == "":
		return r, p.damage(line, "%s has address %d and no circuit", r.ID, r.Address)
	case r.Address+r.Span > most+1:
		return r, p.damage(line, "the addresses of %s run past %d", r.ID, most)
	}
	return r, nil
}

// unique refuses an id given twice and an address held by two.
func (p *parser) unique(rows []lineRow) error {
	at := map[string]int{}
	var holders []lineRow
	for _, r := range rows {
		if first, twice := at[r.ID]; twice {
			return p.damage(r.line, "%s is already in line %d", r.ID, first)
		}
		at[r.ID] = r.line
		if r.Address > 0 && r.State != Released {
			holders = append(holders, r)
		}
	}
	slices.SortStableFunc(holders, func(a, b lineRow) int {
		return cmp.Or(cmp.Compare(a.Circuit, b.Circuit), cmp.Compare(a.Address, b.Address), cmp.Compare(a.line, b.line))
	})
	for i := 1; i < len(holders); i++ {
		a, b := holders[i-1], holders[i]
		if a.Circuit == b.Circuit && b.Address < a.Address+a.Span {
			return p.damage(max(a.line, b.line), "address %d of circuit %s is held by %s in line %d and by %s in line %d", b.Address, b.Circuit, a.ID, a.line, b.ID, b.line)
		}
	}
	return nil
}

// Bytes returns the ledger as a file: sorted, comma-separated, lines ending in
// LF, the same rows always giving the same bytes.
func (l Ledger) Bytes() []byte {
	l.Rows = slices.Clone(l.Rows)
	l.sort()
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s%d\n", counts, len(l.Rows))
	w := csv.NewWriter(&b)
	rec := make([]string, len(columns))
	for i, c := range columns {
		rec[i] = c.name
	}
	_ = w.Write(rec) // a bytes.Buffer takes everything
	for i := range l.Rows {
		for k, c := range columns {
			rec[k] = c.get(&l.Rows[i])
		}
		_ = w.Write(rec)
	}
	w.Flush()
	return b.Bytes()
}
