package recognize

import (
	"math"
	"slices"
	"strings"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/words"
)

// shortRows are the rows of the shortest legend: two under a heading, or two that leave no other reading.
const shortRows = 2

// farthestRows is how many heights of their texts the rows of a short legend may be apart.
const farthestRows = 12.0

// verdict says whether a short column of figures beside texts is a legend.
type verdict uint8

const (
	noLegend verdict = iota
	mayBeLegend
	isLegend
)

// short takes a column that is too short, or of too few known words, for a legend: under a
// heading it is one; without, it is one or may be one by how it looks and where it stands.
func (p *Page) short(index int, c column, r *reader, heads []*line) (Legend, verdict) {
	if c.pitch > farthestRows*c.lines[0].height {
		return Legend{}, noLegend
	}
	l, ok := p.legend(index, c, r, nil, demand{rows: shortRows})
	if !ok || len(l.keys) < shortRows {
		return l, noLegend
	}
	if l.Heading = p.heading(&l, c, r, heads); l.Heading != "" {
		return l, isLegend
	}
	return l, p.judgeBare(&l, c, r)
}

// heading finds the words over a legend: the largest text above its rows that says so, or the name
// of the layer that its rows are drawn on.
func (p *Page) heading(l *Legend, c column, r *reader, heads []*line) string {
	best, text := 0.0, ""
	for _, t := range heads {
		mid := t.box.Center().X
		if !over(t, c) || mid < l.own.Min.X-l.own.Width() || mid > l.own.Max.X+l.own.Width() {
			continue
		}
		if t.height > best {
			best, text = t.height, t.text
		}
	}
	if text != "" {
		return text
	}
	for _, row := range l.Rows {
		if row.layer != "" && r.legendLayer(row.layer) {
			return row.layer
		}
		for _, b := range row.path {
			if r.legendLayer(b) {
				return b
			}
		}
	}
	return ""
}

// Short reports whether a legend is short and no heading says that it is one.
func (l *Legend) Short() bool { return l.Heading == "" && len(l.Rows) <= leastRows }

// Holds reports whether a place lies inside the legend.
func (l *Legend) Holds(at geom.Point) bool { return l.own.Contains(at.Turn(-l.turn)) }

// heads lists the lines that are headings of legends.
func (p *Page) heads(r *reader) []*line {
	known := map[string]bool{}
	var out []*line
	for i := range p.lines {
		l := &p.lines[i]
		yes, seen := known[l.text]
		if !seen {
			yes = r.heads(l.text)
			known[l.text] = yes
		}
		if yes {
			out = append(out, l)
		}
	}
	return out
}

// over reports whether a heading stands over the rows of a column, as far as a heading may.
func over(t *line, c column) bool {
	first := c.lines[0]
	up := t.box.Min.Y - first.box.Center().Y
	wide := 60 * first.height
	return t.paper == first.paper && t.turn == first.turn && up >= 0 && up <= max(6*c.pitch, 20*first.height) &&
		t.box.Max.X >= first.box.Min.X-wide && t.box.Min.X <= first.box.Max.X+wide
}

// heads reports whether a text is the heading of a legend.
func (r *reader) heads(text string) bool {
	if len(text) > 60 {
		return false
	}
	for _, d := range r.v.Read(text, r.languages, "title") {
		if d.Concept == "title.legend" {
			return true
		}
	}
	return false
}

func (r *reader) legendLayer(name string) bool {
	for _, d := range r.v.ReadName(name, r.languages, "title") {
		if d.Concept == "title.legend" {
			return true
		}
	}
	return false
}

// judgeBare decides about a short column without a heading. It is a legend if what it says
// and where it stands leave no other reading; it may be one, if they do. Devices beside the
// names of rooms are not a legend.
func (p *Page) judgeBare(l *Legend, c column, r *reader) verdict {
	rooms, explained := 0, 0
	again := false
	for _, row := range l.Rows {
		switch {
		case row.Reading.Concept != "":
			explained++
		case len(r.v.Read(row.Text, r.languages, "room", "level", "title")) > 0 || !hasWord(row.Text):
			rooms++
		}
		again = again || p.written(row.Text, l.Paper) > 1
	}
	n := len(l.Rows)
	if 2*rooms >= n {
		return noLegend
	}
	alike := rooms == 0 && len(l.keys) == n && !again
	worded := explained == n
	if l.Paper { // nothing counts there: taking it for a legend only names symbols
		if alike && worded {
			return isLegend
		}
		return noLegend
	}
	if !alike && !worded {
		return noLegend
	}
	framed, away := p.frameAround(l, c.pitch), p.away(l)
	switch {
	case alike && (framed && worded || (framed || worded) && away && p.usedElsewhere(l)):
		return isLegend
	case alike && (framed || away || worded), worded && (framed || away):
		return mayBeLegend
	}
	return noLegend
}

// written is how often a text stands in a space of a page.
func (p *Page) written(text string, paper bool) int {
	if p.times == nil {
		p.times = map[string]int{}
		for i := range p.lines {
			l := &p.lines[i]
			p.times[spaced(l.text, l.paper)]++
		}
	}
	return p.times[spaced(text, paper)]
}

func spaced(text string, paper bool) string {
	if paper {
		return "\x00" + strings.ToUpper(text)
	}
	return strings.ToUpper(text)
}

// everyHeap are the heaps of a page, whatever stands in them.
func (p *Page) everyHeap() []Heap {
	if !p.heaped {
		p.every, p.heaped = p.heaps(nil), true
	}
	return p.every
}

// hasWord reports whether a text can explain a symbol: it has a word of three letters, or a sign that is one.
func hasWord(s string) bool {
	run := 0
	for _, c := range s {
		if c > 0x2e80 {
			return true
		}
		if !lettered(string(c)) {
			run = 0
			continue
		}
		if run++; run == 3 {
			return true
		}
	}
	return false
}

// away reports whether a legend stands outside what is drawn with long lines, as far as that is known.
func (p *Page) away(l *Legend) bool {
	heaps := p.everyHeap()
	return len(heaps) > 0 && !slices.ContainsFunc(heaps, func(h Heap) bool { return h.lines >= 4 && h.box.Overlaps(l.Box) && h.box.Area() > 2*l.Box.Area() })
}

// usedElsewhere reports whether each sample of a legend stands outside it too, as what a legend explains does.
func (p *Page) usedElsewhere(l *Legend) bool {
	for _, row := range l.Rows {
		found := false
		switch {
		case row.Figure != nil:
			b := p.loose(l.Paper)
			for i := range b.strokes {
				s := &b.strokes[i]
				found = found || s.kind == row.Figure.anchor.kind && math.Abs(s.size-row.Figure.anchor.size) <= sizeSpread*s.size && !l.Box.Contains(s.mid)
			}
		default:
			found = slices.ContainsFunc(p.Marks, func(m Mark) bool {
				return m.Form == row.Sample.Form && !m.Paper && strings.EqualFold(m.Name, row.Sample.Name) && !l.Box.Contains(m.Box.Center())
			})
		}
		if !found {
			return false
		}
	}
	return true
}

// frameAround reports whether lines stand on all four sides of a legend, close by: a box drawn around it.
func (p *Page) frameAround(l *Legend, pitch float64) bool {
	reach := max(6*l.h, 1.5*pitch)
	var sides [4]bool // left, right, below, above
	for i := range p.Shapes {
		sh := &p.Shapes[i]
		if sh.Paper != l.Paper || !sh.Visible || sh.Kind != dxf.LineShape && sh.Kind != dxf.PolylineShape {
			continue
		}
		n := len(sh.Points)
		if !sh.Closed {
			n--
		}
		for k := range n {
			a, b := plane(sh.Points[k]).Turn(-l.turn), plane(sh.Points[(k+1)%len(sh.Points)]).Turn(-l.turn)
			if side := sideOf(l.tight, geom.BoxOf(a, b), reach); side >= 0 {
				sides[side] = true
			}
		}
	}
	return sides == [4]bool{true, true, true, true}
}

// sideOf tells on which side of a box a line stands that runs along the whole
// side within reach: 0 left, 1 right, 2 below, 3 above; -1 for none.
func sideOf(all, line geom.Box, reach float64) int {
	slack := 0.02 * reach
	upright := line.Width() <= slack && line.Min.Y <= all.Min.Y && line.Max.Y >= all.Max.Y
	level := line.Height() <= slack && line.Min.X <= all.Min.X && line.Max.X >= all.Max.X
	near := func(gap float64) bool { return gap >= 0 && gap <= reach }
	switch {
	case upright && near(all.Min.X-line.Max.X):
		return 0
	case upright && near(line.Min.X-all.Max.X):
		return 1
	case level && near(all.Min.Y-line.Max.Y):
		return 2
	case level && near(line.Min.Y-all.Max.Y):
		return 3
	}
	return -1
}

// layerOf is the layer of a line of lettering.
func (p *Page) layerOf(l *line) string {
	if l.index < 0 {
		return ""
	}
	return p.Texts[l.index].EffLayer
}

// Describe returns what legends say about a block, by its effective name, "" if nothing.
func Describe(legends []Legend, effective string) string {
	name := words.Unprefixed(effective)
	for i := range legends {
		for _, row := range legends[i].Rows {
			if row.Sample.Form == Block && strings.EqualFold(row.Sample.Name, name) {
				return row.Text
			}
		}
	}
	return ""
}
