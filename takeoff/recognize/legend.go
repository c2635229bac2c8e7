package recognize

import (
	"math"
	"slices"

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
