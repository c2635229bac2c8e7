package figures

import (
	"cmp"
	"slices"
	"strings"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/words"
)

// Figure is a symbol drawn loosely rather than as a block, learnt from one sample: its strokes in
// metres about the middle of its linework. The first stroke is the anchor, by
// which it is looked for.
type Figure struct {
	strokes []stroke
	size    float64 // metres, larger side of the linework
	box     geom.Box
}

// Limits of figures, in metres.
const (
	greatestFigure = 3.0   // a device's symbol is smaller
	joins          = 0.004 // strokes of one figure meet within this
)

// Sample takes the figure that stands at a place: the smallest joined linework
// around it, and what is drawn and lettered inside that.
// A size, in drawing units, says how large it is; with 0 the outline around the place tells.
func (b *Board) Sample(at geom.Point, metres, size float64, layer string) (Figure, bool) {
	reach := greatestFigure / metres
	var near []int
	for _, i := range b.near(at, reach) {
		s := b.strokes[i]
		if bx := s.box(); max(bx.Width(), bx.Height()) <= reach && (layer == "" || words.NameFits(layer, s.layer)) {
			near = append(near, i)
		}
	}
	near = b.withoutTails(near, at, joins/metres)
	var around []outline
	for _, group := range b.groups(near, joins/metres) {
		bx := geom.EmptyBox()
		for _, i := range group {
			bx = bx.Union(b.strokes[i].box())
		}
		if side := max(bx.Width(), bx.Height()); side <= reach && bx.Grow(0.05*side).Contains(at) {
			around = append(around, outline{bx, len(group) == 1 && b.strokes[group[0]].kind != circleStroke})
		}
	}
	var best geom.Box
	switch {
	case size > 0:
		if best = b.extent(near, geom.Around(at, 1.02*size, 1.02*size)); best.Empty() {
			return Figure{}, false
		}
	case len(around) == 0:
		return Figure{}, false
	default:
		best = outlineOf(around)
	}
	f := Figure{size: max(best.Width(), best.Height()) * metres}
	to := geom.Shift(best.Center().Mul(-1)).Then(geom.Scaling(metres, metres))
	all := best.Grow(0.02 * max(best.Width(), best.Height()))
	for _, i := range near {
		s := b.strokes[i]
		if !within(all, s) {
			continue
		}
		// Where a copy lies on the sample, the figure is still one.
		if s = s.moved(to); !slices.ContainsFunc(f.strokes, func(q stroke) bool { return q.same(s, joins, 0.01) }) {
			f.strokes = append(f.strokes, s)
		}
	}
	f.box = geom.BoxOf(to.Apply(best.Min), to.Apply(best.Max))
	anchorFirst(f.strokes)
	return f, true
}

// extent is the box around the linework that lies wholly within a part of the board.
func (b *Board) extent(near []int, part geom.Box) geom.Box {
	out := geom.EmptyBox()
	for _, i := range near {
		if s := b.strokes[i]; s.kind != letterStroke && within(part, s) {
			out = out.Union(s.box())
		}
	}
	return out
}

// withoutTails leaves out the lines that come from afar and end on the circle
// around a place: wires and leaders are not part of the symbol.
func (b *Board) withoutTails(near []int, at geom.Point, join float64) []int {
	ring := -1
	for _, i := range near {
		if s := b.strokes[i]; s.kind == circleStroke && s.mid.Dist(at) <= s.size && (ring < 0 || s.size < b.strokes[ring].size) {
			ring = i
		}
	}
	if ring < 0 {
		return near
	}
	c := b.strokes[ring]
	return slices.DeleteFunc(near, func(i int) bool {
		s := b.strokes[i]
		comes := func(from, to geom.Point) bool { return c.reaches(to, join) && c.mid.Dist(from) > c.size }
		return s.kind == lineStroke && s.size > 3*c.size && (comes(s.a, s.b) || comes(s.b, s.a))
	})
}

// outline is the box of joined linework around a place; a bare one is a single line or arc.
type outline struct {
	geom.Box
	bare bool
}

// closeAround is how much larger an outline may be than what is drawn loosely inside
// it; a line alone is no symbol, and its outline may be larger by bareAround.
const closeAround, bareAround = 1.6, 4.0

// outlineOf picks the box of a figure among those around a place: the smallest, or
// the one that lies close around it, as where a cross does not quite reach the
// corners of its square.
func outlineOf(around []outline) geom.Box {
	slices.SortStableFunc(around, func(a, b outline) int { return cmp.Compare(a.Area(), b.Area()) })
	best := around[0]
	side := func(b outline) float64 { return max(b.Width(), b.Height()) }
	for _, b := range around[1:] {
		reach := closeAround
		if best.bare {
			reach = bareAround
		}
		if g := b.Grow(0.02 * side(b)); side(b) <= reach*side(best) && g.Contains(best.Min) && g.Contains(best.Max) {
			best = b
		}
	}
	return best.Box
}

// within reports whether a stroke lies in a box: of letters the middle counts.
func within(b geom.Box, s stroke) bool {
	if s.kind == letterStroke {
		return b.Contains(s.mid)
	}
	x := s.box()
	return b.Contains(x.Min) && b.Contains(x.Max)
}

// anchorFirst puts the stroke first by which the figure is found quickest: the
// largest circle, else the longest line of the outline, which is drawn more exactly
// than what is inside; else the longest line or arc; letters last.
func anchorFirst(ss []stroke) {
	all := geom.EmptyBox()
	for _, s := range ss {
		if s.kind != letterStroke {
			all = all.Union(s.box())
		}
	}
	edge := 0.02 * max(all.Width(), all.Height())
	rank := func(s stroke) int {
		m := s.mid
		inner := min(m.X-all.Min.X, all.Max.X-m.X, m.Y-all.Min.Y, all.Max.Y-m.Y) > edge
		switch {
		case s.kind == circleStroke:
			return 0
		case s.kind == lineStroke && !inner:
			return 1
		case s.kind == lineStroke:
			return 2
		case s.kind == arcStroke:
			return 3
		}
		return 4
	}
	slices.SortStableFunc(ss, func(a, b stroke) int {
		switch {
		case rank(a) != rank(b):
			return rank(a) - rank(b)
		case a.size > b.size:
			return -1
		case a.size < b.size:
			return 1
		}
		return a.offset - b.offset
	})
}

// groups joins strokes of linework that meet.
func (b *Board) groups(near []int, join float64) [][]int {
	var out [][]int
	left := slices.DeleteFunc(slices.Clone(near), func(i int) bool { return b.strokes[i].kind == letterStroke })
	for len(left) > 0 {
		group := left[:1:1]
		left = left[1:]
		for k := 0; k < len(group); k++ {
			var rest []int
			for _, j := range left {
				if b.strokes[group[k]].touches(b.strokes[j], join) {
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

// letters are those inside a figure, in the order of the alphabet.
func (f Figure) letters() string {
	var out []string
	for _, s := range f.strokes {
		if s.kind == letterStroke {
			out = append(out, s.text)
		}
	}
	slices.Sort(out)
	return strings.Join(out, " ")
}
