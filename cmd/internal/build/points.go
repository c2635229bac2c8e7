package build

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"

	"loopwright/assign"
)

// pointHead is the first row of points.csv.
var pointHead = []string{"circuit", "order", "address", "point", "function", "event", "id", "type", "level", "room", "location", "switches"}

// WritePoints writes every point as a row of CSV, in walking order: what the
// panel's programmer types in.
func (o *Outcome) WritePoints(w io.Writer) error {
	c := csv.NewWriter(w)
	if err := c.Write(pointHead); err != nil {
		return err
	}
	for _, d := range o.Walked() {
		for _, p := range d.Points {
			row := []string{d.Circuit, strconv.Itoa(d.Order), strconv.Itoa(d.Address), p.Point, p.Function, p.Event,
				d.ID, d.Type, d.Level, d.Room, location(d), switchRow(d)}
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

// Walked returns the devices on circuits, circuit by circuit in walking order.
func (o *Outcome) Walked() []assign.Numbered {
	at := make(map[string]int, len(o.Devices))
	for i, d := range o.Devices {
		at[d.ID] = i
	}
	var out []assign.Numbered
	for _, c := range o.Circuits {
		for _, id := range c.Circuit.Devices {
			if d := o.Devices[at[id]]; d.Circuit == c.Name {
				out = append(out, d)
			}
		}
	}
	return out
}

func location(d assign.Numbered) string {
	return strings.TrimSpace(d.Level + " " + d.Room)
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
