package figures

import (
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/tidwall/rtree"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
)

// strokeKind tells the strokes of loose figures apart.
type strokeKind uint8

const (
	lineStroke strokeKind = iota
	circleStroke
	arcStroke
	letterStroke
)

// stroke is one loose piece of linework or lettering.
type stroke struct {
	kind strokeKind
	// mid is what it is found by: the middle of a line, arc or text, the centre of a circle.
	mid  geom.Point
	a, b geom.Point // ends of a line or arc
	size float64    // length, radius, chord, or height of letters
	text string

	layer   string
	style   dxf.Style
	handle  dxf.Handle
	offset  int
	visible bool
}

// box is the box around a stroke.
func (s stroke) box() geom.Box {
	switch s.kind {
	case circleStroke:
		return geom.Around(s.mid, 2*s.size, 2*s.size)
	case letterStroke:
		return geom.Around(s.mid, s.size, s.size)
	}
	return geom.BoxOf(s.a, s.b, s.mid)
}

// wide is about how wide lettering runs, by the usual proportion of its letters.
func (s stroke) wide() float64 { return 0.6 * s.size * float64(utf8.RuneCountInString(s.text)) }

// moved returns the stroke as a transform leaves it.
func (s stroke) moved(t geom.Affine) stroke {
	k := t.Scale()
	s.mid, s.a, s.b, s.size = t.Apply(s.mid), t.Apply(s.a), t.Apply(s.b), s.size*k
	return s
}

// same reports whether q is s within so much: distance for places and lines,
// share for sizes.
func (s stroke) same(q stroke, within, share float64) bool {
	if s.kind != q.kind || math.Abs(q.size-s.size) > share*s.size {
		return false
	}
	switch s.kind {
	case letterStroke:
		return s.text == q.text && s.mid.Dist(q.mid) <= 2*within
	case circleStroke:
		return s.mid.Dist(q.mid) <= within
	}
	return s.mid.Dist(q.mid) <= within &&
		(s.a.Dist(q.a) <= within && s.b.Dist(q.b) <= within || s.a.Dist(q.b) <= within && s.b.Dist(q.a) <= within)
}

// Board is the loose linework and lettering of a drawing: what is in no block.
type Board struct {
	strokes []stroke // in drawing order
	tree    rtree.RTreeG[int]
}

// On puts together the loose linework and lettering of a page.
func On(shapes []dxf.Shape, texts []dxf.Text, paper bool) *Board {
	b := &Board{}
	for i := range shapes {
		if sh := &shapes[i]; len(sh.Path) == 0 && sh.Paper == paper {
			b.strokes = append(b.strokes, strokesOf(sh)...)
		}
	}
	for i := range texts {
		t := &texts[i]
		if len(t.Path) == 0 && t.Paper == paper && t.Height > 0 {
			b.strokes = append(b.strokes, stroke{kind: letterStroke, mid: plan.TextBox(t).Center(), size: t.Height,
				text: strings.Join(strings.Fields(t.Text), " "), layer: t.EffLayer, style: t.Style, handle: t.Handle, offset: t.Offset, visible: t.Visible})
		}
	}
	slices.SortStableFunc(b.strokes, func(p, q stroke) int { return p.offset - q.offset })
	for i, s := range b.strokes {
		at := [2]float64{s.mid.X, s.mid.Y}
		b.tree.Insert(at, at, i)
	}
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
			b = b.Extend(plan.At(v))
		}
		base.kind, base.mid = circleStroke, b.Center()
		// The points lie on the circle, so any of them tells the radius.
		base.size = plan.At(sh.Points[0]).Dist(base.mid)
		return []stroke{base}
	case sh.Kind == dxf.ArcShape && n > 2:
		base.kind, base.a, base.b = arcStroke, plan.At(sh.Points[0]), plan.At(sh.Points[n-1])
		ps := make([]geom.Point, n)
		for i, v := range sh.Points {
			ps[i] = plan.At(v)
		}
		base.mid, base.size = geom.ArcMiddle(ps), base.a.Dist(base.b)
		return []stroke{base}
	}
	if !sh.Closed {
		n--
	}
	var out []stroke
	for k := range n {
		s := base
		s.a, s.b = plan.At(sh.Points[k]), plan.At(sh.Points[(k+1)%len(sh.Points)])
		s.mid, s.size = s.a.Lerp(s.b, 0.5), s.a.Dist(s.b)
		if s.size > 0 {
			out = append(out, s)
		}
	}
	return out
}

// near lists the strokes whose middle lies within so much of p, in drawing order.
func (b *Board) near(p geom.Point, within float64) []int {
	var out []int
	b.tree.Search([2]float64{p.X - within, p.Y - within}, [2]float64{p.X + within, p.Y + within}, func(_, _ [2]float64, i int) bool {
		out = append(out, i)
		return true
	})
	slices.Sort(out)
	return out
}

// touches reports whether two strokes of linework meet within so much.
func (s stroke) touches(q stroke, within float64) bool {
	if s.kind == letterStroke || q.kind == letterStroke {
		return false
	}
	return s.reaches(q.a, within) && q.kind != circleStroke || s.reaches(q.b, within) && q.kind != circleStroke ||
		q.reaches(s.a, within) && s.kind != circleStroke || q.reaches(s.b, within) && s.kind != circleStroke
}

// reaches reports whether a stroke passes within so much of p.
func (s stroke) reaches(p geom.Point, within float64) bool {
	switch s.kind {
	case circleStroke:
		return math.Abs(s.mid.Dist(p)-s.size) <= within
	case arcStroke:
		return geom.Segment{A: s.a, B: s.mid}.Dist(p) <= within+0.1*s.size || geom.Segment{A: s.mid, B: s.b}.Dist(p) <= within+0.1*s.size
	case lineStroke:
		return geom.Segment{A: s.a, B: s.b}.Dist(p) <= within
	}
	return false
}
