package build

import (
	"bytes"
	"encoding/csv"
	"io"
	"slices"
	"strconv"
	"strings"

	"loopwright/assign"
	"loopwright/cmd/internal/drafting"
	"loopwright/cmd/internal/job"
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

// Locations are the texts that the panel shows for the devices with points, by
// id: as the job's pattern makes them, short enough and all different.
func (o *Outcome) Locations() map[string]string {
	var rows []assign.Location
	for _, d := range o.Walked() {
		if len(d.Points) == 0 {
			continue
		}
		words := map[string]string{"level": d.Level, "room": d.Room, "id": d.ID, "type": d.Type,
			"circuit": d.Circuit, "address": strconv.Itoa(d.Address), "order": strconv.Itoa(d.Order)}
		rows = append(rows, assign.Location{Key: d.ID, Text: drafting.Expand(o.Job.Points.Location, words), Mark: strconv.Itoa(d.Address)})
	}
	out := map[string]string{}
	for i, s := range assign.Locations(rows, o.Job.Points.Length) {
		out[rows[i].Key] = s
	}
	return out
}

// setOptions sets the extra switches of every device that has an address.
func (o *Outcome) setOptions() {
	types := map[string]job.Type{}
	for _, t := range o.Job.Types {
		types[t.Type] = t
	}
	for i := range o.Devices {
		if d := &o.Devices[i]; d.Circuit != "" {
			d.Options = assign.OptionSettings(types[d.Type].DeviceType, types[d.Type].Inputs)
		}
	}
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
