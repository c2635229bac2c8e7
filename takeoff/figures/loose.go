package figures

import (
	"fmt"
	"math"
	"slices"

	"loopwright/takeoff/geom"
)

// Loose is linework that hangs together and may be the sample of a symbol
// that is no block.
type Loose struct {
	What   string // strokes by kind, letters and size: alike for figures that look alike
	Box    geom.Box
	Handle string
	anchor stroke // the stroke by which it is known
}

// Sizes of samples as multiples of the height of the text beside them: units are not
// known yet.
const (
	leastSample, greatestSample = 0.4, 12.0
	sampleJoin                  = 0.03
	mostStrokes                 = 400 // beside one text: more is a picture, not a symbol
)

// Loose lists the visible figures within reach of a place, of a size that
// goes with lettering of height h, that wanted admits by their boxes. Those that
// hold a stroke in seen were looked at before.
func (b *Board) Loose(mid geom.Point, reach, h float64, wanted func(geom.Box) bool, seen map[int]bool) []Loose {
	near := b.near(mid, reach)
	near = slices.DeleteFunc(near, func(i int) bool { return !b.strokes[i].visible })
	if len(near) > mostStrokes {
		return nil
	}
	var boxes []geom.Box
	var groups [][]int
	for _, g := range b.groups(near, sampleJoin*h) {
		box := geom.EmptyBox()
		for _, i := range g {
			box = box.Union(b.strokes[i].box())
		}
		if side := max(box.Width(), box.Height()); side < leastSample*h || side > greatestSample*h || !wanted(box) {
			continue
		}
		boxes, groups = append(boxes, box), append(groups, g)
	}
	var out []Loose
	for k, g := range groups {
		inside := slices.ContainsFunc(boxes, func(o geom.Box) bool {
			return o != boxes[k] && o.Contains(boxes[k].Min) && o.Contains(boxes[k].Max)
		})
		if inside || seen[slices.Min(g)] {
			continue
		}
		seen[slices.Min(g)] = true
		if l, ok := b.looseFigure(boxes[k], near, h); ok {
			out = append(out, l)
		}
	}
	return out
}

// StandsOutside reports whether what a loose figure is known by stands outside a box too.
func (b *Board) StandsOutside(l Loose, own geom.Box) bool {
	return slices.ContainsFunc(b.strokes, func(q stroke) bool {
		return q.kind == l.anchor.kind && math.Abs(q.size-l.anchor.size) <= scaleSpread*l.anchor.size && !own.Contains(q.mid)
	})
}

// looseFigure describes what lies in a box; false for a lone line, which is a
// sample of wiring or a rule between rows.
func (b *Board) looseFigure(box geom.Box, near []int, h float64) (Loose, bool) {
	var fig Figure
	all := box.Grow(0.02 * max(box.Width(), box.Height()))
	for _, i := range near {
		if within(all, b.strokes[i]) {
			fig.strokes = append(fig.strokes, b.strokes[i])
		}
	}
	anchorFirst(fig.strokes)
	lone := len(fig.strokes) < 2 && (len(fig.strokes) == 0 || fig.strokes[0].kind != circleStroke)
	if lone || fig.strokes[0].kind == letterStroke {
		return Loose{}, false
	}
	size := math.Round(20 * max(box.Width(), box.Height()) / h)
	return Loose{What: fmt.Sprint(fig.kinds(), fig.letters(), size), Box: box, Handle: fig.first().handle.String(), anchor: fig.strokes[0]}, true
}

// first is the stroke of linework that was drawn first.
func (f Figure) first() stroke {
	best := f.strokes[0]
	for _, s := range f.strokes {
		if s.kind != letterStroke && s.offset < best.offset {
			best = s
		}
	}
	return best
}
