package recognize

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/words"
)

// Legend is a column of texts beside a column of figures that stand at one constant
// distance from them.
type Legend struct {
	Page  int
	Paper bool
	Rows  []Row
	Box   geom.Box // drawing units
	// Heading is what stands over it, "" if nothing does.
	Heading string
	own     geom.Box // in the frame of its lettering
	turn    float64
	far     float64         // from the anchor of a text to its figure, along the texts
	also    float64         // the same of a second figure for each text; 0 for none
	h       float64         // of its texts
	wide    float64         // its pitch
	tight   geom.Box        // around figures and texts, in the frame
	keys    map[string]bool // its figures, as far as they differ
}

// Row is a figure and the text beside it.
type Row struct {
	Text    string
	At      geom.Point // of the text's middle
	Sample  Mark
	Figure  *Template     // of a loose figure
	Reading words.Reading // what the text names; Concept "" if nothing that is known
	box     geom.Box      // of the text, in the frame
	layer   string        // of the text
	path    []string      // of the sample: the blocks that it sits in
}

// Limits of legends.
const (
	leastRows   = 3
	leastShare  = 0.6  // of a column's texts that have a figure
	leastUnlike = 0.75 // of the figures that differ
	pitchGap    = 2.2  // times the usual distance of rows: there a column is cut
	reachFar    = 25.0 // h between a text and its figure
	aligned     = 0.7  // h by which figures of a column may stand off
	greatest    = 8.0  // h: side of a sample that is loose
)

// reader remembers what texts name: a drawing repeats few many times.
type reader struct {
	v         *words.Vocabulary
	languages []string
	known     map[string]words.Reading
	names     map[string]words.Reading
}

func (r *reader) device(text string) words.Reading {
	if d, ok := r.known[text]; ok {
		return d
	}
	d, ok := r.v.Device(text, r.languages)
	if ok && d.Evidence == words.Abbreviated && len([]rune(text)) > 6 { // a few letters of a longer text
		ok = false
	}
	if !ok {
		d = words.Reading{}
	}
	r.known[text] = d
	return d
}

// column are lines of lettering under each other that begin on one line.
type column struct {
	lines []*line
	pitch float64
}

// columns groups lines by where they begin and cuts them where rows stop following each other.
func (p *Page) columns() []column {
	often := map[string]int{}
	for i := range p.lines {
		often[p.lines[i].text]++
	}
	var ls []*line
	for i := range p.lines {
		if l := &p.lines[i]; !brief(l.text) || often[l.text] < 3 && !p.within(l) {
			ls = append(ls, l)
		}
	}
	slices.SortStableFunc(ls, func(a, b *line) int {
		return cmp.Or(boolCompare(a.paper, b.paper), cmp.Compare(a.turn, b.turn), cmp.Compare(a.at.X, b.at.X))
	})
	var out []column
	for len(ls) > 0 {
		n := 1
		for n < len(ls) && ls[n].paper == ls[0].paper && ls[n].turn == ls[0].turn && ls[n].at.X-ls[n-1].at.X <= 0.3*ls[n].height {
			n++
		}
		if n >= 2 {
			out = append(out, cut(slices.Clone(ls[:n]))...)
		}
		ls = ls[n:]
	}
	return out
}

// brief reports whether a text is as short as the letters of a symbol are.
func brief(s string) bool { return len([]rune(s)) <= 5 && !strings.Contains(s, " ") }

// within reports whether a text is the letters of a symbol: linework stands close around it.
func (p *Page) within(l *line) bool {
	if l.lettered {
		return true
	}
	at := l.box.Center().Turn(l.turn)
	b := p.loose(l.paper)
	around := geom.EmptyBox()
	for _, i := range b.near(at, 4*l.height) {
		switch s := &b.strokes[i]; {
		case s.kind == circleStroke && s.size <= 4*l.height && s.mid.Dist(at) < s.size:
			return true
		case s.kind == lineStroke && s.size <= 6*l.height:
			around = around.Union(s.box())
		}
	}
	in := around.Grow(-0.3 * l.height)
	return !around.Empty() && in.Contains(at)
}

func boolCompare(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}

func cut(ls []*line) []column {
	slices.SortStableFunc(ls, func(a, b *line) int { return cmp.Compare(b.at.Y, a.at.Y) })
	ls = slices.CompactFunc(ls, func(a, b *line) bool { return a.text == b.text && a.at.Y-b.at.Y < 0.2*a.height })
	var gaps []float64
	for i := 1; i < len(ls); i++ {
		if g := ls[i-1].at.Y - ls[i].at.Y; g > 0.8*ls[i].height {
			gaps = append(gaps, g)
		}
	}
	if len(gaps) == 0 {
		return nil
	}
	slices.Sort(gaps)
	// The lower quartile: rows of one table, even where several stand under each other.
	pitch := gaps[(len(gaps)-1)/4]
	var out []column
	start := 0
	for i := 1; i <= len(ls); i++ {
		if i == len(ls) || ls[i-1].at.Y-ls[i].at.Y > pitchGap*pitch {
			if i-start >= 2 {
				c := column{lines: ls[start:i]}
				var own []float64
				for k := start + 1; k < i; k++ {
					own = append(own, ls[k-1].at.Y-ls[k].at.Y)
				}
				slices.Sort(own)
				c.pitch = own[len(own)/2]
				out = append(out, c)
			}
			start = i
		}
	}
	return out
}

// candidate is a figure on the line of a row.
type candidate struct {
	mark    Mark
	strokes []int // of loose linework
	key     string
	anchor  float64 // x in the frame by which columns are aligned
	middle  float64
	box     geom.Box // in the frame
}

// demand is what a column must have to be a legend.
type demand struct {
	rows, named int
	like        *Legend // one beside it that has two figures for each text; nil for none
}

// legends finds the legends of a page, and short columns that may be one.
func (p *Page) legends(index int, r *reader) (out, maybe []Legend) {
	cols, heads := p.columns(), p.heads(r)
	var rest []column
	for _, c := range cols {
		if len(c.lines) >= leastRows && known(c, r) >= 2 {
			if l, ok := p.legend(index, c, r, nil, demand{leastRows, 2, alsoBeside(out, c)}); ok {
				l.Heading = p.heading(&l, c, r, heads)
				out = append(out, l)
				continue
			}
		}
		rest = append(rest, c)
	}
	// A second, shorter column with the same distance beside one that was accepted.
	var short []column
columns:
	for _, c := range rest {
		for k := range out {
			if l := &out[k]; l.Paper == c.lines[0].paper && l.turn == c.lines[0].turn && math.Abs(l.h-c.lines[0].height) < 0.1*l.h && known(c, r) > 0 {
				if m, ok := p.legend(index, c, r, l, demand{1, 1, alsoBeside(out, c)}); ok {
					m.Heading = out[k].Heading
					out = append(out, m)
					continue columns
				}
			}
		}
		short = append(short, c)
	}
	for _, c := range short {
		if !slices.ContainsFunc(c.lines, func(l *line) bool { return hasWord(l.text) }) {
			continue
		}
		l, v := p.short(index, c, r, heads)
		inside := func(o Legend) bool { return o.Paper == l.Paper && o.own.Overlaps(l.own) && o.turn == l.turn }
		if v == noLegend || slices.ContainsFunc(out, inside) {
			continue
		}
		if v == isLegend {
			out = append(out, l)
		} else if !slices.ContainsFunc(maybe, inside) {
			maybe = append(maybe, l)
		}
	}
	return out, maybe
}

// alsoBeside is a legend with two figures for each text that has lettering like that of a column.
func alsoBeside(ls []Legend, c column) *Legend {
	for i := range ls {
		if l := &ls[i]; l.also != 0 && l.Paper == c.lines[0].paper && l.turn == c.lines[0].turn && math.Abs(l.h-c.lines[0].height) < 0.1*l.h {
			return l
		}
	}
	return nil
}

func known(c column, r *reader) int {
	n := 0
	for _, l := range c.lines {
		if r.device(l.text).Concept != "" {
			n++
		}
	}
	return n
}

// vote is how many rows of a column have a figure at one distance.
type vote struct {
	far    float64
	rows   int
	joined int // of the rows, those whose figure is the beginning of the text itself
	texts  int // those whose figure is a text, joined ones among them
}

func (c column) votesFor(cands [][]candidate, far float64) vote {
	v := vote{far: far}
	for i, l := range c.lines {
		if k := pick(cands[i], l.at.X, far, l.height); k >= 0 {
			v.rows++
			if m := &cands[i][k].mark; m.Form == Text {
				v.texts++
				if m.joined() {
					v.joined++
				}
			}
		}
	}
	return v
}

// vote is the distance at which most rows have a figure, the nearer one of two.
func (c column) vote(cands [][]candidate) vote {
	best, seen, h := vote{}, map[int]bool{}, c.lines[0].height
	for i, l := range c.lines {
		for _, k := range cands[i] {
			for _, far := range []float64{k.anchor - l.at.X, k.middle - l.at.X} {
				q := int(math.Round(far / (0.1 * h)))
				if seen[q] {
					continue
				}
				seen[q] = true
				v := c.votesFor(cands, far)
				if v.rows > best.rows || v.rows == best.rows && (v.joined < best.joined || v.joined == best.joined && math.Abs(far) < math.Abs(best.far)-0.1*h) {
					best = v
				}
			}
		}
	}
	return best
}

// legend takes a column for a legend if figures stand beside it; beside says whose second column it may be.
func (p *Page) legend(index int, c column, r *reader, beside *Legend, d demand) (Legend, bool) {
	h := c.lines[0].height
	first := c.lines[0]
	cands := make([][]candidate, len(c.lines))
	loose := p.looseBeside(index, c)
	for i, l := range c.lines {
		cands[i] = p.besideLine(index, l, c, loose)
	}
	best := vote{}
	if beside != nil {
		best = c.votesFor(cands, beside.far)
	} else {
		best = c.vote(cands)
	}
	// Rows that have a symbol and rows that begin with an abbreviation stand in one legend.
	second := vote{}
	if beside == nil && best.rows >= 2 {
		rest := make([][]candidate, len(cands))
		for i, l := range c.lines {
			if pick(cands[i], l.at.X, best.far, h) < 0 {
				rest[i] = cands[i]
			}
		}
		if second = c.vote(rest); second.rows < 2 || second.texts+best.texts == 0 || second.texts > 0 && best.texts > 0 {
			second = vote{}
		}
	}
	if best.rows+second.rows < d.rows || float64(best.rows+second.rows) < leastShare*float64(len(c.lines)) {
		return Legend{}, false
	}
	out := Legend{Page: index, Paper: first.paper, turn: first.turn, far: best.far, h: h, wide: c.pitch}
	all, named := geom.EmptyBox(), 0
	rows, picked := p.rowsAt(c, cands, best.far, r)
	if second.rows > 0 {
		for i, l := range c.lines {
			if pick(cands[i], l.at.X, best.far, h) >= 0 {
				cands[i] = nil
			}
		}
		more, also := p.rowsAt(c, cands, second.far, r)
		rows, picked = append(rows, more...), append(picked, also...)
	}
	for i := range rows {
		if rows[i].Reading.Concept != "" {
			named++
		}
		all = all.Union(picked[i].box).Union(rows[i].box)
	}
	if float64(len(keysOf(picked))) < leastUnlike*float64(len(picked)) || named < d.named || len(picked) == 0 {
		return Legend{}, false
	}
	out.Rows = rows
	// A second figure for each text, as in a job that two offices drew.
	seconds := map[int]bool{}
	for i, l := range c.lines {
		for _, k := range cands[i] {
			far := k.middle - l.at.X
			q := int(math.Round(far / (0.1 * h)))
			if k.mark.Form == Text || seconds[q] || math.Abs(far-best.far) < 2*aligned*h || far*best.far < 0 {
				continue
			}
			seconds[q] = true
			more, also := p.rowsAt(c, cands, far, r)
			also = slices.DeleteFunc(also, func(k candidate) bool { return k.mark.Form == Text })
			few := 2*len(more) < len(rows) && (d.like == nil || min(math.Abs(far-d.like.also), math.Abs(far-d.like.far)) > aligned*h)
			if len(also) == 0 || len(also) != len(more) || few || len(keysOf(slices.Concat(picked, also))) < len(keysOf(picked))+len(also) {
				continue
			}
			out.also = far
			out.Rows = append(out.Rows, more...)
			picked = append(picked, also...)
			for _, k := range also {
				all = all.Union(k.box)
			}
		}
	}
	b := all.Grow(0.5 * h)
	b.Min.Y, b.Max.Y = min(b.Min.Y, all.Min.Y-0.3*c.pitch), max(b.Max.Y, all.Max.Y+0.3*c.pitch)
	out.own, out.tight, out.Box, out.keys = b, all, framed(b, -first.turn), keysOf(picked)
	return out, true
}

// rowsAt makes rows of the figures at one distance from the texts of a column.
func (p *Page) rowsAt(c column, cands [][]candidate, far float64, r *reader) ([]Row, []candidate) {
	var rows []Row
	var picked []candidate
	for i, l := range c.lines {
		k := pick(cands[i], l.at.X, far, l.height)
		if k < 0 {
			continue
		}
		cand := cands[i][k]
		row := Row{Text: l.text, At: l.box.Center().Turn(l.turn), Sample: cand.mark, Reading: r.device(l.text), box: l.box, layer: p.layerOf(l)}
		if cand.mark.Form == Block {
			row.path = p.Inserts[cand.mark.Index].Path
		}
		if cand.strokes != nil {
			t, ok := p.loose(l.paper).template(cand.strokes)
			if !ok {
				continue
			}
			row.Figure = &t
		}
		rows, picked = append(rows, row), append(picked, cand)
	}
	return rows, picked
}

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
