package takeoff

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/words"
)

// looseFigure is linework that hangs together and may be the sample of a symbol
// that is no block.
type looseFigure struct {
	what   string // strokes by kind, letters and size: alike for figures that look alike
	box    geom.Box
	handle string
	anchor stroke // the stroke by which it is known
}

// Sizes of samples and of the room around a text in which they are looked for,
// as multiples of the text's height: units are not known yet.
const (
	leastSample, greatestSample = 0.4, 12.0
	sampleReach                 = 20.0
	sampleRise                  = 6.0
	sampleJoin                  = 0.03
	mostStrokes                 = 400 // beside one text: more is a picture, not a symbol
)

// looseFigures finds the loose figures that stand before the texts of columns, or
// after them where side is negative. It adds to those found before.
func (f *legendFinder) looseFigures(side float64) {
	if f.paper || len(f.s.shapes) == 0 {
		return
	}
	seen := map[int]bool{}
	for _, l := range f.columns(side) {
		h := l.height
		area := geom.Box{Min: geom.Pt(l.box.Min.X-sampleReach*h, 0), Max: geom.Pt(l.box.Min.X+0.2*h, 0)}
		if side < 0 {
			area = geom.Box{Min: geom.Pt(l.box.Max.X-0.2*h, 0), Max: geom.Pt(l.box.Max.X+sampleReach*h, 0)}
		}
		mid := l.box.Center().Y
		area.Min.Y, area.Max.Y = mid-sampleRise*h, mid+sampleRise*h
		f.figuresIn(area, h, seen)
	}
	f.figures = slices.DeleteFunc(f.figures, f.boxesBlock)
}

// boxesBlock reports whether a block stands in a figure: it is then the cell of
// a table, or the outline of a hatch.
func (f *legendFinder) boxesBlock(g looseFigure) bool {
	for i := range f.s.inserts {
		if in := &f.s.inserts[i]; !in.Paper && g.box.Contains(f.s.symbols[i].Center()) {
			return true
		}
	}
	return false
}

// columns lists the texts that begin, or for a negative side end, on one line
// with another near above or below them.
func (f *legendFinder) columns(side float64) []*legendLine {
	edge := func(l *legendLine) float64 {
		if side < 0 {
			return l.box.Max.X
		}
		return l.box.Min.X
	}
	var ls []*legendLine
	for i := range f.lines {
		if words.HasWord(f.lines[i].text) {
			ls = append(ls, &f.lines[i])
		}
	}
	slices.SortStableFunc(ls, func(a, b *legendLine) int { return cmp.Compare(edge(a), edge(b)) })
	in := map[*legendLine]bool{}
	for i, a := range ls {
		for _, b := range ls[i+1:] {
			if edge(b)-edge(a) > 0.5*a.height {
				break
			}
			apart := math.Abs(a.box.Center().Y - b.box.Center().Y)
			if apart > 0.8*a.height && apart <= 12*a.height && math.Abs(a.height-b.height) <= 0.3*a.height {
				in[a], in[b] = true, true
			}
		}
	}
	return slices.DeleteFunc(ls, func(l *legendLine) bool { return !in[l] })
}

// figuresIn adds the figures that lie wholly in an area of the finder's frame.
func (f *legendFinder) figuresIn(area geom.Box, h float64, seen map[int]bool) {
	b := f.s.loose()
	near := b.near(area.Center().Turn(f.turn), sampleReach*h)
	near = slices.DeleteFunc(near, func(i int) bool { return !b.strokes[i].visible })
	if len(near) > mostStrokes {
		return
	}
	var boxes []geom.Box
	var groups [][]int
	for _, g := range b.groups(near, sampleJoin*h) {
		box := geom.EmptyBox()
		for _, i := range g {
			box = box.Union(b.strokes[i].box())
		}
		side := max(box.Width(), box.Height())
		if fr := f.frame(box); side < leastSample*h || side > greatestSample*h || !area.Contains(fr.Min) || !area.Contains(fr.Max) {
			continue
		}
		boxes, groups = append(boxes, box), append(groups, g)
	}
	for k, g := range groups {
		inside := slices.ContainsFunc(boxes, func(o geom.Box) bool {
			return o != boxes[k] && o.Contains(boxes[k].Min) && o.Contains(boxes[k].Max)
		})
		if inside || seen[slices.Min(g)] {
			continue
		}
		seen[slices.Min(g)] = true
		if l, ok := b.looseFigure(boxes[k], near, h); ok && !slices.ContainsFunc(f.figures, func(o looseFigure) bool { return o.box == l.box }) {
			f.figures = append(f.figures, l)
		}
	}
}

// looseFigure describes what lies in a box; false for a lone line, which is a
// sample of wiring or a rule between rows.
func (b *board) looseFigure(box geom.Box, near []int, h float64) (looseFigure, bool) {
	var fig figure
	all := box.Grow(0.02 * max(box.Width(), box.Height()))
	for _, i := range near {
		if within(all, b.strokes[i]) {
			fig.strokes = append(fig.strokes, b.strokes[i])
		}
	}
	anchorFirst(fig.strokes)
	lone := len(fig.strokes) < 2 && (len(fig.strokes) == 0 || fig.strokes[0].kind != circleStroke)
	if lone || fig.strokes[0].kind == letterStroke {
		return looseFigure{}, false
	}
	size := math.Round(20 * max(box.Width(), box.Height()) / h)
	return looseFigure{what: fmt.Sprint(fig.kinds(), fig.letters(), size), box: box, handle: fig.first().handle.String(), anchor: fig.strokes[0]}, true
}

// first is the stroke of linework that was drawn first.
func (f figure) first() stroke {
	best := f.strokes[0]
	for _, s := range f.strokes {
		if s.kind != letterStroke && s.offset < best.offset {
			best = s
		}
	}
	return best
}
