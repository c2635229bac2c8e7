package path

import (
	"cmp"
	"math"
	"slices"

	"github.com/tidwall/rtree"

	"loopwright/takeoff/geom"
)

// wireReader turns lines into pieces between nodes.
type wireReader struct {
	w     *Wiring
	tol   float64
	lines [][]geom.Point
	cuts  [][]cut // by line
	tree  rtree.RTreeG[lineSeg]
}

type lineSeg struct{ line, seg int }

// cut is a place on a line at which it meets a node.
type cut struct {
	along float64 // metres from the line's start
	seg   int     // the segment it lies on
	at    geom.Point
	node  int
}

// take keeps the lines that can be wires: finite, with length, each once.
func (r *wireReader) take(lines [][]geom.Point) {
	seen := map[string]bool{}
	for _, l := range lines {
		if bad := slices.IndexFunc(l, func(p geom.Point) bool { return !p.IsFinite() }); bad >= 0 {
			at := geom.Point{}
			if i := slices.IndexFunc(l, geom.Point.IsFinite); i >= 0 {
				at = l[i]
			}
			r.w.find(BadLine, at, 0, -1, "a wire has a coordinate that is not a number: left out")
			continue
		}
		l = slices.Compact(slices.Clone(l))
		if len(l) < 2 {
			continue
		}
		if k := lineKey(l, r.tol); seen[k] {
			r.w.find(Twice, l[0], geom.PathLen(l), -1, "a wire is drawn twice: read once")
			continue
		} else {
			seen[k] = true
		}
		id := len(r.lines)
		r.lines = append(r.lines, l)
		for i := 1; i < len(l); i++ {
			b := geom.BoxOf(l[i-1], l[i])
			r.tree.Insert([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, lineSeg{id, i - 1})
		}
	}
	r.cuts = make([][]cut, len(r.lines))
}

// lineKey is the same for a line and its double, whichever way each runs.
func lineKey(l []geom.Point, tol float64) string {
	key := func(l []geom.Point) string {
		var b []byte
		for _, p := range l {
			for _, v := range [2]float64{p.X, p.Y} {
				b = appendInt(b, int64(math.Round(v/(tol/4))))
			}
		}
		return string(b)
	}
	back := slices.Clone(l)
	slices.Reverse(back)
	return min(key(l), key(back))
}

func appendInt(b []byte, v int64) []byte {
	for range 8 {
		b = append(b, byte(v))
		v >>= 8
	}
	return b
}

// near returns the segments whose boxes come within d of p, by line and segment.
func (r *wireReader) near(p geom.Point, d float64) []lineSeg {
	var out []lineSeg
	r.tree.Search([2]float64{p.X - d, p.Y - d}, [2]float64{p.X + d, p.Y + d}, func(_, _ [2]float64, s lineSeg) bool {
		out = append(out, s)
		return true
	})
	slices.SortFunc(out, func(a, b lineSeg) int { return cmp.Or(cmp.Compare(a.line, b.line), cmp.Compare(a.seg, b.seg)) })
	return out
}

func (r *wireReader) segment(s lineSeg) geom.Segment {
	return geom.Segment{A: r.lines[s.line][s.seg], B: r.lines[s.line][s.seg+1]}
}

// along returns how far down its line a point of segment s lies.
func (r *wireReader) along(s lineSeg, p geom.Point) float64 {
	return geom.PathLen(r.lines[s.line][:s.seg+1]) + r.lines[s.line][s.seg].Dist(p)
}

// end returns the cut at a line's first (0) or last (1) point.
func (r *wireReader) end(line, which int) cut {
	l := r.lines[line]
	if which == 0 {
		return cut{0, 0, l[0], -1}
	}
	return cut{geom.PathLen(l), len(l) - 2, l[len(l)-1], -1}
}

// land joins lines to symbols, ends first: of several symbols an end takes the
// one whose middle is nearest.
func (r *wireReader) land() {
	for line := range r.lines {
		r.cuts[line] = []cut{r.end(line, 0), r.end(line, 1)}
	}
	for place, s := range r.w.symbols {
		reach := s.Radius + r.tol
		for _, seg := range r.near(s.At, reach) {
			for which := range 2 {
				c := &r.cuts[seg.line][which]
				d := s.At.Dist(c.at)
				if d <= reach && (c.node < 0 || d < r.w.symbols[c.node].At.Dist(c.at)) {
					c.node = place
				}
			}
		}
	}
	for place := range r.w.places { // what runs past a shaft does not enter it
		r.landPasses(place)
	}
}

// landPasses joins lines that run through a symbol. A line may come by more
// than once; each visit counts where it comes closest.
func (r *wireReader) landPasses(place int) {
	s := r.w.symbols[place]
	reach := s.Radius + r.tol
	through := math.Max(r.tol, s.Radius/2)
	segs := r.near(s.At, reach)
	for i := 0; i < len(segs); {
		best, dist := segs[i], math.Inf(1)
		j := i
		for ; j < len(segs) && segs[j].line == segs[i].line && segs[j].seg-segs[i].seg == j-i; j++ {
			d := r.segment(segs[j]).Dist(s.At)
			if d > reach && j > i { // left the symbol: a later segment is another visit
				break
			}
			if d < dist {
				best, dist = segs[j], d
			}
		}
		i = j
		if dist > reach {
			continue
		}
		at := r.segment(best).Nearest(s.At)
		c := cut{r.along(best, at), best.seg, at, place}
		ends := r.cuts[best.line][:2]
		switch {
		case r.visits(ends[0], c, place, reach), r.visits(ends[1], c, place, reach):
			// This visit is the landing of an end, on this symbol or on a nearer one.
		case dist <= through:
			r.cuts[best.line] = append(r.cuts[best.line], c)
		case dist < s.Radius:
			r.w.find(NearPass, at, dist, place, "a wire passes %s from the middle of a symbol without ending there: taken as passing by", r.w.length(dist))
		}
	}
}

// visits reports whether an end landed on a symbol in the same visit as c.
func (r *wireReader) visits(end, c cut, place int, reach float64) bool {
	if end.node < 0 || math.Abs(end.along-c.along) > 2*reach {
		return false
	}
	return end.node == place || end.at.Dist(r.w.symbols[place].At) <= reach
}

// join makes joints of the ends that landed on no symbol.
func (r *wireReader) join() {
	group := r.groups()
	node := map[int]int{}
	for e := range group { // symbols first: an end next to a landed end lands with it
		if n := r.cuts[e/2][e%2].node; n >= 0 {
			if _, ok := node[group[e]]; !ok {
				node[group[e]] = n
			}
		}
	}
	for e := range group {
		c := &r.cuts[e/2][e%2]
		if c.node >= 0 {
			continue
		}
		n, ok := node[group[e]]
		if !ok {
			n = len(r.w.Nodes)
			node[group[e]] = n
			r.w.Nodes = append(r.w.Nodes, WireNode{c.at, -1})
		}
		c.node = n
		r.meet(e/2, *c)
	}
}

// groups says which ends are one joint: end 2*line+which carries the number of
// the first end of its group. Ends hang together through ends between them.
func (r *wireReader) groups() []int {
	group := make([]int, 2*len(r.lines))
	for e := range group {
		group[e] = e
	}
	var root func(e int) int
	root = func(e int) int {
		if group[e] != e {
			group[e] = root(group[e])
		}
		return group[e]
	}
	for e := range group {
		at := r.cuts[e/2][e%2].at
		for _, s := range r.near(at, r.tol) {
			for which := range 2 {
				f := 2*s.line + which
				if r.cuts[s.line][which].at.Dist(at) > r.tol || !r.free(e) && !r.free(f) {
					continue
				}
				a, b := root(e), root(f)
				group[max(a, b)] = min(a, b)
			}
		}
	}
	for e := range group {
		group[e] = root(e)
	}
	return group
}

// free reports whether an end landed on no symbol.
func (r *wireReader) free(e int) bool { return r.cuts[e/2][e%2].node < 0 }

// meet joins the other lines that an end touches away from their ends.
func (r *wireReader) meet(line int, c cut) {
	best := map[int]cut{}
	var lines []int
	for _, s := range r.near(c.at, r.tol) {
		at := r.segment(s).Nearest(c.at)
		k := cut{r.along(s, at), s.seg, at, c.node}
		switch {
		case at.Dist(c.at) > r.tol:
			continue
		case s.line == line && math.Abs(k.along-c.along) <= 2*r.tol: // a line does not meet itself next to its own end
			continue
		case r.cuts[s.line][0].at.Dist(c.at) <= r.tol && k.along <= 2*r.tol: // ends that meet are joined already
			continue
		case r.cuts[s.line][1].at.Dist(c.at) <= r.tol && r.cuts[s.line][1].along-k.along <= 2*r.tol:
			continue
		}
		old, ok := best[s.line]
		if !ok {
			lines = append(lines, s.line)
		}
		if !ok || at.Dist(c.at) < old.at.Dist(c.at) {
			best[s.line] = k
		}
	}
	for _, l := range lines {
		r.cuts[l] = append(r.cuts[l], best[l])
	}
}
