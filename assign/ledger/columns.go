package ledger

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
)

// column is one column of the file: how a row's cell is written and read.
type column struct {
	name   string
	needed bool
	get    func(r *Row) string
	set    func(r *Row, cell string) error
}

// columns is the file's layout, in the order in which it is written.
var columns = []column{
	text("id", true, func(r *Row) *string { return &r.ID }),
	text("circuit", true, func(r *Row) *string { return &r.Circuit }),
	number("order", func(r *Row) *int { return &r.Order }),
	number("address", func(r *Row) *int { return &r.Address }),
	number("span", func(r *Row) *int { return &r.Span }),
	text("type", true, func(r *Row) *string { return &r.Type }),
	text("level", true, func(r *Row) *string { return &r.Level }),
	text("room", false, func(r *Row) *string { return &r.Room }),
	text("drawing", true, func(r *Row) *string { return &r.Drawing }),
	text("handle", true, func(r *Row) *string { return &r.Handle }),
	metres("x_m", func(r *Row) *float64 { return &r.X }),
	metres("y_m", func(r *Row) *float64 { return &r.Y }),
	{"state", true, func(r *Row) string { return string(r.State) }, readState},
	{"also", false, writeAlso, readAlso},
	note("found", func(r *Row) *string { return &r.Found }),
	note("serial", func(r *Row) *string { return &r.Serial }),
	note("done", func(r *Row) *string { return &r.Done }),
	note("remark", func(r *Row) *string { return &r.Remark }),
}

func text(name string, needed bool, at func(*Row) *string) column {
	return column{name, needed, func(r *Row) string { return guard(*at(r)) }, func(r *Row, cell string) error {
		cell = unguard(cell)
		if strings.IndexFunc(cell, unicode.IsControl) >= 0 {
			return fmt.Errorf("has a line break or another control character in it")
		}
		*at(r) = cell
		return nil
	}}
}

// note is a text that people write: it may have several lines.
func note(name string, at func(*Row) *string) column {
	return column{name, false, func(r *Row) string { return guard(*at(r)) }, func(r *Row, cell string) error {
		cell = unguard(cell)
		if strings.IndexFunc(cell, func(c rune) bool { return unicode.IsControl(c) && c != '\n' && c != '\t' }) >= 0 {
			return fmt.Errorf("has a control character in it")
		}
		*at(r) = cell
		return nil
	}}
}

// most bounds whole numbers: addresses set electronically end there.
const most = 99999999

func number(name string, at func(*Row) *int) column {
	return column{name, true, func(r *Row) string { return strconv.Itoa(*at(r)) }, func(r *Row, cell string) error {
		v, err := strconv.Atoi(strings.TrimSpace(cell))
		if err != nil || v < 0 || v > most {
			return fmt.Errorf("is %q: want a whole number from 0 to %d", cell, most)
		}
		*at(r) = v
		return nil
	}}
}

// farthest bounds places: beyond it a building's frame makes no sense.
const farthest = 1e9

func metres(name string, at func(*Row) *float64) column {
	return column{name, true, func(r *Row) string { return strconv.FormatFloat(*at(r)+0, 'f', -1, 64) }, func(r *Row, cell string) error {
		v, err := strconv.ParseFloat(strings.TrimSpace(cell), 64)
		if err != nil || math.IsNaN(v) || math.Abs(v) > farthest {
			return fmt.Errorf("is %q: want metres, with a point, as in 12.5", cell)
		}
		*at(r) = v + 0 // -0 is 0
		return nil
	}}
}

func readState(r *Row, cell string) error {
	switch s := State(strings.ToLower(strings.TrimSpace(cell))); s {
	case Planned, Installed, Exchange, Retired, Released:
		r.State = s
		return nil
	}
	return fmt.Errorf("is %q: want planned, installed, exchange, retired or released", cell)
}

var (
	escape   = strings.NewReplacer("%", "%25", ";", "%3B")
	unescape = strings.NewReplacer("%25", "%", "%3B", ";")
)

// writeAlso writes further circuits as NAME:ORDER between semicolons.
func writeAlso(r *Row) string {
	var parts []string
	for _, p := range r.Also {
		parts = append(parts, escape.Replace(p.Circuit)+":"+strconv.Itoa(p.Order))
	}
	return guard(strings.Join(parts, ";"))
}

func readAlso(r *Row, cell string) error {
	cell = unguard(cell)
	if cell == "" {
		return nil
	}
	for part := range strings.SplitSeq(cell, ";") {
		k := strings.LastIndexByte(part, ':')
		if k < 1 || strings.IndexFunc(part, unicode.IsControl) >= 0 {
			return fmt.Errorf("is %q: want circuit:order, several with ; between them", cell)
		}
		n, err := strconv.Atoi(part[k+1:])
		if err != nil || n < 0 || n > most {
			return fmt.Errorf("is %q: want circuit:order, several with ; between them", cell)
		}
		r.Also = append(r.Also, Place{unescape.Replace(part[:k]), n})
	}
	return nil
}

// guard keeps a spreadsheet from running a text as a formula, and an id from being
// read as the count of rows: an apostrophe goes before it, which unguard takes off.
func guard(s string) string {
	if s != "" && strings.ContainsRune("=+-@#'\t\n", rune(s[0])) {
		return "'" + s
	}
	return s
}

func unguard(s string) string { return strings.TrimPrefix(s, "'") }
