package dxf

import (
	"math"
	"strings"
	"unicode/utf8"

	"loopwright/takeoff/dxf/tags"
	"loopwright/takeoff/parallel"
)

// Text is a TEXT or MTEXT as it appears in the world.
type Text struct {
	Text     string // plain: inline codes resolved, lines separated by \n
	Layer    string // as stored
	EffLayer string
	Style    Style
	Pos      Vec3    // the point that Align refers to
	Height   float64 // of capitals, in the world
	Rotation float64 // direction of the baseline in plan, degrees in [0,360)
	Width    float64 // of the longest line: estimated, except for fitted text
	Lines    int
	Feed     float64 // from line to line, as a multiple of the height
	Align    Align
	Handle   tags.Handle
	Path     []string // as Insert.Path
	Visible  bool
	Paper    bool
	Offset   int
}

// averageAdvance is the width of an average capital or digit with the space
// after it, as a multiple of its height. Capitals of the usual sans-serif faces
// advance by about 0.66 em at a capital height of 0.72 em.
const averageAdvance = 0.9

// lineFeed is the distance of two lines as a multiple of the text height (DXF
// reference, MTEXT: single spacing is 5/3).
const lineFeed = 5.0 / 3

// readText reads TEXT i. DXF reference, TEXT.
func readText(n *names, i int) rawText {
	d := n.d
	r := rawText{layer: noLayer, handle: d.handleOf(i), offset: d.idx.Start(i), rec: i, lines: 1, feed: lineFeed}
	extrusion := Vec3{0, 0, 1}
	var a rawAnchor
	rotation, factor := 0.0, 1.0
	sc := d.tags(i)
	for {
		t, ok := sc.Next()
		if !ok || t.Code >= 1000 {
			break
		}
		switch t.Code {
		case 1:
			r.text = plainText(d.Text(t))
		case 10, 20, 30, 11, 21, 31:
			r.bad = !a.number(d, t) || r.bad
		case 40:
			r.height, _ = d.Float(t)
		case 41:
			factor, _ = d.Float(t)
		case 50:
			rotation, _ = d.Float(t)
		case 72:
			v, _ := d.Int(t)
			a.horizontal = int(v)
		case 73:
			v, _ := d.Int(t)
			a.vertical = int(v)
		case 210:
			extrusion.X, _ = d.Float(t)
		case 220:
			extrusion.Y, _ = d.Float(t)
		case 230:
			extrusion.Z, _ = d.Float(t)
		default:
			r.common(n, t)
		}
	}
	r.bad = r.bad || len(sc.Faults) > 0
	o := ocs(extrusion)
	sin, cos := sincos(rotation)
	r.width = float64(utf8.RuneCountInString(r.text)) * r.height * averageAdvance * factor
	r.alignment(&a, &sin, &cos)
	at := a.point()
	r.pos, r.dx, r.dy = o.Apply(at), o.direction(Vec3{cos, sin, 0}), o.direction(Vec3{-sin, cos, 0})
	return r
}

// alignment translates groups 72 and 73 and, for text between two points, sets
// its direction and width.
func (r *rawText) alignment(a *rawAnchor, sin, cos *float64) {
	r.align.V = VAlign(min(max(a.vertical, 0), 3))
	switch a.horizontal {
	case 1:
		r.align.H = Center
	case 2:
		r.align.H = Right
	case 3, 5:
		r.align.H = Aligned
		if a.horizontal == 5 {
			r.align.H = Fit
		}
		if span := a.second.sub(a.first); a.hasSecond && span.length() > 0 {
			r.width = span.length()
			*cos, *sin = span.X/r.width, span.Y/r.width
		}
	case 4:
		r.align = Align{Center, Middle}
	}
}

// common reads the groups that TEXT and MTEXT share.
func (r *rawText) common(n *names, t tags.Tag) {
	switch t.Code {
	case 6, 62, 420:
		n.style(&r.style, t)
	case 8:
		r.layer = n.layer(t)
	case 60:
		v, _ := n.d.Int(t)
		r.invisible = v&1 != 0
	case 67:
		v, _ := n.d.Int(t)
		r.paper = v&1 != 0
	}
}

// readMText reads MTEXT i. DXF reference, MTEXT. Group 101 starts an embedded object
// (columns, R2018); its groups are not those of the text. Before R2018 further
// columns are MTEXTs of their own and listed as such.
func readMText(n *names, i int) rawText {
	d := n.d
	r := rawText{layer: noLayer, handle: d.handleOf(i), offset: d.idx.Start(i), rec: i, feed: lineFeed}
	extrusion, direction := Vec3{0, 0, 1}, Vec3{}
	var a rawAnchor
	var raw []byte
	rotation, frame, attachment := 0.0, 0.0, 1
	sc := d.tags(i)
	for {
		t, ok := sc.Next()
		if !ok || t.Code == 101 || t.Code >= 1000 {
			break
		}
		switch t.Code {
		case 1, 3:
			raw = append(raw, d.Raw(t)...)
		case 10, 20, 30:
			r.bad = !a.number(d, t) || r.bad
		case 11:
			direction.X, _ = d.Float(t)
		case 21:
			direction.Y, _ = d.Float(t)
		case 31:
			direction.Z, _ = d.Float(t)
		case 40:
			r.height, _ = d.Float(t)
		case 41:
			frame, _ = d.Float(t)
		case 44:
			if f, ok := d.Float(t); ok && f >= 0.25 && f <= 4 { // the factors that the reference allows
				r.feed = f * lineFeed
			}
		case 50:
			rotation, _ = d.Float(t)
			direction = Vec3{}
		case 71:
			v, _ := d.Int(t)
			attachment = int(v)
		case 210:
			extrusion.X, _ = d.Float(t)
		case 220:
			extrusion.Y, _ = d.Float(t)
		case 230:
			extrusion.Z, _ = d.Float(t)
		default:
			r.common(n, t)
		}
	}
	r.bad = r.bad || len(sc.Faults) > 0
	r.text = plainMText(d.Decode(raw))
	r.pos = a.first
	r.frame(ocs(extrusion), direction, rotation)
	r.measure(frame)
	r.align = attach(attachment)
	return r
}

// frame sets the directions: along 11 in the world if it is there, else by the
// angle in the plane of the text.
func (r *rawText) frame(o Affine, direction Vec3, rotation float64) {
	if x, ok := direction.unit(); ok {
		r.dx, r.dy = x, o.z.cross(x)
		return
	}
	sin, cos := sincos(rotation)
	r.dx, r.dy = o.direction(Vec3{cos, sin, 0}), o.direction(Vec3{-sin, cos, 0})
}

// measure estimates the width and counts the lines, wrapped at the frame.
func (r *rawText) measure(frame float64) {
	widest := 0.0
	r.lines = 0
	for line := range strings.SplitSeq(r.text, "\n") {
		w := float64(utf8.RuneCountInString(line)) * r.height * averageAdvance
		wraps := 1.0
		if frame > 0 && w > frame {
			wraps = math.Ceil(w / frame)
			w = frame
		}
		r.lines += int(min(wraps, 10000))
		widest = max(widest, w)
	}
	r.width = widest
}

func attach(point int) Align {
	if point < 1 || point > 9 {
		point = 1
	}
	return Align{HAlign((point - 1) % 3), [...]VAlign{Top, Middle, Bottom}[(point-1)/3]}
}

// textsOf reads the texts of a block, once.
func textsOf(d *Drawing, b *Block) []rawText {
	b.textOnce.Do(func() {
		n := newNames(d)
		for i := b.first; i < b.last; i++ {
			switch d.idx.Kind(i) {
			case tags.Text:
				b.texts = append(b.texts, readText(n, i))
			case tags.MText:
				b.texts = append(b.texts, readMText(n, i))
			}
		}
	})
	return b.texts
}

// Texts lists every TEXT and MTEXT of model space (and paper space, if wanted),
// those inside blocks too, in drawing order. Attributes come with their inserts.
// The error says that there are more than the limit.
func (d *Drawing) Texts(opt Options) ([]Text, []Finding, error) {
	p := work(d)
	if err := limitTexts(d, opt); err != nil {
		return nil, nil, err
	}
	sizes := p.windows(countTexts)
	out := make([]Text, sizes[len(p.units)])
	counts := make([]int, len(p.units))
	notes := make([]notebook, len(p.units))
	parallel.For(len(p.units), func(k int) {
		if p.units[k].texts == 0 {
			return
		}
		e := textLister{newWalker(d, opt, &notes[k]), out[sizes[k]:sizes[k]:sizes[k+1]]}
		e.unit(&p.units[k])
		counts[k] = len(e.out)
		releaseUnit(d, &p.units[k])
	})
	return closeGaps(out, sizes, counts), mergeNotes(d, notes), nil
}

// textLister lists the texts of a unit of work.
type textLister struct {
	*walker
	out []Text
}

func (e *textLister) unit(u *unit) {
	c := context{m: identity, path: e.root, paper: u.paper}
	next := 0
	for i := u.first; i < u.last; i++ {
		switch e.d.idx.Kind(i) {
		case tags.Text:
			r := readText(e.names, i)
			e.text(&r, &c)
		case tags.MText:
			r := readMText(e.names, i)
			e.text(&r, &c)
		case tags.Insert:
			t := u.tops[next]
			next++
			if t.block == nil || t.block.node.texts == 0 || t.paper && !e.opt.Paper {
				continue
			}
			r := readInsert(e.names, i)
			inner := c
			inner.paper = t.paper
			e.insert(&r, &inner)
		}
	}
}

// insert lists the texts that an insert shows.
func (e *textLister) insert(r *rawInsert, c *context) {
	if r.broken || r.bad || r.block == nil || r.block.node.texts == 0 {
		return
	}
	for row := range r.rows {
		for col := range r.cols {
			pl := place(r, c, r.block.base, col, row)
			if !pl.m.near() {
				return
			}
			inner, ok := e.enter(r, c, &pl)
			if !ok {
				continue
			}
			e.block(r.block, &inner)
		}
	}
}

// block lists the content of a block in drawing order.
func (e *textLister) block(b *Block, c *context) {
	texts, inserts := textsOf(e.d, b), insertsOf(e.d, b)
	for len(texts) > 0 || len(inserts) > 0 {
		if len(inserts) == 0 || len(texts) > 0 && texts[0].offset < inserts[0].offset {
			e.text(&texts[0], c)
			texts = texts[1:]
			continue
		}
		e.insert(&inserts[0], c)
		inserts = inserts[1:]
	}
}

// text appends one text.
func (e *textLister) text(r *rawText, c *context) {
	paper := c.paper || r.paper && c.depth == 0
	if paper && !e.opt.Paper {
		return
	}
	pos := r.pos
	dx, dy := r.dx, r.dy
	if c.depth > 0 {
		pos, dx, dy = c.m.Apply(pos), c.m.direction(dx), c.m.direction(dy)
	}
	bad := r.bad || !pos.Drawable()
	for _, corner := range (&Text{Pos: pos, Height: r.height * dy.length(), Width: r.width * dx.length(), Lines: r.lines, Feed: r.feed}).Box() {
		bad = bad || !corner.Drawable()
	}
	if bad {
		e.notes.merge(note{codeBadNumber, r.text, 1, r.offset, r.handle, Vec3{}})
		return
	}
	eff := c.effective(r.layer)
	e.out = append(e.out, Text{
		Text: r.text, Layer: r.layer.name, EffLayer: eff.name, Style: r.style, Pos: pos,
		Height: r.height * dy.length(), Rotation: angle(dx), Width: r.width * dx.length(), Lines: r.lines, Feed: r.feed,
		Align: r.align, Handle: r.handle, Path: c.path.names, Visible: c.shows(eff, r.invisible) && !c.clipped(pos),
		Paper: paper, Offset: r.offset,
	})
}
