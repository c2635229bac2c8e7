package drafting

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"loopwright/assign"
	"loopwright/cmd/internal/outcome"
	"loopwright/takeoff"
	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/label"
)

// schedule is the table of a sheet's devices.
type schedule struct {
	title string
	head  []string
	rows  [][]string
}

// scheduleOf lists the devices of a drawing by circuit, in walking order.
func scheduleOf(o *outcome.Outcome, drawing string) *schedule {
	names := map[string]string{}
	for _, t := range o.Job.Types {
		names[t.Type] = t.Name
	}
	rank := map[string]int{}
	for i, c := range o.Circuits {
		rank[c.Name] = i + 1
	}
	var ds []assign.Numbered
	for _, d := range o.Devices {
		if d.Drawing == drawing && d.Status == takeoff.Counted {
			ds = append(ds, d)
		}
	}
	slices.SortStableFunc(ds, func(a, b assign.Numbered) int {
		return cmp.Or(cmp.Compare(rank[a.Circuit], rank[b.Circuit]), cmp.Compare(a.Order, b.Order))
	})
	s := &schedule{title: "DEVICE SCHEDULE", head: []string{"DEVICE", "CIRCUIT", "ADDRESS", "TYPE", "ROOM"}}
	for _, d := range ds {
		address := "-"
		switch {
		case d.Span > 1:
			address = fmt.Sprintf("%d-%d", d.Address, d.Address+d.Span-1)
		case d.Address > 0:
			address = fmt.Sprint(d.Address)
		}
		circuit := strings.Join(append([]string{d.Circuit}, d.Also...), ", ")
		s.rows = append(s.rows, []string{d.ID, circuit, address, strings.ToUpper(names[d.Type]), d.Place()})
	}
	if len(s.rows) == 0 {
		return nil
	}
	return s
}

// Measures of tables in text heights.
const (
	rowPitch = 2.0
	cellPad  = 0.6
	blockGap = 4.0
)

// table is a schedule laid out in blocks of columns side by side.
type table struct {
	*schedule
	height  float64
	widths  []float64
	perRow  int // rows of a block
	blocks  int
	measure geom.Point // width and height
}

// layOut fits a schedule into a height by beginning a new block as often as needed.
func (s *schedule) layOut(height, room float64) table {
	t := table{schedule: s, height: height, widths: make([]float64, len(s.head))}
	for c := range s.head {
		t.widths[c] = label.EstimateWidth(s.head[c], height)
		for _, r := range s.rows {
			t.widths[c] = max(t.widths[c], label.EstimateWidth(r[c], height))
		}
		t.widths[c] += 2 * cellPad * height
	}
	const least = 20 // rows: a short sheet must not make a table of a hundred blocks
	t.perRow = max(least, int(min(room/(rowPitch*height), float64(least+len(s.rows))))-2)
	t.blocks = max(1, (len(s.rows)+t.perRow-1)/t.perRow)
	t.perRow = (len(s.rows) + t.blocks - 1) / t.blocks
	t.measure = geom.Pt(float64(t.blocks)*(t.width()+blockGap*height)-blockGap*height, float64(t.perRow+2)*rowPitch*height)
	return t
}

func (t table) width() float64 {
	w := 0.0
	for _, c := range t.widths {
		w += c
	}
	return w
}

// draw draws the table with its upper left corner at a place.
func (t table) draw(base edit.Base, at geom.Point) []edit.Entity {
	var es []edit.Entity
	h := t.height
	text := func(x, y float64, s string) {
		if s != "" {
			es = append(es, edit.Text{Base: base, At: edit.XY{X: x + cellPad*h, Y: y - (rowPitch+1)/2*h}, Height: h, Value: s})
		}
	}
	text(at.X-cellPad*h, at.Y, t.title)
	for b := range t.blocks {
		x := at.X + float64(b)*(t.width()+blockGap*h)
		top := at.Y - rowPitch*h
		rows := append([][]string{t.head}, t.rows[b*t.perRow:min(len(t.rows), (b+1)*t.perRow)]...)
		for i, r := range rows {
			y := top - float64(i)*rowPitch*h
			es = append(es, line(base, x, y, x+t.width(), y))
			cx := x
			for c, s := range r {
				text(cx, y, s)
				cx += t.widths[c]
			}
		}
		foot := top - float64(len(rows))*rowPitch*h
		es = append(es, line(base, x, foot, x+t.width(), foot))
		cx := x
		for _, w := range append([]float64{0}, t.widths...) {
			cx += w
			es = append(es, line(base, cx, top, cx, foot))
		}
	}
	return es
}

func line(base edit.Base, x1, y1, x2, y2 float64) edit.Line {
	return edit.Line{Base: base, From: edit.XY{X: x1, Y: y1}, To: edit.XY{X: x2, Y: y2}}
}
