package takeoff

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/where"
)

// csvColumns are the columns of a plan of devices, the first five of which must be there.
var csvColumns = []string{"id", "type", "level", "x", "y", "room"}

// takeCSV takes the devices of a plan that is a CSV file: a heading row with
// the columns id, type, level, x, y and, if wanted, room; coordinates in the
// plan's units. Rows of other levels are left for the plans of those levels.
func (t *taker) takeCSV(i int) (yield, error) {
	var y yield
	p := t.req.Plans[i]
	level, sheet := t.sheet(i)
	file := t.files.path(p.Devices)
	in := func(err error) error { return where.In(file, err) }
	f, err := os.Open(file)
	if err != nil {
		return y, fmt.Errorf("plan %s: %w", p.Devices, err)
	}
	defer f.Close()
	rows, err := readDeviceRows(f)
	if err != nil {
		return y, in(fmt.Errorf("plan %s: %w", p.Devices, err))
	}
	types, levels := map[string]bool{}, map[string]bool{}
	for _, ty := range t.req.Types {
		types[ty.Type] = true
	}
	for _, other := range t.req.Plans {
		levels[other.Level] = true
	}
	seen := map[string]int{}
	for _, r := range rows {
		if !levels[r.level] {
			return y, in(where.Line(r.line, fmt.Errorf("plan %s, line %d: level %q has no row under plans: correct it, or add the level", p.Devices, r.line, r.level)))
		}
		if r.level != p.Level {
			continue
		}
		if first, dup := seen[r.id]; dup {
			return y, in(where.Line(r.line, fmt.Errorf("plan %s, line %d: id %s is already on line %d: ids must be unique", p.Devices, r.line, r.id, first)))
		}
		seen[r.id] = r.line
		if !types[r.typ] {
			return y, in(where.Line(r.line, fmt.Errorf("plan %s, line %d: type %q is not under types: add it, or correct the row", p.Devices, r.line, r.typ)))
		}
		sheet.Extent = sheet.Extent.Extend(r.at)
		y.devices = append(y.devices, Device{ID: r.id, Type: r.typ, Level: level.Name, Room: r.room, Status: Counted,
			Drawing: p.Devices, At: r.at, Symbol: geom.BoxOf(r.at), Pos: sheet.ToBuilding.Apply(r.at), plan: i})
	}
	return y, nil
}

// deviceRow is one row of a CSV plan.
type deviceRow struct {
	line                 int
	id, typ, level, room string
	at                   geom.Point
}

func readDeviceRows(in io.Reader) ([]deviceRow, error) {
	c := csv.NewReader(in)
	c.FieldsPerRecord = -1
	c.TrimLeadingSpace = true
	head, err := c.Read()
	if errors.Is(err, io.EOF) {
		return nil, fmt.Errorf("the file is empty: start it with the heading row %s", strings.Join(csvColumns, ","))
	}
	if err != nil {
		return nil, atLine(err)
	}
	at, err := columnsOf(head)
	if err != nil {
		return nil, where.Line(1, err)
	}
	var rows []deviceRow
	for {
		rec, err := c.Read()
		if errors.Is(err, io.EOF) {
			return rows, nil
		}
		if err != nil {
			return nil, atLine(err)
		}
		line, _ := c.FieldPos(0)
		if slices.ContainsFunc(rec, func(s string) bool { return !utf8.ValidString(s) }) {
			return nil, where.Line(line, fmt.Errorf("line %d: %w", line, errNotUTF8))
		}
		r, err := readDeviceRow(rec, at)
		if err != nil {
			return nil, where.Line(line, fmt.Errorf("line %d: %w", line, err))
		}
		r.line = line
		rows = append(rows, r)
	}
}

// atLine adds to an error of the CSV reader the line that its text names.
func atLine(err error) error {
	var syntax *csv.ParseError
	if errors.As(err, &syntax) {
		return where.Line(syntax.Line, err)
	}
	return err
}

// Letters in another encoding would make other ids and rooms of those that are meant.
var errNotUTF8 = errors.New("the file is not UTF-8 text: save it from the spreadsheet as CSV UTF-8")

// beginning is a cell as a message shows it: a file that is not a table is one long cell.
func beginning(cell string) string {
	if r := []rune(cell); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return cell
}

func columnsOf(head []string) (map[string]int, error) {
	at := map[string]int{}
	for i, h := range head {
		h = strings.ToLower(strings.TrimSpace(strings.TrimPrefix(h, "\ufeff")))
		switch {
		case !utf8.ValidString(h) || strings.ContainsFunc(h, unicode.IsControl):
			return nil, errNotUTF8
		case strings.Contains(h, ";"):
			return nil, fmt.Errorf("the cells are separated by semicolons: save the file with commas between them")
		case !slices.Contains(csvColumns, h):
			return nil, fmt.Errorf("unknown column %q: the heading row takes %s", beginning(h), strings.Join(csvColumns, ", "))
		}
		if _, dup := at[h]; dup {
			return nil, fmt.Errorf("column %q appears twice", h)
		}
		at[h] = i
	}
	for _, c := range csvColumns[:5] {
		if _, ok := at[c]; !ok {
			return nil, fmt.Errorf("column %q is missing: want %s", c, strings.Join(csvColumns, ", "))
		}
	}
	return at, nil
}

func readDeviceRow(rec []string, at map[string]int) (deviceRow, error) {
	field := func(name string) string {
		if i, ok := at[name]; ok && i < len(rec) {
			return strings.TrimSpace(rec[i])
		}
		return ""
	}
	r := deviceRow{id: field("id"), typ: field("type"), level: field("level"), room: field("room")}
	for _, name := range csvColumns[:3] {
		if field(name) == "" {
			return r, fmt.Errorf("%s is empty", name)
		}
	}
	for _, to := range []struct {
		name string
		v    *float64
	}{{"x", &r.at.X}, {"y", &r.at.Y}} {
		v, err := strconv.ParseFloat(field(to.name), 64)
		if err != nil {
			return r, fmt.Errorf("%s %q is not a number: write it in the plan's units, as in 12.5", to.name, beginning(field(to.name)))
		}
		*to.v = v
	}
	if !r.at.IsFinite() {
		return r, fmt.Errorf("x and y must be finite numbers")
	}
	return r, nil
}
