package recognize

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"loopwright/takeoff/geom"
)

// Datum is a point of a plan that stands above itself on all levels.
type Datum struct {
	At    geom.Point // drawing units
	Given bool       // a datum is needed: the drawing's origin will not do
	Why   string
}

// leastShared is how many things must come to lie on each other for two plans to be laid over each other by them.
const leastShared = 3

// Datums lays the plans over each other, in the order of Plans: sheets of one level
// and levels with the same grid by what is lettered and stands at the same place on both,
// others by the lower left corners of their boxes.
func (r *Result) Datums() []Datum {
	out := make([]Datum, len(r.Plans))
	if len(r.Plans) == 0 {
		return out
	}
	order := r.InOrder()
	base := order[0]
	right := geom.Point{} // how far to the right the next sheet goes that nothing lays over another
	for _, i := range order {
		pl := &r.Plans[i]
		first := i // of its level
		for _, j := range order {
			if r.Plans[j].Name == pl.Name {
				first = j
				break
			}
		}
		switch by, shared, ok := r.shift(first, i); {
		case i == base:
			out[i] = Datum{At: pl.Box.Min, Given: !pl.Only, Why: "lower left corner of the plan"}
		case first != i && ok:
			out[i] = Datum{At: out[first].At.Add(by), Given: true, Why: fmt.Sprintf("as this sheet and the other one of %s have the same %d things there", pl.Name, shared)}
			out[first].Given = true
		case first != i:
			// Not over each other, where chance would make one device of two.
			right.X += 1.5 * max(r.Plans[first].Box.Width(), pl.Box.Width())
			out[i] = Datum{At: pl.Box.Min.Sub(geom.Pt(right.X, 0)), Given: true,
				Why: "CHECK: nothing tells how the sheets of this level lie; they are laid side by side"}
			out[first].Given = true
		default:
			if by, shared, ok := r.shift(base, i); ok {
				out[i] = Datum{At: out[base].At.Add(by), Given: by.Len() > 0.5*r.Pages[pl.Page].H[0] || out[base].Given,
					Why: fmt.Sprintf("as %d texts, such as those of a grid, stand there on this plan and on %s", shared, r.Plans[base].Name)}
				out[base].Given = out[base].Given || out[i].Given
				continue
			}
			away := !pl.Box.Overlaps(r.Plans[base].Box)
			out[i] = Datum{At: pl.Box.Min, Given: !pl.Only || away || out[base].Given, Why: "lower left corner of the plan"}
			out[base].Given = out[base].Given || out[i].Given
		}
	}
	return out
}

// shift is how far plan j lies from plan i, by the texts that stand once on each and by
// figures of one kind; how many of them agree; false if too few do.
func (r *Result) shift(i, j int) (by geom.Point, shared int, ok bool) {
	if i == j {
		return geom.Point{}, 0, true
	}
	h := r.Pages[r.Plans[i].Page].H[0]
	if k := r.Pages[r.Plans[j].Page].H[0]; h == 0 || k < 0.8*h || k > 1.25*h {
		return geom.Point{}, 0, false
	}
	a, b := r.marked(i), r.marked(j)
	var cands []geom.Point
	for what, at := range a {
		if q := b[what]; len(at) == 1 && len(q) == 1 {
			cands = append(cands, q[0].Sub(at[0]))
		}
	}
	slices.SortFunc(cands, func(p, q geom.Point) int { return cmp.Or(cmp.Compare(p.X, q.X), cmp.Compare(p.Y, q.Y)) })
	for _, c := range cands[:min(len(cands), 400)] {
		n := 0
		var sum geom.Point
		for _, o := range cands {
			if o.Dist(c) <= 0.5*h {
				n++
				sum = sum.Add(o)
			}
		}
		if n > shared {
			shared, by = n, sum.Mul(1/float64(n))
			exact := math.Inf(1)
			for _, o := range cands { // rather one that is drawn than a mean
				if d := o.Dist(by); d < exact {
					exact = d
					c = o
				}
			}
			by = c
		}
	}
	if r.Plans[i].Name == r.Plans[j].Name { // what stands on both sheets is the same devices too
		shared += r.coinciding(i, j, by, 0.5*h)
	}
	if shared >= leastShared && 8*shared > len(cands) {
		return by, shared, true
	}
	if n, ok := r.sameFrame(i, j, 0.5*h); ok {
		return geom.Point{}, n, true
	}
	return by, shared, false
}

// sameFrame reports whether two sheets of one level are cut from one drawing and kept its coordinates:
// where both lie, the same devices stand.
func (r *Result) sameFrame(i, j int, within float64) (shared int, ok bool) {
	a, b := &r.Plans[i], &r.Plans[j]
	if a.Name != b.Name || a.Page == b.Page || !a.Box.Overlaps(b.Box) {
		return 0, false
	}
	both := [2]int{}
	for k := range r.Figures {
		f := &r.Figures[k]
		for s, pl := range []int{i, j} {
			if f.Plan == pl && a.Box.Contains(f.At) && b.Box.Contains(f.At) {
				both[s]++
			}
		}
	}
	n := r.coinciding(i, j, geom.Point{}, within)
	return n, n >= 2 && 10*n >= 6*max(both[0], both[1])
}

// coinciding counts the figures of plan j that lie on one of plan i of their kind, once it is moved.
func (r *Result) coinciding(i, j int, by geom.Point, within float64) int {
	n := 0
	for k := range r.Figures {
		f := &r.Figures[k]
		if f.Plan == j && slices.ContainsFunc(r.Figures, func(g Figure) bool {
			return g.Plan == i && g.Kind == f.Kind && g.At.Add(by).Dist(f.At) <= within
		}) {
			n++
		}
	}
	return n
}

// marked lists what of a plan may stand at the same place on another: short texts and figures of a kind, by what they are.
func (r *Result) marked(i int) map[string][]geom.Point {
	pl := &r.Plans[i]
	box := pl.Box.Grow(6 * r.Pages[pl.Page].H[0])
	out := map[string][]geom.Point{}
	for k := range r.Pages[pl.Page].lines {
		l := &r.Pages[pl.Page].lines[k]
		if at := l.at.Turn(l.turn); !l.paper && len([]rune(l.text)) <= 12 && box.Contains(at) {
			out["text "+l.text] = append(out["text "+l.text], at)
		}
	}
	for k := range r.Figures {
		if f := &r.Figures[k]; f.Plan == i && r.Kinds[f.Kind].Form != Text {
			what := fmt.Sprint("figure ", f.Kind)
			out[what] = append(out[what], f.At)
		}
	}
	return out
}
