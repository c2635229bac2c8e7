package recognize

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"loopwright/takeoff/geom"
)

// repeat is loose linework, with the letters inside, that stands more than once on a page.
type repeat struct {
	name    string
	outline string // its name without the letters
	door    bool   // a leaf and the arc it swings along
	letters string
	at      []Mark
}

// Limits of loose figures that repeat.
const (
	joinsWithin    = 0.12 // h between strokes of one figure
	leastFigure    = 0.4  // h: side of the smallest
	mostStrokes    = 60   // of one figure: more is a picture
	leastRepeats   = 3    // places of what has no letters inside
	leastOfLetters = 2    // places of what has some
)

// repeats finds the loose figures of model space that stand more than once, those with most
// parts first: what joined strokes show, and what a circle or a closed outline holds, so
// that a wire that ends on a symbol does not hide it. It returns where in the file the
// texts stand that are letters of such figures.
func (p *Page) repeats(index int) (out []repeat, letters map[int]bool) {
	b, h := p.loose(false), p.H[0]
	letters = map[int]bool{}
	if h == 0 {
		h = b.ruler()
	}
	if h == 0 {
		return nil, letters
	}
	type seed struct {
		t     Template
		times int
		first int
	}
	seeds := map[string]*seed{}
	for _, g := range b.seeds(h) {
		t, ok := b.template(g)
		if !ok || t.Size < leastFigure*h || t.Size > greatest*h || !b.shapely(g, t) {
			continue
		}
		key := t.signature(h)
		if s := seeds[key]; s != nil {
			s.times++
		} else {
			seeds[key] = &seed{t, 1, slices.Min(g)}
		}
	}
	keys := slices.Collect(maps.Keys(seeds))
	slices.SortFunc(keys, func(x, y string) int {
		return cmp.Or(cmp.Compare(seeds[y].t.Parts, seeds[x].t.Parts), cmp.Compare(seeds[x].first, seeds[y].first), cmp.Compare(x, y))
	})
	bySize := b.bySize()
	used := map[int]bool{}
	for _, key := range keys {
		s := seeds[key]
		if s.times < leastOfLetters {
			continue
		}
		r := repeat{letters: strings.Join(s.t.letters, " "), door: b.isDoor(&s.t)}
		r.outline = s.t.outline()
		r.name = fmt.Sprintf("%s with %q, %.3g wide", r.outline, r.letters, s.t.Size)
		if r.letters == "" {
			r.name = fmt.Sprintf("%s, %.3g wide", r.outline, s.t.Size)
		}
		var strokes [][]int
		for _, i := range bySize.like(&s.t.anchor) {
			f, ok := b.at(&s.t, 1, i, used)
			if !ok {
				continue
			}
			for _, j := range f.strokes {
				used[j] = true
			}
			visible := true
			for _, j := range f.strokes {
				visible = visible && b.strokes[j].visible
			}
			st := &b.strokes[f.strokes[0]]
			r.at = append(r.at, Mark{Form: Loose, Page: index, Name: r.name, At: f.at, Box: f.box, Layer: st.layer, Handle: st.handle, Visible: visible})
			strokes = append(strokes, f.strokes)
		}
		if len(r.at) < leastRepeats && (r.letters == "" || len(r.at) < leastOfLetters) {
			for _, g := range strokes {
				for _, j := range g {
					delete(used, j)
				}
			}
			continue
		}
		for _, g := range strokes {
			for _, j := range g {
				if b.strokes[j].kind == letterStroke {
					letters[b.strokes[j].offset] = true
				}
			}
		}
		out = append(out, r)
	}
	return out, letters
}

// ruler stands in for the height of texts where there are none: half the middle diameter
// of the circles, else the size that a quarter of the strokes do not reach.
func (b *board) ruler() float64 {
	var circles, all []float64
	for i := range b.strokes {
		s := &b.strokes[i]
		if s.size <= 0 {
			continue
		}
		all = append(all, s.size)
		if s.kind == circleStroke {
			circles = append(circles, s.size)
		}
	}
	slices.Sort(circles)
	slices.Sort(all)
	switch {
	case len(circles) > 0:
		return circles[len(circles)/2]
	case len(all) > 0:
		return all[len(all)/4]
	}
	return 0
}

// seeds lists groups of strokes that may be figures, letters among them.
func (b *board) seeds(h float64) [][]int {
	small := make([]bool, len(b.strokes))
	for i := range b.strokes {
		s := &b.strokes[i]
		small[i] = s.kind != letterStroke && s.size > 0 && side(s.box()) <= greatest*h
	}
	var out [][]int
	seen := make([]bool, len(b.strokes))
	for i := range b.strokes {
		if !small[i] || seen[i] {
			continue
		}
		seen[i] = true
		group := []int{i}
		for k := 0; k < len(group); k++ {
			x := b.strokes[group[k]].box().Grow(joinsWithin * h)
			b.boxes.Search([2]float64{x.Min.X, x.Min.Y}, [2]float64{x.Max.X, x.Max.Y}, func(_, _ [2]float64, j int) bool {
				if small[j] && !seen[j] {
					seen[j] = true
					group = append(group, j)
				}
				return true
			})
		}
		cores := b.outlines(group)
		for _, j := range group {
			if b.strokes[j].kind == circleStroke {
				cores = append(cores, b.strokes[j].box())
			}
		}
		box := geom.EmptyBox()
		for _, j := range group {
			if s := &b.strokes[j]; !s.tail(cores, joinsWithin*h) {
				box = box.Union(s.box())
			}
		}
		if len(group) <= mostStrokes && side(box) <= greatest*h {
			out = append(out, b.inside(box))
			continue
		}
		for _, o := range cores { // something else is joined to it
			out = append(out, b.inside(o))
		}
	}
	return slices.DeleteFunc(out, func(g []int) bool { return len(g) == 0 || len(g) > mostStrokes })
}

// tail reports whether a stroke is a wire or a leader that ends on a symbol: a line longer
// than one of some outlines, with one end at it and the other outside.
func (s *stroke) tail(outlines []geom.Box, join float64) bool {
	return s.kind == lineStroke && slices.ContainsFunc(outlines, func(o geom.Box) bool {
		g := o.Grow(join)
		return s.size > side(o) && g.Contains(s.a) != g.Contains(s.b)
	})
}

// inside lists the strokes of a box: linework that lies wholly in it, letters by their middle.
func (b *board) inside(x geom.Box) []int {
	x = x.Grow(0.02 * side(x))
	out := slices.DeleteFunc(b.within(x), func(i int) bool { return b.strokes[i].kind == letterStroke })
	for _, i := range b.near(x.Center(), side(x)) {
		if s := &b.strokes[i]; s.kind == letterStroke && x.Contains(s.mid) && s.size < side(x) {
			out = append(out, i)
		}
	}
	slices.Sort(out)
	return out
}

// outlines are the boxes of the closed polylines among some strokes.
func (b *board) outlines(among []int) []geom.Box {
	at := map[int][]int{}
	for _, i := range among {
		at[b.strokes[i].offset] = append(at[b.strokes[i].offset], i)
	}
	var out []geom.Box
	for _, offset := range slices.Sorted(maps.Keys(at)) {
		g := at[offset]
		if len(g) < 3 || b.ends(g) > 0 {
			continue
		}
		x := geom.EmptyBox()
		for _, i := range g {
			x = x.Union(b.strokes[i].box())
		}
		out = append(out, x)
	}
	return out
}

// ends counts the ends of lines and arcs at which no other of them begins.
func (b *board) ends(g []int) int {
	n := 0
	for _, i := range g {
		s := &b.strokes[i]
		if s.kind != lineStroke && s.kind != arcStroke {
			continue
		}
		for _, p := range []geom.Point{s.a, s.b} {
			if !slices.ContainsFunc(g, func(j int) bool {
				q := &b.strokes[j]
				return j != i && (q.kind == lineStroke || q.kind == arcStroke) && (q.a.Dist(p) <= 0.05*s.size || q.b.Dist(p) <= 0.05*s.size)
			}) {
				n++
			}
		}
	}
	return n
}

// shapely reports whether strokes can be a symbol: they hold a circle or letters, or close an outline.
func (b *board) shapely(g []int, t Template) bool {
	if len(t.letters) > 0 && t.Parts > len(t.letters) {
		return true
	}
	lines := 0
	for _, i := range g {
		switch b.strokes[i].kind {
		case circleStroke:
			return true
		case lineStroke, arcStroke:
			lines++
		}
	}
	return lines >= 3 && b.ends(g) <= lines || b.isDoor(&t)
}

// isDoor reports whether a figure is the leaf of a door and the quarter circle it swings along.
func (b *board) isDoor(t *Template) bool {
	parts := append([]part{{t.anchor.kind, t.anchor.size, 0}}, t.others...)
	for _, a := range parts {
		if a.kind != arcStroke {
			continue
		}
		for _, l := range parts {
			if l.kind == lineStroke && math.Abs(l.size*math.Sqrt2-a.size) < 0.1*a.size && len(t.letters) == 0 {
				return true
			}
		}
	}
	return false
}

// outline says in words of what a figure is drawn.
func (t *Template) outline() string {
	var n [letterStroke]int
	n[t.anchor.kind]++
	for _, o := range t.others {
		n[o.kind]++
	}
	var parts []string
	for k, name := range [letterStroke]string{"line", "circle", "arc"} {
		switch n[k] {
		case 0:
		case 1:
			parts = append(parts, name)
		default:
			parts = append(parts, fmt.Sprintf("%d %ss", n[k], name))
		}
	}
	slices.SortStableFunc(parts, func(a, b string) int {
		return boolCompare(strings.Contains(b, "circle"), strings.Contains(a, "circle"))
	})
	return strings.Join(parts, ", ")
}

// sizes lists strokes by kind and size.
type sizes struct {
	b  *board
	of [letterStroke][]int
}

func (b *board) bySize() sizes {
	x := sizes{b: b}
	for i := range b.strokes {
		if k := b.strokes[i].kind; k != letterStroke {
			x.of[k] = append(x.of[k], i)
		}
	}
	for k := range x.of {
		slices.SortStableFunc(x.of[k], func(i, j int) int { return cmp.Compare(b.strokes[i].size, b.strokes[j].size) })
	}
	return x
}

// like lists the strokes that may be the anchor of a figure, in drawing order.
func (x sizes) like(anchor *stroke) []int {
	all := x.of[anchor.kind]
	at := func(size float64) int {
		k, _ := slices.BinarySearchFunc(all, size, func(i int, s float64) int { return cmp.Compare(x.b.strokes[i].size, s) })
		return k
	}
	out := slices.Clone(all[at(anchor.size*(1-sizeSpread-1e-9)):at(anchor.size*(1+sizeSpread+1e-9))])
	slices.Sort(out)
	return out
}
