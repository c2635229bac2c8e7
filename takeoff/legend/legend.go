package legend

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/figures"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
	"loopwright/takeoff/words"
)

// Legend is a table of sample symbols, each beside the text that explains it.
type Legend struct {
	Heading string
	Rows    []Row     // from the top down
	Outline geom.Ring // drawing units: symbols inside are samples
	Paper   bool      // in paper space
}

// Row is one sample symbol and what is written beside it.
type Row struct {
	Block  string // effective name; "" for a loose figure
	Text   string // on one line
	At     geom.Point
	Handle string
}

// Short reports whether a legend is short and no heading says that it is one.
func (l Legend) Short() bool { return l.Heading == "" && len(l.Rows) < bareRows }

// Holds reports whether a place lies inside the legend.
func (l Legend) Holds(p geom.Point) bool { return l.Outline.Contains(p) }

// In finds the legends of a drawing, those in paper space too.
func In(d *dxf.Drawing) ([]Legend, error) {
	inserts, _, err := d.Inserts(dxf.Options{Paper: true})
	if err != nil {
		return nil, err
	}
	texts, _, err := d.Texts(dxf.Options{Paper: true})
	if err != nil {
		return nil, err
	}
	return Among(d, inserts, texts), nil
}

// Among finds the legends among inserts and texts that were read already.
func Among(d *dxf.Drawing, inserts []dxf.Insert, texts []dxf.Text) []Legend {
	p := plan.Of(d, inserts, texts)
	legends, _ := find(p, func() *figures.Board { return figures.On(p.Shapes, p.Texts, false) })
	return legends
}

// Describe returns what legends say about a block, "" if nothing.
func Describe(legends []Legend, effective string) string {
	for _, l := range legends {
		for _, r := range l.Rows {
			if r.Block != "" && strings.EqualFold(r.Block, effective) {
				return r.Text
			}
		}
	}
	return ""
}

// find finds the legends of a page, and what may be one: in model space,
// then in paper space.
func find(p *plan.Page, loose func() *figures.Board) (legends, maybe []Legend) {
	for _, paper := range []bool{false, true} {
		for _, turn := range textTurns(p.Texts, paper) {
			f := finder{page: p, loose: loose, paper: paper, turn: turn}
			f.find()
			legends, maybe = append(legends, f.legends...), append(maybe, f.maybe...)
		}
	}
	told := map[string]bool{} // symbols between two columns of texts are beside both
	return legends, slices.DeleteFunc(maybe, func(m Legend) bool {
		h := m.Rows[0].Handle
		again := told[h] || slices.ContainsFunc(legends, func(l Legend) bool { return l.Holds(m.Rows[0].At) })
		told[h] = true
		return again
	})
}

// textTurns lists the directions in which texts run, in whole degrees, the
// commonest first. Few drawings have more than two.
func textTurns(texts []dxf.Text, paper bool) []float64 {
	n := map[float64]int{}
	for i := range texts {
		if texts[i].Paper == paper {
			n[math.Mod(math.Round(texts[i].Rotation), 360)]++
		}
	}
	var turns []float64
	for a, k := range n {
		if k >= minRows {
			turns = append(turns, a)
		}
	}
	slices.SortFunc(turns, func(a, b float64) int { return cmp.Or(cmp.Compare(n[b], n[a]), cmp.Compare(a, b)) })
	return turns[:min(len(turns), 4)]
}

const (
	minRows  = 2 // under a heading
	bareRows = 4 // without one: chance rows of devices beside texts are shorter, so that those need more evidence
)

// finder looks for legends whose texts run in one direction. It works in
// a frame in which they run to the right.
type finder struct {
	page  *plan.Page
	loose func() *figures.Board
	paper bool
	turn  float64

	lines   []line
	figures []figures.Loose
	repeats map[string]int // how often each text stands on the drawing

	legends, maybe []Legend // found
}

// line is one text in the finder's frame.
type line struct {
	box    geom.Box
	height float64
	text   string
	t      *dxf.Text
}

// pair is a symbol with the text beside it.
type pair struct {
	id     int      // index of an insert, or -1-k for loose figure k of the finder
	what   string   // what symbol it is: the same for symbols that are alike
	symbol geom.Box // in the frame
	line   *line
	edge   float64 // where the text begins, seen from the symbol
}

func (f *finder) frame(b geom.Box) geom.Box {
	if f.turn == 0 {
		return b
	}
	return geom.BoxOf(b.Min.Turn(-f.turn), b.Max.Turn(-f.turn),
		geom.Pt(b.Min.X, b.Max.Y).Turn(-f.turn), geom.Pt(b.Max.X, b.Min.Y).Turn(-f.turn))
}

func (f *finder) find() {
	f.readLines()
	if len(f.lines) < minRows {
		return
	}
	used := map[int]bool{}
	for _, side := range []float64{1, -1} { // a mirrored legend has its texts on the left
		f.looseFigures(side)
		pairs := f.pairs(side, used)
		for _, run := range runs(pairs) {
			l, v := f.accept(run, pairs)
			switch v {
			case isLegend:
				f.legends = append(f.legends, l)
				for _, p := range run {
					used[p.id] = true
				}
			case mayBeLegend:
				f.maybe = append(f.maybe, l)
			}
		}
	}
}

func (f *finder) readLines() {
	for i := range f.page.Texts {
		t := &f.page.Texts[i]
		if t.Paper != f.paper || t.Height <= 0 || math.Mod(math.Round(t.Rotation), 360) != f.turn {
			continue
		}
		text := strings.Join(strings.Fields(t.Text), " ")
		b := geom.EmptyBox()
		for _, v := range plan.TextCorners(t) {
			b = b.Extend(plan.At(v).Turn(-f.turn))
		}
		f.lines = append(f.lines, line{b, t.Height, text, t})
	}
	f.repeats = map[string]int{}
	for i := range f.lines {
		f.repeats[strings.ToUpper(f.lines[i].text)]++
	}
	slices.SortStableFunc(f.lines, func(a, b line) int { return cmp.Compare(a.box.Min.Y, b.box.Min.Y) })
}

// pairs puts each symbol together with the nearest text on the given side of it.
func (f *finder) pairs(side float64, used map[int]bool) []pair {
	tall := 0.0
	for i := range f.lines {
		tall = max(tall, f.lines[i].box.Height())
	}
	var out []pair
	for i := range f.page.Inserts {
		in := &f.page.Inserts[i]
		if in.Paper != f.paper || used[i] {
			continue
		}
		if p, ok := f.beside(pair{id: i, what: strings.ToUpper(in.Effective), symbol: f.frame(f.page.Symbols[i])}, side, tall); ok {
			out = append(out, p)
		}
	}
	for k, g := range f.figures {
		if used[-1-k] {
			continue
		}
		if p, ok := f.beside(pair{id: -1 - k, what: g.What, symbol: f.frame(g.Box)}, side, tall); ok {
			out = append(out, p)
		}
	}
	return out
}

func (f *finder) beside(p pair, side, tall float64) (pair, bool) {
	best, b := math.Inf(1), p.symbol
	mid := b.Center().Y
	low, _ := slices.BinarySearchFunc(f.lines, mid-2*tall-b.Height(), func(l line, y float64) int { return cmp.Compare(l.box.Min.Y, y) })
	for k := low; k < len(f.lines); k++ {
		l := &f.lines[k]
		h := l.height
		if l.box.Min.Y > mid+0.75*h+tall {
			break
		}
		if mid < l.box.Min.Y-0.75*h || mid > l.box.Max.Y+0.75*h || b.Height() > 12*h || b.Width() > 12*h || !words.HasWord(l.text) {
			continue
		}
		gap, edge := l.box.Min.X-b.Max.X, l.box.Min.X
		if side < 0 {
			gap, edge = b.Min.X-l.box.Max.X, l.box.Max.X
		}
		if gap < -0.2*h || gap > max(8*b.Width(), 15*h) || gap >= best {
			continue
		}
		best, p.line, p.edge = gap, l, edge
	}
	return p, p.line != nil
}

// runs groups pairs whose texts begin on one line and whose symbols stand
// in one column, and cuts the columns where rows stop following each other.
func runs(pairs []pair) [][]pair {
	ps := slices.Clone(pairs)
	slices.SortStableFunc(ps, func(a, b pair) int { return cmp.Compare(a.edge, b.edge) })
	var out [][]pair
	for len(ps) > 0 {
		n := 1
		for n < len(ps) && ps[n].edge-ps[n-1].edge <= 0.5*ps[n].line.height {
			n++
		}
		out = append(out, cutRows(slices.Clone(ps[:n]))...)
		ps = ps[n:]
	}
	return out
}

// cutRows cuts a column of pairs into runs of regular pitch.
func cutRows(col []pair) [][]pair {
	slices.SortStableFunc(col, func(a, b pair) int { return cmp.Compare(b.symbol.Center().Y, a.symbol.Center().Y) })
	var gaps []float64
	for i := 1; i < len(col); i++ {
		if g := pitchBetween(col[i-1], col[i]); g > 0.8*col[i].line.height {
			gaps = append(gaps, g)
		}
	}
	if len(gaps) == 0 {
		return nil
	}
	slices.Sort(gaps)
	// The lower quartile: rows of one legend, even where several stand under each other.
	limit := 2.2 * gaps[(len(gaps)-1)/4]
	var out [][]pair
	start := 0
	for i := 1; i <= len(col); i++ {
		if i == len(col) || pitchBetween(col[i-1], col[i]) > limit || pitchBetween(col[i-1], col[i]) > 12*col[i].line.height {
			if i-start >= minRows {
				out = append(out, col[start:i])
			}
			start = i
		}
	}
	return out
}

func pitchBetween(a, b pair) float64 { return a.symbol.Center().Y - b.symbol.Center().Y }
