package recognize

import (
	"math"
	"slices"
	"strings"

	"loopwright/takeoff/geom"
)

// keysOf tells the figures of a legend apart: where all of a block are alike, by the attribute in which they differ.
func keysOf(cs []candidate) map[string]bool {
	out := map[string]bool{}
	tag := map[string]string{}
	ms := make([]Mark, len(cs))
	for i, c := range cs {
		ms[i] = c.mark
	}
	for _, c := range cs {
		if c.mark.Form == Block {
			if _, ok := tag[c.key]; !ok {
				tag[c.key] = tellingTag(ms, c.mark.Name)
			}
			out[c.key+"\x00"+attribOf(c.mark, tag[c.key])] = true
		} else {
			out[c.key] = true
		}
	}
	return out
}

// tellingTag is the attribute in which the samples of one block differ, "" if they are told apart by none.
func tellingTag(ms []Mark, name string) string {
	values := map[string]map[string]bool{}
	var order []string
	n := 0
	for _, m := range ms {
		if m.Form != Block || !strings.EqualFold(m.Name, name) {
			continue
		}
		n++
		for _, a := range m.Attribs {
			if values[a.Tag] == nil {
				values[a.Tag] = map[string]bool{}
				order = append(order, a.Tag)
			}
			values[a.Tag][value(a.Value)] = true
		}
	}
	best := ""
	if n < 2 {
		return ""
	}
	for _, t := range order {
		if len(values[t]) > 1 && (best == "" || len(values[t]) > len(values[best])) {
			best = t
		}
	}
	return best
}

func value(s string) string { return strings.ToUpper(strings.TrimSpace(s)) }

func attribOf(m Mark, tag string) string {
	for _, a := range m.Attribs {
		if tag != "" && strings.EqualFold(a.Tag, tag) {
			return value(a.Value)
		}
	}
	return ""
}

// pick is the candidate that stands at a distance, blocks before loose figures before texts; -1 if none does.
func pick(cs []candidate, x, far, h float64) int {
	best, off := -1, math.Inf(1)
	for i, c := range cs {
		d := min(math.Abs(c.anchor-x-far), math.Abs(c.middle-x-far))
		if d > aligned*h {
			continue
		}
		if best < 0 || c.mark.Form < cs[best].mark.Form || c.mark.Form == cs[best].mark.Form && d < off {
			best, off = i, d
		}
	}
	return best
}

// besideLine lists the figures on the line of a text of a column.
func (p *Page) besideLine(index int, l *line, c column, loose []candidate) []candidate {
	var out []candidate
	h, reach, far := l.height, 0.5*c.pitch, reachFar*l.height
	for _, o := range c.lines { // beyond the longest text of the column
		far = max(far, reachFar*h+o.box.Max.X-l.box.Max.X)
	}
	around := l.box.Grow(far)
	around.Min.Y, around.Max.Y = l.at.Y-reach-0.5*largestFigure*h, l.at.Y+reach+0.5*largestFigure*h
	for _, i := range p.marksIn(framed(around, -l.turn)) {
		m := &p.Marks[i]
		if m.Paper != l.paper || !m.Visible || m.Form == Text && m.Index == l.index {
			continue
		}
		b := framed(m.Box, l.turn)
		at := m.At.Turn(-l.turn)
		if math.Abs(b.Center().Y-l.at.Y) > reach && math.Abs(at.Y-l.at.Y) > reach || !nearBy(b, l.box, far) || side(b) > largestFigure*h {
			continue
		}
		c := candidate{mark: *m, key: strings.ToUpper(m.Name), anchor: at.X, middle: b.Center().X, box: b}
		if m.Form == Text {
			if !lettered(m.Name) {
				continue
			}
			c.middle = c.anchor
			c.key = "text " + c.key
			if slices.ContainsFunc(loose, func(o candidate) bool { return o.box.Contains(b.Center()) }) {
				continue
			}
		}
		out = append(out, c)
	}
	for _, c := range loose {
		if math.Abs(c.box.Center().Y-l.at.Y) <= reach && nearBy(c.box, l.box, far) {
			out = append(out, c)
		}
	}
	out = append(out, joined(index, l)...)
	return out
}

// joined is the abbreviation that stands before a dash or wide blanks in the text itself: RM - Rauchmelder.
func joined(index int, l *line) []candidate {
	before, after, ok := cutJoined(l.text, l.raw)
	if !ok || !lettered(before) || len([]rune(before)) > shortText || strings.Contains(before, " ") || len([]rune(after)) <= 3 {
		return nil
	}
	return []candidate{{mark: Mark{Form: Text, Page: index, Paper: l.paper, Index: -1, Name: before, At: l.at.Turn(l.turn), Box: framed(l.box, -l.turn), Handle: l.handle, Visible: true},
		key: "text " + strings.ToUpper(before), anchor: l.at.X, middle: l.at.X, box: l.box}}
}

// joined reports whether a sample is the beginning of the text that explains it.
func (m *Mark) joined() bool { return m.Form == Text && m.Index < 0 }

// cutJoined cuts a text after an abbreviation; raw has its blanks as they were typed.
func cutJoined(text, raw string) (before, after string, ok bool) {
	for _, dash := range []string{" - ", " – ", " — ", " = ", ": "} {
		if before, after, ok := strings.Cut(text, dash); ok {
			return strings.TrimSpace(before), strings.TrimSpace(after), true
		}
	}
	before, after, ok = strings.Cut(strings.TrimSpace(strings.ReplaceAll(raw, "\t", "  ")), "  ")
	return strings.TrimSpace(before), strings.TrimSpace(after), ok
}

// lettered reports whether a short text can stand for a device: it has a letter.
func lettered(s string) bool {
	return strings.IndexFunc(s, func(r rune) bool { return r > 0x2e80 || r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z' || r > 0xbf }) >= 0
}

// nearBy reports whether a figure stands beside a text, not over it, within so much.
func nearBy(b, text geom.Box, within float64) bool {
	return text.Min.X-b.Max.X > -0.5*b.Width() && text.Min.X-b.Max.X < within || b.Min.X-text.Max.X > -0.5*b.Width() && b.Min.X-text.Max.X < within
}

// looseBeside lists the figures of loose linework in the neighbourhood of a column.
func (p *Page) looseBeside(index int, c column) []candidate {
	h, turn := c.lines[0].height, c.lines[0].turn
	area := geom.EmptyBox()
	for _, l := range c.lines {
		area = area.Union(l.box)
	}
	wide := area.Grow(reachFar * h)
	wide.Min.Y, wide.Max.Y = area.Min.Y-0.5*c.pitch, area.Max.Y+0.5*c.pitch
	b := p.loose(c.lines[0].paper)
	var among []int
	for _, i := range b.within(framed(wide, -turn)) {
		s := &b.strokes[i]
		x := framed(s.box(), turn)
		if s.kind == letterStroke || !s.visible || side(x) > greatest*h || !wide.Contains(x.Center()) {
			continue
		}
		if s.kind == lineStroke && (x.Height() >= 0.85*c.pitch || x.Width() < 0.01*h && x.Height() < 0.01*h) { // a cell's
			continue
		}
		among = append(among, i)
	}
	if len(among) > 4000 {
		return nil
	}
	var out []candidate
	for _, g := range b.groups(among, 0.12*h) {
		box := geom.EmptyBox()
		for _, i := range g {
			box = box.Union(b.strokes[i].box())
		}
		if side(box) < 0.4*h || side(box) > greatest*h {
			continue
		}
		fr := framed(box, turn)
		if fr.Height() < 0.05*h || fr.Width() < 0.05*h { // a rule, or a sample of wiring
			continue
		}
		inside := box.Grow(0.02 * side(box))
		letters := 0
		for _, i := range b.near(box.Center(), side(box)) {
			if s := &b.strokes[i]; s.kind == letterStroke && s.size < side(box) && s.lettersOf(inside) {
				g = append(g, i)
				letters++
			}
		}
		slices.Sort(g)
		if len(g) < 2 && b.strokes[g[0]].kind != circleStroke {
			continue
		}
		if slices.ContainsFunc(p.marksIn(box), func(i int) bool {
			m := &p.Marks[i]
			return m.Form == Block && m.Paper == c.lines[0].paper && box.Contains(m.Box.Center())
		}) { // the cell or the hatch around a block
			continue
		}
		t, ok := b.template(g)
		if !ok {
			continue
		}
		s := &b.strokes[g[0]]
		out = append(out, candidate{mark: Mark{Form: Loose, Page: index, Paper: c.lines[0].paper, At: box.Center(), Box: box, Layer: s.layer, Handle: s.handle, Visible: true},
			strokes: g, key: "loose " + t.signature(h), anchor: fr.Center().X, middle: fr.Center().X, box: fr})
	}
	return out
}

// signature describes a template but for its turn.
func (t *Template) signature(h float64) string {
	var n [letterStroke]int
	n[t.anchor.kind]++
	sum := t.anchor.size
	for _, o := range t.others {
		n[o.kind]++
		sum += o.size + 0.3*o.far
	}
	return strings.Join(t.letters, " ") + " " + string(rune('a'+n[0]%26)) + string(rune('a'+n[1]%26)) + string(rune('a'+n[2]%26)) + " " + itoa(int(math.Round(8*sum/h)))
}
