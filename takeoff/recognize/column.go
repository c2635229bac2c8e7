package recognize

import (
	"cmp"
	"slices"
	"strings"

	"loopwright/takeoff/geom"
)

// column are lines of lettering under each other that begin on one line.
type column struct {
	lines []*line
	pitch float64
}

// columns groups lines by where they begin and cuts them where rows stop following each other.
func (p *Page) columns() []column {
	often := map[string]int{}
	for i := range p.lines {
		often[p.lines[i].text]++
	}
	var ls []*line
	for i := range p.lines {
		if l := &p.lines[i]; !brief(l.text) || often[l.text] < 3 && !p.within(l) {
			ls = append(ls, l)
		}
	}
	slices.SortStableFunc(ls, func(a, b *line) int {
		return cmp.Or(boolCompare(a.paper, b.paper), cmp.Compare(a.turn, b.turn), cmp.Compare(a.at.X, b.at.X))
	})
	var out []column
	for len(ls) > 0 {
		n := 1
		for n < len(ls) && ls[n].paper == ls[0].paper && ls[n].turn == ls[0].turn && ls[n].at.X-ls[n-1].at.X <= 0.3*ls[n].height {
			n++
		}
		if n >= 2 {
			out = append(out, cut(slices.Clone(ls[:n]))...)
		}
		ls = ls[n:]
	}
	return out
}

// brief reports whether a text is as short as the letters of a symbol are.
func brief(s string) bool { return len([]rune(s)) <= 5 && !strings.Contains(s, " ") }

// within reports whether a text is the letters of a symbol: linework stands close around it.
func (p *Page) within(l *line) bool {
	if l.lettered {
		return true
	}
	at := l.box.Center().Turn(l.turn)
	b := p.loose(l.paper)
	around := geom.EmptyBox()
	for _, i := range b.near(at, 4*l.height) {
		switch s := &b.strokes[i]; {
		case s.kind == circleStroke && s.size <= 4*l.height && s.mid.Dist(at) < s.size:
			return true
		case s.kind == lineStroke && s.size <= 6*l.height:
			around = around.Union(s.box())
		}
	}
	in := around.Grow(-0.3 * l.height)
	return !around.Empty() && in.Contains(at)
}

func boolCompare(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}

func cut(ls []*line) []column {
	slices.SortStableFunc(ls, func(a, b *line) int { return cmp.Compare(b.at.Y, a.at.Y) })
	ls = slices.CompactFunc(ls, func(a, b *line) bool { return a.text == b.text && a.at.Y-b.at.Y < 0.2*a.height })
	var gaps []float64
	for i := 1; i < len(ls); i++ {
		if g := ls[i-1].at.Y - ls[i].at.Y; g > 0.8*ls[i].height {
			gaps = append(gaps, g)
		}
	}
	if len(gaps) == 0 {
		return nil
	}
	slices.Sort(gaps)
	// The lower quartile: rows of one table, even where several stand under each other.
	pitch := gaps[(len(gaps)-1)/4]
	var out []column
	start := 0
	for i := 1; i <= len(ls); i++ {
		if i == len(ls) || ls[i-1].at.Y-ls[i].at.Y > pitchGap*pitch {
			if i-start >= 2 {
				c := column{lines: ls[start:i]}
				var own []float64
				for k := start + 1; k < i; k++ {
					own = append(own, ls[k-1].at.Y-ls[k].at.Y)
				}
				slices.Sort(own)
				c.pitch = own[len(own)/2]
				out = append(out, c)
			}
			start = i
		}
	}
	return out
}
