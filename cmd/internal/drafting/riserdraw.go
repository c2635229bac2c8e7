package drafting

import (
	"slices"
	"strings"

	"loopwright/takeoff"
	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/label"
)

// Measures of the riser diagram in text heights.
const (
	riserLine   = 1.7 // from text line to text line
	feederPitch = 1.4 // between feeders
	loopWidth   = 0.6 // between the two runs of a loop
	riserPad    = 1.5
)

// riserCaution stands below the diagram.
var riserCaution = "NOT TO SCALE. " + strings.ToUpper(takeoff.Caution)

// riserLayout is a riser diagram with all its measures, lengths in drawing
// units, the origin at the upper left corner and y downward negative.
type riserLayout struct {
	*riserDiagram
	h       float64
	names   float64   // width of the column of level names
	edge    float64   // right edge of the panels
	x       []float64 // of every circuit's run
	right   float64
	top     float64   // of the first row
	rows    []float64 // height of every row
	feeders []int     // number of feeders in every row
	measure geom.Point
}

func (r *riserDiagram) layOut(h float64) riserLayout {
	l := riserLayout{riserDiagram: r, h: h, rows: make([]float64, len(r.levels)), feeders: make([]int, len(r.levels))}
	widest := func(lines []string) float64 {
		w := 0.0
		for _, s := range lines {
			w = max(w, label.EstimateWidth(s, h))
		}
		return w
	}
	l.names = widest(r.levels) + 2*riserPad*h
	l.edge = l.names
	for _, p := range r.panels {
		l.edge = max(l.edge, l.names+widest([]string{p.name})+2*riserPad*h)
	}
	x := l.edge + 2*riserPad*h
	head := 0
	for _, c := range r.columns {
		l.x = append(l.x, x)
		w := widest(c.head)
		for _, lines := range c.cells {
			w = max(w, widest(lines))
		}
		x += w + 4*riserPad*h
		head = max(head, len(c.head))
		l.feeders[r.panels[c.panel].level]++
	}
	l.right = max(x, label.EstimateWidth(riserCaution, h))
	l.top = -(2 + float64(head) + 1) * riserLine * h
	total := -l.top
	for i := range l.rows {
		lines := 1
		for _, c := range r.columns {
			lines = max(lines, len(c.cells[i]))
		}
		l.rows[i] = (float64(lines)*riserLine + 4*riserPad + float64(l.feeders[i])*feederPitch) * h
		total += l.rows[i]
	}
	l.measure = geom.Pt(l.right, total+2*riserLine*h)
	return l
}

// rowTop is the y of the upper edge of a row.
func (l riserLayout) rowTop(row int) float64 {
	y := l.top
	for _, r := range l.rows[:row] {
		y -= r
	}
	return y
}

// cellTop is the y of the upper edge of the boxes in a row, below its feeders.
func (l riserLayout) cellTop(row int) float64 {
	return l.rowTop(row) - (float64(l.feeders[row])*feederPitch+1.5*riserPad)*l.h
}

// riserPen draws a riser diagram with its upper left corner at a place.
type riserPen struct {
	riserLayout
	base edit.Base
	at   geom.Point
	es   []edit.Entity
}

func (l riserLayout) draw(base edit.Base, at geom.Point) []edit.Entity {
	p := &riserPen{riserLayout: l, base: base, at: at}
	p.text(0, -1.2*l.h, "RISER DIAGRAM")
	for i, name := range l.levels {
		bottom := l.rowTop(i) - l.rows[i]
		p.line(0, bottom, l.right, bottom)
		p.text(0, bottom+0.6*l.h, name)
	}
	p.text(0, -l.measure.Y+0.5*l.h, riserCaution)
	used := make([]int, len(l.levels))
	low := make([]float64, len(l.panels))
	high := make([]float64, len(l.panels))
	for i, c := range l.columns {
		row := l.panels[c.panel].level
		y := l.rowTop(row) - (riserPad+float64(used[row])*feederPitch)*l.h
		used[row]++
		if high[c.panel] == 0 {
			high[c.panel] = y
		}
		low[c.panel] = y
		p.circuit(i, y)
	}
	for i, n := range l.panels {
		p.panel(n, low[i], high[i])
	}
	return p.es
}

func (p *riserPen) panel(n riserPanel, low, high float64) {
	if high == 0 { // it feeds no circuit
		high = p.rowTop(n.level) - riserPad*p.h
		low = high
	}
	// Panels of one level with circuits of their own lie one below the other.
	mid := (low + high) / 2
	if high-low < riserLine*p.h {
		high, low = mid+riserLine/2*p.h, mid-riserLine/2*p.h
	}
	p.box(p.names, low-0.4*p.h, p.edge, high+0.4*p.h)
	p.text(p.names+riserPad*p.h, mid-0.5*p.h, n.name)
}

// circuit draws a column: feeder from the panel, run through the levels, boxes.
func (p *riserPen) circuit(i int, y float64) {
	c, x, h := p.columns[i], p.x[i], p.h
	for k, s := range c.head {
		p.text(x, p.top+(float64(len(c.head)-k)*riserLine-0.8)*h, s)
	}
	var ys []float64
	for r := range p.levels {
		lines := c.cells[r]
		if len(lines) == 0 {
			continue
		}
		top := p.cellTop(r)
		bottom := top - (float64(len(lines))*riserLine+0.7)*h
		w := 0.0
		for k, s := range lines {
			w = max(w, label.EstimateWidth(s, h))
			p.text(x+1.8*h, top-(float64(k+1)*riserLine)*h, s)
		}
		p.box(x+1.2*h, bottom, x+w+2.4*h, top)
		tick := top - riserLine*h
		p.line(x, tick, x+1.2*h, tick)
		ys = append(ys, tick)
	}
	p.run(x, y, ys, c.returns)
}

// run draws the cable of a column: one line, or two joined at their far ends
// where the circuit comes back.
func (p *riserPen) run(x, y float64, ys []float64, returns bool) {
	lo, hi := min(slices.Min(ys), y), max(slices.Max(ys), y)
	p.line(p.edge, y, x, y)
	p.line(x, lo, x, hi)
	if !returns {
		return
	}
	gap := loopWidth * p.h
	back := x - gap
	p.line(p.edge, y-gap, back, y-gap)
	far := func(v float64) float64 { // beyond the panel's own feeders
		if v == y {
			return y - gap
		}
		return v
	}
	p.line(back, far(lo), back, far(hi))
	for _, v := range []float64{lo, hi} {
		if v != y {
			p.line(back, v, x, v)
		}
	}
}

func (p *riserPen) line(x1, y1, x2, y2 float64) {
	if x1 != x2 || y1 != y2 {
		p.es = append(p.es, line(p.base, p.at.X+x1, p.at.Y+y1, p.at.X+x2, p.at.Y+y2))
	}
}

func (p *riserPen) box(x1, y1, x2, y2 float64) {
	b := geom.Box{Min: p.at.Add(geom.Pt(x1, y1)), Max: p.at.Add(geom.Pt(x2, y2))}
	p.es = append(p.es, outline(p.base, label.RectOf(b)))
}

func (p *riserPen) text(x, y float64, s string) {
	if s != "" {
		p.es = append(p.es, edit.Text{Base: p.base, At: edit.XY{X: p.at.X + x, Y: p.at.Y + y}, Height: p.h, Value: s})
	}
}
