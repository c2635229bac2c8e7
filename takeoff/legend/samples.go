package legend

import (
	"cmp"
	"math"
	"slices"

	"loopwright/takeoff/figures"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/words"
)

// The room around a text in which samples are looked for, as multiples of the
// text's height: units are not known yet.
const (
	sampleReach = 20.0
	sampleRise  = 6.0
)

// looseFigures finds the loose figures that stand before the texts of columns, or
// after them where side is negative. It adds to those found before.
func (f *finder) looseFigures(side float64) {
	if f.paper || len(f.page.Shapes) == 0 {
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
		wanted := func(b geom.Box) bool {
			b = f.frame(b)
			return area.Contains(b.Min) && area.Contains(b.Max)
		}
		for _, l := range f.loose().Loose(area.Center().Turn(f.turn), sampleReach*h, h, wanted, seen) {
			if !slices.ContainsFunc(f.figures, func(o figures.Loose) bool { return o.Box == l.Box }) {
				f.figures = append(f.figures, l)
			}
		}
	}
	f.figures = slices.DeleteFunc(f.figures, f.boxesBlock)
}

// boxesBlock reports whether a block stands in a figure: it is then the cell of
// a table, or the outline of a hatch.
func (f *finder) boxesBlock(g figures.Loose) bool {
	for i := range f.page.Inserts {
		if in := &f.page.Inserts[i]; !in.Paper && g.Box.Contains(f.page.Symbols[i].Center()) {
			return true
		}
	}
	return false
}

// columns lists the texts that begin, or for a negative side end, on one line
// with another near above or below them.
func (f *finder) columns(side float64) []*line {
	edge := func(l *line) float64 {
		if side < 0 {
			return l.box.Max.X
		}
		return l.box.Min.X
	}
	var ls []*line
	for i := range f.lines {
		if words.HasWord(f.lines[i].text) {
			ls = append(ls, &f.lines[i])
		}
	}
	slices.SortStableFunc(ls, func(a, b *line) int { return cmp.Compare(edge(a), edge(b)) })
	in := map[*line]bool{}
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
	return slices.DeleteFunc(ls, func(l *line) bool { return !in[l] })
}
