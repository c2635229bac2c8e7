package path

import (
	"slices"

	"github.com/tidwall/rtree"
)

// reportLoose finds wires that end where nothing is, says so, and takes them out.
func (w *Wiring) reportLoose() {
	g := w.graph
	var loose []int
	for n := len(w.symbols); n < len(g.at); n++ {
		if g.degree(n) == 1 {
			loose = append(loose, n)
		}
	}
	var near rtree.RTreeG[int]
	for _, n := range loose {
		p := w.Nodes[n].At
		near.Insert([2]float64{p.X, p.Y}, [2]float64{p.X, p.Y}, n)
	}
	for _, n := range loose {
		if !slices.Contains(w.parted, n) {
			w.reportEnd(n, &near)
		}
	}
	for queue := loose; len(queue) > 0; queue = queue[1:] {
		n := queue[0]
		if n < len(w.symbols) || g.degree(n) != 1 {
			continue
		}
		id := g.at[n][0]
		next := g.pieces[id].other(n)
		g.remove(id)
		queue = append(queue, next)
	}
	g.fuse(len(w.symbols))
}

// reportEnd says what a loose end may be meant for: another loose end, or a
// symbol without a wire.
func (w *Wiring) reportEnd(n int, loose *rtree.RTreeG[int]) {
	at := w.Nodes[n].At
	length := w.graph.pieces[w.graph.at[n][0]].length
	gap := w.opt.Gap
	best, place, first := gap, -1, true
	other := -1
	loose.Search([2]float64{at.X - gap, at.Y - gap}, [2]float64{at.X + gap, at.Y + gap}, func(_, _ [2]float64, m int) bool {
		if d := at.Dist(w.Nodes[m].At); m != n && d <= gap && (other < 0 || d < best || d == best && m < other) {
			best, other, first = d, m, n < m
		}
		return true
	})
	found := other >= 0
	for i, s := range w.symbols {
		if d := at.Dist(s.At) - s.Radius; i < w.places && d <= best && len(w.graph.at[i]) == 0 {
			best, found, place, first = d, true, i, true
		}
	}
	switch {
	case found && place >= 0:
		w.find(Gap, at, best, place, "a wire ends %s short of a device that no wire reaches", w.length(best))
	case found && first: // the pair is reported once
		w.find(Gap, at, best, -1, "two wires end %s apart: a gap in the circuit?", w.length(best))
	case !found:
		w.find(LooseEnd, at, length, -1, "a wire %s long ends in the open", w.length(length))
	}
}
