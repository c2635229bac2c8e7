package recognize

import (
	"maps"
	"math"
	"slices"
	"strings"

	"github.com/tidwall/rtree"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/words"
)

// Page is one drawing as it is looked at: model space and paper space.
type Page struct {
	Name    string
	D       *dxf.Drawing
	Inserts []dxf.Insert // those of paper space too
	Texts   []dxf.Text   // likewise
	Shapes  []dxf.Shape  // likewise

	H      [2]float64 // median height of the texts in model and in paper space, drawing units; 0 without texts
	Marks  []Mark     // the figures that are blocks or short texts
	lines  []line
	turn   float64 // degrees by which the page's frame is turned against the axes: see runs
	board  [2]*board
	marks  *rtree.RTreeG[int] // Marks by box
	times  map[string]int     // how often each text stands there
	every  []Heap             // see everyHeap
	heaped bool
	open   map[string]bool // blocks, as stored, that are opened: what they hold stands for itself
	whole  map[string]bool // blocks, as stored, that are figures
}

// Form says what a figure is drawn as.
type Form uint8

// The forms of figures.
const (
	Block Form = iota // an insert
	Loose             // linework outside blocks, with what is lettered inside
	Text              // a short text alone
)

func (f Form) String() string { return [...]string{"block", "figure", "text"}[f] }

// Mark is one figure somewhere.
type Mark struct {
	Form    Form
	Page    int // among those looked at together
	Paper   bool
	Index   int        // of the insert or the text on its page
	Name    string     // effective name of the block without its prefix, or the text
	At      geom.Point // insertion point; the middle of loose linework
	Box     geom.Box
	Layer   string
	Style   dxf.Style
	Attribs []dxf.Attrib
	Handle  dxf.Handle
	Visible bool
	Table   bool // in a table entity
}

// Sizes as multiples of h. They are flat: half and twice as much change little.
const (
	largestFigure = 16.0 // a block without children that is larger is linework
	largestShut   = 8.0  // a block with children that is larger is opened
	shortText     = 8    // runes of a text that may be a figure
)

// NewPage looks at a drawing that was read. The index is its place among those that are looked at together.
func NewPage(index int, name string, d *dxf.Drawing, inserts []dxf.Insert, texts []dxf.Text, shapes []dxf.Shape) *Page {
	if cells, words, err := d.TableContent(); err == nil { // a legend may be a table; one that is beyond all limits is none
		inserts, texts = slices.Concat(inserts, cells), slices.Concat(texts, words)
	}
	p := &Page{Name: name, D: d, Inserts: inserts, Texts: texts, Shapes: shapes, open: map[string]bool{}, whole: map[string]bool{}}
	p.H = Ruler(inserts, texts)
	p.sortBlocks()
	p.mark(index)
	p.readLines()
	p.turn = p.runs()
	return p
}

// Ruler is the median height of the texts of model space and of paper space, values of
// attributes among them; 0 where there are none.
func Ruler(inserts []dxf.Insert, texts []dxf.Text) (h [2]float64) {
	var hs [2][]float64
	side := func(paper bool) int {
		if paper {
			return 1
		}
		return 0
	}
	for i := range texts {
		if t := &texts[i]; t.Height > 0 && t.Visible {
			hs[side(t.Paper)] = append(hs[side(t.Paper)], t.Height)
		}
	}
	for i := range inserts {
		for _, a := range inserts[i].Attribs {
			if a.Height > 0 && !a.Invisible && strings.TrimSpace(a.Value) != "" {
				hs[side(inserts[i].Paper)] = append(hs[side(inserts[i].Paper)], a.Height)
			}
		}
	}
	for k := range hs {
		if len(hs[k]) > 0 {
			slices.Sort(hs[k])
			h[k] = hs[k][len(hs[k])/2]
		}
	}
	return h
}

func (p *Page) h(paper bool) float64 {
	if paper {
		return p.H[1]
	}
	return p.H[0]
}

// marksIn lists the marks whose boxes, or insertion points, meet a box, in drawing order.
func (p *Page) marksIn(b geom.Box) []int {
	if p.marks == nil {
		p.marks = &rtree.RTreeG[int]{}
		for i := range p.Marks {
			x := p.Marks[i].Box.Extend(p.Marks[i].At)
			if x.Min.IsFinite() && x.Max.IsFinite() {
				p.marks.Insert([2]float64{x.Min.X, x.Min.Y}, [2]float64{x.Max.X, x.Max.Y}, i)
			}
		}
	}
	var out []int
	p.marks.Search([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, func(_, _ [2]float64, i int) bool {
		out = append(out, i)
		return true
	})
	slices.Sort(out)
	return out
}

func plane(v dxf.Vec3) geom.Point { return geom.Pt(v.X, v.Y) }

// symbolBox is the box around an insert's block on the drawing.
func (p *Page) symbolBox(in *dxf.Insert) geom.Box {
	e := p.D.BlockExtent(in.Block)
	if e.Empty {
		return geom.BoxOf(plane(in.Pos))
	}
	b := geom.EmptyBox()
	for _, x := range []float64{e.Min.X, e.Max.X} {
		for _, y := range []float64{e.Min.Y, e.Max.Y} {
			b = b.Extend(plane(in.Transform.Apply(dxf.Vec3{X: x, Y: y})))
		}
	}
	return b
}

func side(b geom.Box) float64 { return max(b.Width(), b.Height()) }

// sortBlocks decides which blocks are figures and which are opened. A block with
// others inside is opened where it is large or draws nothing of its own: a room
// with one symbol in it may be as small as a symbol.
func (p *Page) sortBlocks() {
	holds, draws := map[string]bool{}, map[string]bool{}
	for i := range p.Inserts {
		if path := p.Inserts[i].Path; len(path) > 0 {
			holds[path[len(path)-1]] = true
		}
	}
	last := func(path []string) {
		if len(path) > 0 {
			draws[path[len(path)-1]] = true
		}
	}
	for i := range p.Shapes {
		last(p.Shapes[i].Path)
	}
	for i := range p.Texts {
		last(p.Texts[i].Path)
	}
	size := map[string]float64{}
	for i := range p.Inserts {
		in := &p.Inserts[i]
		if h := p.h(in.Paper); h > 0 {
			if s := side(p.symbolBox(in)) / h; s > size[in.Block] {
				size[in.Block] = s
			}
		}
	}
	for b, s := range size {
		if holds[b] {
			p.open[b] = !draws[b] || s > largestShut
		} else {
			p.open[b] = s > largestFigure
		}
		p.whole[b] = !p.open[b]
	}
	for i := range p.Inserts { // without any text nothing is measured: blocks without children are figures
		if b := p.Inserts[i].Block; size[b] == 0 && !p.open[b] {
			p.open[b], p.whole[b] = holds[b], !holds[b]
		}
	}
}

// inFigure reports whether something inside the blocks of path is part of a figure.
func (p *Page) inFigure(path []string) bool {
	for _, b := range path {
		if p.whole[b] {
			return true
		}
	}
	return false
}

// mark lists the figures that are blocks or short texts.
func (p *Page) mark(index int) {
	for i := range p.Inserts {
		in := &p.Inserts[i]
		if !p.whole[in.Block] || p.inFigure(in.Path) {
			continue
		}
		if p.lettering(in) {
			continue
		}
		box := p.symbolBox(in)
		p.Marks = append(p.Marks, Mark{Form: Block, Page: index, Paper: in.Paper, Index: i, Name: words.Unprefixed(in.Effective), At: plane(in.Pos), Box: box,
			Layer: in.EffLayer, Style: in.Style, Attribs: in.Attribs, Handle: in.Handle, Visible: in.Visible, Table: inTable(in.Path)})
	}
	for i := range p.Texts {
		t := &p.Texts[i]
		s := strings.TrimSpace(t.Text)
		if n := len([]rune(s)); n == 0 || n > shortText || strings.ContainsAny(s, " \n") && n > 4 || t.Height <= 0 || p.inFigure(t.Path) {
			continue
		}
		p.Marks = append(p.Marks, Mark{Form: Text, Page: index, Paper: t.Paper, Index: i, Name: s, At: plane(t.Pos), Box: textBox(t), Layer: t.EffLayer, Style: t.Style, Handle: t.Handle, Visible: t.Visible, Table: inTable(t.Path)})
	}
}

// inTable reports whether something stands in a table entity: its block is named *T and a number.
func inTable(path []string) bool {
	return len(path) > 0 && strings.HasPrefix(strings.ToUpper(path[0]), "*T")
}

// lettering reports whether an insert draws nothing but words in its attributes: it is a text, such as a row of a legend.
func (p *Page) lettering(in *dxf.Insert) bool {
	return p.D.BlockExtent(in.Block).Empty && slices.ContainsFunc(in.Attribs, func(a dxf.Attrib) bool { return !a.Invisible && letters(a.Value) > shortText })
}

// textBox is the box around a text. It wraps between words only.
func textBox(t *dxf.Text) geom.Box {
	u := *t
	u.Lines = max(1+strings.Count(t.Text, "\n"), min(t.Lines, len(strings.Fields(t.Text))))
	b := geom.EmptyBox()
	for _, v := range u.Box() {
		b = b.Extend(plane(v))
	}
	return b
}

// line is one line of lettering, in a frame that is turned so that it runs to the right.
type line struct {
	text   string
	raw    string     // the text with its blanks as they were typed
	at     geom.Point // in the frame: x as the lettering is aligned, y of its middle
	box    geom.Box   // in the frame
	height float64
	turn   float64 // degrees, to a tenth
	paper  bool
	index  int // of the text, -1 for an attribute
	handle dxf.Handle
	of     int // lines of its text
	// lettered: an attribute that stands within what its insert draws.
	lettered bool
}

// readLines lists the lines of texts and of attributes.
func (p *Page) readLines() {
	for i := range p.Texts {
		t := &p.Texts[i]
		if t.Height <= 0 || !t.Visible || p.inFigure(t.Path) {
			continue
		}
		turn := tenth(t.Rotation)
		at := plane(t.Pos).Turn(-turn)
		b := geom.EmptyBox()
		for _, v := range t.Box() {
			b = b.Extend(plane(v).Turn(-turn))
		}
		parts := strings.Split(t.Text, "\n")
		for k, raw := range parts {
			s := strings.Join(strings.Fields(raw), " ")
			if s == "" {
				continue
			}
			y := b.Center().Y
			if len(parts) > 1 {
				y = b.Max.Y - t.Height*(0.5+t.Feed*float64(k))
			}
			l := line{text: s, raw: raw, at: geom.Pt(at.X, y), height: t.Height, turn: turn, paper: t.Paper, index: i, handle: t.Handle, of: len(parts)}
			l.box = geom.Box{Min: geom.Pt(b.Min.X, y-t.Height/2), Max: geom.Pt(b.Max.X, y+t.Height/2)}
			p.lines = append(p.lines, l)
		}
	}
	for i := range p.Inserts {
		in := &p.Inserts[i]
		if !in.Visible {
			continue
		}
		turn := tenth(in.Rotation)
		for _, a := range in.Attribs {
			s := strings.Join(strings.Fields(a.Value), " ")
			if s == "" || a.Invisible || a.Height <= 0 {
				continue
			}
			at := plane(a.Pos).Turn(-turn)
			at.Y += a.Height / 2
			w := float64(len([]rune(s))) * a.Height * 0.9
			inside := !p.D.BlockExtent(in.Block).Empty && p.whole[in.Block] && p.symbolBox(in).Contains(plane(a.Pos).Lerp(geom.Pt(at.X+w/2, at.Y).Turn(turn), 0.5))
			p.lines = append(p.lines, line{text: s, raw: a.Value, lettered: inside, at: at, height: a.Height, turn: turn, paper: in.Paper, index: -1, handle: a.Handle, of: 1,
				box: geom.Box{Min: geom.Pt(at.X, at.Y-a.Height/2), Max: geom.Pt(at.X+w, at.Y+a.Height/2)}})
		}
	}
}

// tenth rounds an angle in degrees, so that lettering which runs alike is told by equality.
func tenth(a float64) float64 { return math.Mod(math.Round(10*a)/10, 360) }

// runs is by how many degrees, within a quarter turn, the page's frame is turned against the drawing's
// axes: of the directions in which lettering of model space runs, that of most long lines.
func (p *Page) runs() float64 {
	n := map[float64]float64{}
	for i := range p.lines {
		if l := &p.lines[i]; !l.paper {
			n[math.Mod(l.turn+360, 90)]++
		}
	}
	if len(n) < 2 {
		for a := range n {
			return a
		}
		return 0
	}
	along := map[float64]float64{}
	for i := range p.Shapes {
		sh := &p.Shapes[i]
		if sh.Paper || p.inFigure(sh.Path) || sh.Kind != dxf.LineShape && sh.Kind != dxf.PolylineShape || len(sh.Points) > 40 {
			continue
		}
		for k := 1; k < len(sh.Points); k++ {
			if v := plane(sh.Points[k]).Sub(plane(sh.Points[k-1])); v.Len() > longLine*p.H[0] {
				along[math.Mod(tenth(math.Atan2(v.Y, v.X)*180/math.Pi)+360, 90)] += v.Len()
			}
		}
	}
	best := -1.0
	for _, a := range slices.Sorted(maps.Keys(n)) {
		if best < 0 || along[a] > along[best] || along[a] == along[best] && n[a] > n[best] {
			best = a
		}
	}
	return best
}

// framed is a box in the frame that is turned back by so many degrees.
func framed(b geom.Box, turn float64) geom.Box {
	if turn == 0 {
		return b
	}
	return geom.BoxOf(b.Min.Turn(-turn), b.Max.Turn(-turn), geom.Pt(b.Min.X, b.Max.Y).Turn(-turn), geom.Pt(b.Max.X, b.Min.Y).Turn(-turn))
}
