package workbook

import (
	"strconv"
	"strings"

	"loopwright/assign"
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
func (b *book) devicesSheet() *Sheet {
	s := b.NewSheet("Devices", 10, 10, 7, 15, 10, 24, 9, 10, 9, 10, 8, 9, 10, 22, 13, 28, 10, 9, 9, 14, 8, 9, 7, 14, 22)
	s.Hidden, s.Large = []int{1}, true
	s.Title("Devices",
		"One row for each symbol, also for those that do not count, with the reason. Marks are those on the plan sheets. Switches read from switch "+
			"1, 1 = ON. x and y are "+b.u.length+" from the datum.",
		"The last four columns are for the site: write what was found, and hand the file back. Rows may be sorted and filtered; leave the column "+
			"heads as they are.")
	head := s.Header(deviceHeads...)
	s.Head, s.Freeze, s.Table = head.Row, colMark, "DeviceList"
	first := s.Next()
	for _, d := range b.in.Devices {
		s.Add(b.deviceRow(d)...)
	}
	if len(b.in.Devices) == 0 {
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
	span := func(col int) string { return At(col, first) + ":" + At(col, last) }
	s.Checks = append(s.Checks,
		Check{Where: span(colStatus), Words: []string{"counted", "excluded"}},
		Check{Where: span(firstAsBuilt), Whole: true, Least: 0, Most: 99999999})
	return s
}

func (b *book) deviceRow(d assign.Numbered) []Cell {
	cells := []Cell{Text(d.ID), Text(d.ID), Text(b.marks[d.ID]), Text(d.Type), Text(d.Level), Text(d.Room), Text(string(d.Status)), Text(string(d.Reason)),
		Text(strings.Join(b.panelsOf(d), ", ")), Text(d.Circuit), positive(d.Order), positive(d.Address), {}, {}, {}, {}, Text(strings.Join(d.Also, ", ")),
		Number(b.u.lengthIn(d.Pos.X), FormLength), Number(b.u.lengthIn(d.Pos.Y), FormLength), Text(d.Drawing), Text(d.Handle)}
	if d.Switches != nil {
		cells[12] = Text(d.Switches.Row)
		cells[13] = Text(joinInts(d.Switches.On))
	}
	var options []string
	for _, o := range d.Options {
		options = append(options, o.Switch+" "+onOff(o.On))
	}
	cells[14] = Text(strings.Join(options, ", "))
	var points []string
	for _, p := range d.Points {
		points = append(points, strings.TrimSpace(p.Point+" "+p.Function))
	}
	cells[15] = Text(strings.Join(points, ", "))
	for range len(deviceHeads) - len(cells) {
		cells = append(cells, Cell{Style: Style{Role: RoleInput}})
	}
	return cells
}

func positive(n int) Cell {
	if n <= 0 {
		return Cell{}
	}
	return Whole(n)
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
