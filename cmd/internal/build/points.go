package build

import (
	"bytes"
	"encoding/csv"
	"io"
	"slices"
	"strconv"
	"strings"

	"loopwright/assign"
	"loopwright/cmd/internal/outcome"
)

// pointHead is the first row of points.csv.
var pointHead = []string{"circuit", "order", "address", "point", "function", "event", "id", "type", "level", "room", "location", "switches"}

// writePoints writes every point as a row of CSV, in walking order: what the
// panel's programmer types in.
func writePoints(w io.Writer, o *outcome.Outcome) error {
	c := csv.NewWriter(w)
	if err := c.Write(pointHead); err != nil {
		return err
	}
	where := o.Locations()
	for _, d := range o.Walked() {
		for _, p := range d.Points {
			row := []string{d.Circuit, strconv.Itoa(d.Order), strconv.Itoa(d.Address), p.Point, p.Function, p.Event,
				d.ID, d.Type, d.Level, d.Room, where[d.ID], switchRow(d)}
			for i := range row {
				row[i] = inert(row[i])
			}
			if err := c.Write(row); err != nil {
				return err
			}
		}
	}
	c.Flush()
	return c.Error()
}

// Table writes rows of texts as CSV.
func Table(rows [][]string) []byte {
	var b bytes.Buffer
	c := csv.NewWriter(&b)
	for _, row := range rows {
		row = slices.Clone(row)
		for i := range row {
			row[i] = inert(row[i])
		}
		_ = c.Write(row) // a bytes.Buffer takes everything
	}
	c.Flush()
	return b.Bytes()
}

func switchRow(d assign.Numbered) string {
	if d.Switches == nil {
		return ""
	}
	return d.Switches.Row
}

// inert keeps a spreadsheet from running text of a drawing as a formula: a
// leading = + - @ or control character gets an apostrophe before it.
func inert(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return "'" + s
	}
	return s
}
