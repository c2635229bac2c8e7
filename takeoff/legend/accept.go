package legend

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
	"loopwright/takeoff/words"
)

// verdict says whether a run of symbols beside texts is a legend.
type verdict int

const (
	noLegend verdict = iota
	mayBeLegend
	isLegend
)

// accept decides whether a run of pairs is a legend, and makes it one.
func (f *finder) accept(run, pairs []pair) (Legend, verdict) {
	whats, texts := map[string]bool{}, map[string]bool{}
	symbols, all := geom.EmptyBox(), geom.EmptyBox()
	for _, p := range run {
		whats[p.what] = true
		texts[p.line.text] = true
		symbols = symbols.Union(p.symbol)
		all = all.Union(p.symbol).Union(p.line.box)
	}
	if len(whats) < minRows || float64(len(whats)) < 0.6*float64(len(run)) || float64(len(texts)) < 0.6*float64(len(run)) {
		return Legend{}, noLegend
	}
	first, last := run[0], run[len(run)-1]
	pitch := pitchBetween(first, last) / float64(max(1, len(rowsOf(run))-1))
	heading, headed := f.heading(run, all, pitch)
	v := isLegend
	if !headed {
		v = f.judgeBare(run, len(whats), all, pitch)
	}
	if v == noLegend {
		return Legend{}, v
	}
	if v == isLegend {
		run, all = f.extend(run, pairs, symbols, all, pitch)
	}
	l := Legend{Heading: heading, Paper: f.paper, Outline: f.outline(all, pitch, first.line.height)}
	for _, p := range run {
		l.Rows = append(l.Rows, f.row(p))
	}
	return l, v
}

// row tells of one pair what people and rules need.
func (f *finder) row(p pair) Row {
	if p.id < 0 {
		g := f.figures[-1-p.id]
		return Row{Text: p.line.text, At: g.Box.Center(), Handle: g.Handle}
	}
	in := &f.page.Inserts[p.id]
	return Row{Block: in.Effective, Text: p.line.text, At: plan.At(in.Pos), Handle: in.Handle.String()}
}

// rowsOf lists the heights of the rows: symbols beside one text share one.
func rowsOf(run []pair) []float64 {
	var ys []float64
	for _, p := range run {
		y := p.symbol.Center().Y
		if len(ys) == 0 || ys[len(ys)-1]-y > 0.8*p.line.height {
			ys = append(ys, y)
		}
	}
	return ys
}

// regular reports whether no row is much higher than another.
func regular(run []pair) bool {
	ys := rowsOf(run)
	lo, hi := math.Inf(1), 0.0
	for i := 1; i < len(ys); i++ {
		lo, hi = min(lo, ys[i-1]-ys[i]), max(hi, ys[i-1]-ys[i])
	}
	return len(ys) >= 3 && hi <= 1.8*lo
}

// heading looks for the words over a legend: a text above the rows, or the name
// of the layer or block that the rows are drawn on.
func (f *finder) heading(run []pair, all geom.Box, pitch float64) (string, bool) {
	h := run[0].line.height
	reach := max(6*pitch, 20*h)
	best, text := 0.0, ""
	for i := range f.lines {
		l := &f.lines[i]
		c := l.box.Center()
		up := l.box.Min.Y - run[0].symbol.Center().Y
		if up < 0 || up > reach || c.X < all.Min.X-all.Width() || c.X > all.Max.X+all.Width() || !words.IsLegendHeading(l.text) {
			continue
		}
		if l.height > best { // of a heading and the captions of its columns, the larger one
			best, text = l.height, l.text
		}
	}
	if text != "" {
		return text, true
	}
	names := []string{run[0].line.t.EffLayer}
	if id := run[0].id; id >= 0 {
		names = append(slices.Clone(f.page.Inserts[id].Path), names...)
	}
	for _, name := range names {
		if n := strings.ToUpper(name); strings.Contains(n, "LEGEND") || strings.Contains(n, "LEGN") {
			return name, true
		}
	}
	return "", false
}

// extend takes in pairs at either end of a legend whose texts do not begin
// where the others do.
func (f *finder) extend(run, pairs []pair, symbols, all geom.Box, pitch float64) ([]pair, geom.Box) {
	in := map[int]bool{}
	for _, p := range run {
		in[p.id] = true
	}
	for grown := true; grown; {
		grown = false
		for _, p := range pairs {
			c := p.symbol.Center()
			if in[p.id] || c.X < symbols.Min.X || c.X > symbols.Max.X || c.Y > symbols.Max.Y+1.2*pitch || c.Y < symbols.Min.Y-1.2*pitch {
				continue
			}
			if p.line.height > 1.3*run[0].line.height { // a heading, not a row
				continue
			}
			in[p.id], grown = true, true
			run = append(run, p)
			symbols = symbols.Union(p.symbol)
			all = all.Union(p.symbol).Union(p.line.box)
		}
	}
	slices.SortStableFunc(run, func(a, b pair) int { return cmp.Compare(b.symbol.Center().Y, a.symbol.Center().Y) })
	return run, all
}

// outline is the table's box in drawing coordinates, half a row wider at top and bottom.
func (f *finder) outline(all geom.Box, pitch, h float64) geom.Ring {
	b := all.Grow(0.5 * h)
	b.Min.Y, b.Max.Y = min(b.Min.Y, all.Min.Y-0.3*pitch), max(b.Max.Y, all.Max.Y+0.3*pitch)
	ring := geom.Ring{b.Min, {X: b.Max.X, Y: b.Min.Y}, b.Max, {X: b.Min.X, Y: b.Max.Y}}
	for i := range ring {
		ring[i] = ring[i].Turn(f.turn)
	}
	return ring
}
