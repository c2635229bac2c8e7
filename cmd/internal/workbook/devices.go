package workbook

import (
	"strconv"
	"strings"

	"loopwright/assign"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook/xlsx"
)

// The columns of the device list. Their heads are read back from site, so they
// keep their names from version to version.
var deviceHeads = []string{"key", "id", "mark", "type", "level", "room", "status", "reason", "panel", "circuit", "order", "address",
	"switches", "on", "options", "points", "also on", "x", "y", "drawing", "handle", "found address", "done", "serial", "remark"}

const (
	colID = 1 + iota + 1
	colMark
	colType
	colLevel
	colRoom
	colStatus
	colReason
	colPanel
	colCircuit
)

// firstAsBuilt is the first of the columns that are left blank for the site.
const firstAsBuilt = 22

// devicesSheet lists every symbol, those that do not count included.
func devicesSheet(b *book, o *outcome.Outcome) *xlsx.Sheet {
	s := b.NewSheet("Devices", 10, 10, 7, 15, 10, 24, 9, 10, 9, 10, 8, 9, 10, 22, 13, 28, 10, 9, 9, 14, 8, 9, 7, 14, 22)
	s.Hidden, s.Large = []int{1}, true
	s.Title("Devices",
		"One row for each symbol, including those that do not count, with the reason. Marks match the plan sheets. Switches read from switch "+
			"1, 1 = ON. x and y are "+b.u.length+" from the datum.",
		"The last four columns are for the site: write what was found, and return the file. Rows may be sorted and filtered; leave the column "+
			"heads as they are.")
	head := s.Header(deviceHeads...)
	s.Head, s.Freeze, s.Table = head.Row, colMark, "DeviceList"
	first := s.Next()
	for _, d := range o.Devices {
		s.Add(deviceRow(b, d)...)
	}
	if len(o.Devices) == 0 {
		s.Blank(1)
	}
	last := s.Next() - 1
	s.TableTo = s.Ref(last, len(deviceHeads))
	b.DefineSpan("DeviceKey", s, 1, first, last)
	for _, n := range []struct {
		name string
		col  int
	}{{"DeviceType", colType}, {"DeviceLevel", colLevel}, {"DeviceStatus", colStatus}, {"DeviceReason", colReason}, {"DevicePanel", colPanel}, {"DeviceCircuit", colCircuit}} {
		b.DefineSpan(n.name, s, n.col, first, last)
	}
	span := func(col int) string { return xlsx.At(col, first) + ":" + xlsx.At(col, last) }
	s.Checks = append(s.Checks,
		xlsx.Check{Where: span(colStatus), Words: []string{"counted", "excluded"}},
		xlsx.Check{Where: span(firstAsBuilt), Whole: true, Least: 0, Most: 99999999})
	return s
}

func deviceRow(b *book, d assign.Numbered) []xlsx.Cell {
	cells := []xlsx.Cell{xlsx.Text(d.ID), xlsx.Text(d.ID), xlsx.Text(b.marks[d.ID]), xlsx.Text(d.Type), xlsx.Text(d.Level), xlsx.Text(d.Place()), xlsx.Text(string(d.Status)), xlsx.Text(string(d.Reason)),
		xlsx.Text(strings.Join(b.panelsOf(d), ", ")), xlsx.Text(d.Circuit), positive(d.Order), positive(d.Address), {}, {}, {}, {}, xlsx.Text(strings.Join(d.Also, ", ")),
		xlsx.Number(b.u.lengthIn(d.Pos.X), xlsx.FormLength), xlsx.Number(b.u.lengthIn(d.Pos.Y), xlsx.FormLength), xlsx.Text(d.Drawing), xlsx.Text(d.Handle)}
	if d.Switches != nil {
		cells[12] = xlsx.Text(d.Switches.Row)
		cells[13] = xlsx.Text(joinInts(d.Switches.On))
	}
	var options []string
	for _, o := range d.Options {
		options = append(options, o.Switch+" "+onOff(o.On))
	}
	cells[14] = xlsx.Text(strings.Join(options, ", "))
	var points []string
	for _, p := range d.Points {
		points = append(points, strings.TrimSpace(p.Point+" "+p.Function))
	}
	cells[15] = xlsx.Text(strings.Join(points, ", "))
	for range len(deviceHeads) - len(cells) {
		cells = append(cells, xlsx.Cell{Style: xlsx.Style{Role: xlsx.RoleInput}})
	}
	return cells
}

func positive(n int) xlsx.Cell {
	if n <= 0 {
		return xlsx.Cell{}
	}
	return xlsx.Whole(n)
}

func onOff(on bool) string {
	if on {
		return "ON"
	}
	return "off"
}

func joinInts(ns []int) string {
	out := make([]string, len(ns))
	for i, n := range ns {
		out[i] = strconv.Itoa(n)
	}
	return strings.Join(out, " + ")
}
