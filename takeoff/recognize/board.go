package recognize

import (
	"math"
	"slices"
	"strings"

	"github.com/tidwall/rtree"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
)

// strokeKind tells strokes apart.
type strokeKind uint8

const (
	lineStroke strokeKind = iota
	circleStroke
	arcStroke
	letterStroke
)

// stroke is one loose piece of linework or lettering.
type stroke struct {
	kind    strokeKind
	mid     geom.Point // the middle of a line, arc or text, the centre of a circle
	a, b    geom.Point // ends of a line or arc
	size    float64    // length, radius, chord, or height of letters
	text    string
	layer   string
	style   dxf.Style
	handle  dxf.Handle
	offset  int
	visible bool
}

func (s *stroke) box() geom.Box {
	switch s.kind {
	case circleStroke:
		return geom.Around(s.mid, 2*s.size, 2*s.size)
	case letterStroke:
		return geom.Around(s.mid, s.size, s.size)
	}
	return geom.BoxOf(s.a, s.b, s.mid)
}

// wide is about how wide lettering runs, by the usual proportion of its letters.
func (s *stroke) wide() float64 { return 0.6 * s.size * float64(len([]rune(s.text))) }

// lettersOf reports whether lettering stands within a figure and does not run out of it as the name of a room may.
func (s *stroke) lettersOf(figure geom.Box) bool {
	b := figure.Grow(0.05 * side(figure))
	half := geom.Pt(s.wide()/2, 0)
	return figure.Contains(s.mid) && b.Contains(s.mid.Add(half)) && b.Contains(s.mid.Sub(half))
}

// board is the loose linework and lettering of a space: what is in no figure.
type board struct {
	strokes []stroke
	boxes   rtree.RTreeG[int] // by box
	mids    rtree.RTreeG[int] // by middle
}

// loose returns the board of a space, made when first asked for.
func (p *Page) loose(paper bool) *board {
	k := 0
	if paper {
		k = 1
	}
	if p.board[k] != nil {
		return p.board[k]
	}
	b := &board{}
	for i := range p.Shapes {
		if sh := &p.Shapes[i]; sh.Paper == paper && !p.inFigure(sh.Path) && len(sh.Path) == 0 {
			b.strokes = append(b.strokes, strokesOf(sh)...)
		}
	}
	for i := range p.Texts {
		t := &p.Texts[i]
		if len(t.Path) == 0 && t.Paper == paper && t.Height > 0 {
			b.strokes = append(b.strokes, stroke{kind: letterStroke, mid: textBox(t).Center(), size: t.Height,
				text: strings.Join(strings.Fields(t.Text), " "), layer: t.EffLayer, style: t.Style, handle: t.Handle, offset: t.Offset, visible: t.Visible})
		}
	}
	slices.SortStableFunc(b.strokes, func(p, q stroke) int { return p.offset - q.offset })
	for i := range b.strokes {
		s := &b.strokes[i]
		x := s.box()
		b.boxes.Insert([2]float64{x.Min.X, x.Min.Y}, [2]float64{x.Max.X, x.Max.Y}, i)
		b.mids.Insert([2]float64{s.mid.X, s.mid.Y}, [2]float64{s.mid.X, s.mid.Y}, i)
	}
	p.board[k] = b
	return b
}

// strokesOf takes a shape apart: a polyline is as many lines.
func strokesOf(sh *dxf.Shape) []stroke {
	base := stroke{layer: sh.EffLayer, style: sh.Style, handle: sh.Handle, offset: sh.Offset, visible: sh.Visible}
	n := len(sh.Points)
	switch {
	case n < 2:
		return nil
	case sh.Kind == dxf.CircleShape:
		b := geom.EmptyBox()
		for _, v := range sh.Points {
			b = b.Extend(plane(v))
		}
		base.kind, base.mid = circleStroke, b.Center()
		base.size = plane(sh.Points[0]).Dist(base.mid) // the points lie on the circle
		return []stroke{base}
	case sh.Kind == dxf.ArcShape && n > 2:
		base.kind, base.a, base.b = arcStroke, plane(sh.Points[0]), plane(sh.Points[n-1])
		ps := make([]geom.Point, n)
		for i, v := range sh.Points {
			ps[i] = plane(v)
		}
		base.mid, base.size = geom.ArcMiddle(ps), base.a.Dist(base.b)
		return []stroke{base}
	case sh.Kind != dxf.LineShape && sh.Kind != dxf.PolylineShape && sh.Kind != dxf.SolidShape && sh.Kind != dxf.EllipseShape && sh.Kind != dxf.HatchShape:
		return nil
	}
	if sh.Kind == dxf.EllipseShape || n > 60 { // a curve
		return nil
	}
	if !sh.Closed {
		n--
	}
	var out []stroke
	for k := range n {
		s := base
		s.a, s.b = plane(sh.Points[k]), plane(sh.Points[(k+1)%len(sh.Points)])
		s.mid, s.size = s.a.Lerp(s.b, 0.5), s.a.Dist(s.b)
		if s.size > 0 {
			out = append(out, s)
		}
	}
	return out
}

// within lists the strokes whose boxes lie wholly in a box, in drawing order.
func (b *board) within(x geom.Box) []int {
	var out []int
	b.boxes.Search([2]float64{x.Min.X, x.Min.Y}, [2]float64{x.Max.X, x.Max.Y}, func(lo, hi [2]float64, i int) bool {
		if lo[0] >= x.Min.X && lo[1] >= x.Min.Y && hi[0] <= x.Max.X && hi[1] <= x.Max.Y {
			out = append(out, i)
		}
		return true
	})
	slices.Sort(out)
	return out
}

// near lists the strokes whose middle lies within so much of p, in drawing order.
func (b *board) near(p geom.Point, within float64) []int {
	var out []int
	b.mids.Search([2]float64{p.X - within, p.Y - within}, [2]float64{p.X + within, p.Y + within}, func(_, _ [2]float64, i int) bool {
		out = append(out, i)
		return true
	})
	slices.Sort(out)
	return out
}

// groups joins strokes of linework that meet or nearly meet.
func (b *board) groups(among []int, join float64) [][]int {
	left := slices.DeleteFunc(slices.Clone(among), func(i int) bool { return b.strokes[i].kind == letterStroke })
	var out [][]int
	for len(left) > 0 {
		group := left[:1:1]
		left = left[1:]
		for k := 0; k < len(group); k++ {
			var rest []int
			for _, j := range left {
				if b.strokes[group[k]].touches(&b.strokes[j], join) {
					group = append(group, j)
				} else {
					rest = append(rest, j)
				}
			}
			left = rest
		}
		out = append(out, group)
	}
	return out
}

// touches reports whether two strokes meet within so much, or one lies in the box of the other.
func (s *stroke) touches(q *stroke, within float64) bool {
	a, b := s.box().Grow(within), q.box()
	return a.Overlaps(b)
}

// Template is a loose figure as a sample shows it: its greatest part, and at which
// distances from that the others stand. Distances, not positions: turning and
// mirroring cost nothing.
type Template struct {
	anchor  stroke
	others  []part
	letters []string
	Size    float64 // larger side of the linework, units of its drawing
	box     geom.Box
	Parts   int
	offset  geom.Point // from the anchor's middle to that of the figure
}

type part struct {
	kind strokeKind
	size float64
	far  float64
}

// sizeSpread is the share by which a part may be larger or smaller, placeSpread that of the figure's size by which it may stand off.
const sizeSpread, placeSpread = 0.04, 0.04

// template learns the figure made of some strokes, its letters among them.
func (b *board) template(strokes []int) (Template, bool) {
	t := Template{box: geom.EmptyBox()}
	best := -1
	rank := func(s *stroke) float64 {
		if s.kind == circleStroke {
			return 2 * s.size * 1.01
		}
		return s.size
	}
	var mine []int
	for _, i := range strokes {
		s := &b.strokes[i]
		if s.kind == letterStroke {
			t.letters = append(t.letters, s.text)
			continue
		}
		// Where a copy lies on the sample, the figure is still one.
		if slices.ContainsFunc(mine, func(j int) bool { return b.strokes[j].same(s) }) {
			continue
		}
		mine = append(mine, i)
		t.box = t.box.Union(s.box())
		if best < 0 || rank(s) > rank(&b.strokes[best])*(1+1e-6) {
			best = i
		}
	}
	if best < 0 {
		return t, false
	}
	t.anchor, t.Size = b.strokes[best], side(t.box)
	slices.Sort(t.letters)
	for _, i := range mine {
		if s := &b.strokes[i]; i != best {
			t.others = append(t.others, part{s.kind, s.size, s.mid.Dist(t.anchor.mid)})
		}
	}
	slices.SortStableFunc(t.others, func(a, b part) int {
		switch {
		case a.size > b.size:
			return -1
		case a.size < b.size:
			return 1
		}
		return 0
	})
	t.Parts = len(mine) + len(t.letters)
	t.offset = t.box.Center().Sub(t.anchor.mid)
	return t, true
}

func (s *stroke) same(q *stroke) bool {
	tol := 0.01*max(s.size, q.size) + 1e-9
	return s.kind == q.kind && s.mid.Dist(q.mid) <= tol && math.Abs(s.size-q.size) <= tol &&
		(s.kind == circleStroke || s.a.Dist(q.a) <= tol && s.b.Dist(q.b) <= tol || s.a.Dist(q.b) <= tol && s.b.Dist(q.a) <= tol)
}

// sighting is a template found somewhere.
type sighting struct {
	at      geom.Point
	box     geom.Box
	strokes []int
	letters []string
}

// at looks for a template, drawn so many times as large, with stroke i as its greatest part.
func (b *board) at(t *Template, scale float64, i int, used map[int]bool) (sighting, bool) {
	s := &b.strokes[i]
	if used[i] || s.kind != t.anchor.kind || math.Abs(s.size-scale*t.anchor.size) > sizeSpread*scale*t.anchor.size {
		return sighting{}, false
	}
	size := t.Size * scale
	slack := placeSpread * size
	near := b.near(s.mid, size+slack)
	out := sighting{strokes: []int{i}, box: s.box()}
	for _, o := range t.others {
		hit, off := -1, math.Inf(1)
		for _, j := range near {
			q := &b.strokes[j]
			if q.kind != o.kind || used[j] || math.Abs(q.size-scale*o.size) > max(sizeSpread*scale*o.size, 0.5*slack) || slices.Contains(out.strokes, j) {
				continue
			}
			if d := math.Abs(q.mid.Dist(s.mid) - scale*o.far); d <= slack && d < off {
				hit, off = j, d
			}
		}
		if hit < 0 {
			return sighting{}, false
		}
		out.strokes = append(out.strokes, hit)
		out.box = out.box.Union(b.strokes[hit].box())
	}
	if side(out.box) > 1.5*size+slack { // parts of several figures
		return sighting{}, false
	}
	for _, j := range near {
		if q := &b.strokes[j]; q.kind == letterStroke && q.size < size && q.lettersOf(out.box) {
			out.letters = append(out.letters, q.text)
			out.strokes = append(out.strokes, j)
		}
	}
	slices.Sort(out.letters)
	if !slices.Equal(out.letters, t.letters) {
		return sighting{}, false
	}
	out.at = out.box.Center()
	return out, true
}
