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
func (b *book) devicesSheet() *sheet {
	s := b.newSheet("Devices", 10, 10, 7, 15, 10, 24, 9, 10, 9, 10, 8, 9, 10, 22, 13, 28, 10, 9, 9, 14, 8, 9, 7, 14, 22)
	s.hidden, s.large = []int{1}, true
	s.title("Devices",
		"One row for each symbol, also for those that do not count, with the reason. Marks are those on the plan sheets. Switches read from switch "+
			"1, 1 = ON. x and y are "+b.u.length+" from the datum.",
		"The last four columns are for the site: write what was found, and hand the file back. Rows may be sorted and filtered; leave the column "+
			"heads as they are.")
	head := s.header(deviceHeads...)
	s.head, s.freeze, s.table = head.row, colMark, "DeviceList"
	first := s.next()
	for _, d := range b.in.Devices {
		s.add(b.deviceRow(d)...)
	}
	if len(b.in.Devices) == 0 {
		s.blank(1)
	}
	last := s.next() - 1
	s.tableTo = ref{s, last, len(deviceHeads)}
	b.defineSpan("DeviceKey", s, 1, first, last)
	for _, n := range []struct {
		name string
		col  int
	}{{"DeviceType", colType}, {"DeviceLevel", colLevel}, {"DeviceStatus", colStatus}, {"DeviceReason", colReason}, {"DevicePanel", colPanel}, {"DeviceCircuit", colCircuit}} {
		b.defineSpan(n.name, s, n.col, first, last)
	}
	span := func(col int) string { return at(col, first) + ":" + at(col, last) }
	s.checks = append(s.checks,
		check{where: span(colStatus), words: []string{"counted", "excluded"}},
		check{where: span(firstAsBuilt), whole: true, least: 0, most: 99999999})
	return s
}

func (b *book) deviceRow(d assign.Numbered) []cell {
	cells := []cell{text(d.ID), text(d.ID), text(b.marks[d.ID]), text(d.Type), text(d.Level), text(d.Room), text(string(d.Status)), text(string(d.Reason)),
		text(strings.Join(b.panelsOf(d), ", ")), text(d.Circuit), positive(d.Order), positive(d.Address), {}, {}, {}, {}, text(strings.Join(d.Also, ", ")),
		number(b.u.lengthIn(d.Pos.X), formLength), number(b.u.lengthIn(d.Pos.Y), formLength), text(d.Drawing), text(d.Handle)}
	if d.Switches != nil {
		cells[12] = text(d.Switches.Row)
		cells[13] = text(joinInts(d.Switches.On))
	}
	var options []string
	for _, o := range d.Options {
		options = append(options, o.Switch+" "+onOff(o.On))
	}
	cells[14] = text(strings.Join(options, ", "))
	var points []string
	for _, p := range d.Points {
		points = append(points, strings.TrimSpace(p.Point+" "+p.Function))
	}
	cells[15] = text(strings.Join(points, ", "))
	for range len(deviceHeads) - len(cells) {
		cells = append(cells, cell{style: style{role: roleInput}})
	}
	return cells
}

func positive(n int) cell {
	if n <= 0 {
		return cell{}
	}
	return whole(n)
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
