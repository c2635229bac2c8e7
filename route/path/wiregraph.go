package path

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"loopwright/takeoff/geom"
)

// wirePiece is a stretch of wire between two nodes.
type wirePiece struct {
	a, b   int
	pts    []geom.Point // from a to b
	length float64
	dead   bool // leads nowhere
}

func (p *wirePiece) other(n int) int { return p.a + p.b - n }

// from returns the points walked from node n.
func (p *wirePiece) from(n int) []geom.Point {
	pts := slices.Clone(p.pts)
	if n != p.a {
		slices.Reverse(pts)
	}
	return pts
}

type wireGraph struct {
	pieces []wirePiece
	at     [][]int // pieces by node
}

// graph cuts the lines at their nodes, then makes one piece of those that meet
// in a joint of two.
func (r *wireReader) graph() *wireGraph {
	g := &wireGraph{at: make([][]int, len(r.w.Nodes))}
	for line, cuts := range r.cuts {
		slices.SortStableFunc(cuts, func(a, b cut) int { return cmp.Compare(a.along, b.along) })
		for i := 1; i < len(cuts); i++ {
			r.piece(g, r.lines[line], cuts[i-1], cuts[i])
		}
	}
	g.fuse(len(r.w.symbols))
	return g
}

func (r *wireReader) piece(g *wireGraph, line []geom.Point, a, b cut) {
	pts := []geom.Point{r.w.Nodes[a.node].At, a.at}
	for k := a.seg + 1; k <= b.seg; k++ {
		pts = append(pts, line[k])
	}
	pts = slices.Compact(append(pts, b.at, r.w.Nodes[b.node].At))
	length := geom.PathLen(pts)
	if a.node == b.node {
		reach := r.tol
		if a.node < len(r.w.symbols) {
			reach += r.w.symbols[a.node].Radius
		}
		if length <= 4*reach { // a stub inside the symbol, or between two cuts of one joint
			return
		}
	}
	g.add(wirePiece{a: a.node, b: b.node, pts: pts, length: length})
}

func (g *wireGraph) add(p wirePiece) {
	id := len(g.pieces)
	g.pieces = append(g.pieces, p)
	g.at[p.a] = append(g.at[p.a], id)
	if p.b != p.a {
		g.at[p.b] = append(g.at[p.b], id)
	}
}

func (g *wireGraph) degree(n int) int {
	d := 0
	for _, id := range g.at[n] {
		if g.pieces[id].a == g.pieces[id].b {
			d++
		}
	}
	return d + len(g.at[n])
}

// remove takes a piece out of the graph; its number stays taken.
func (g *wireGraph) remove(id int) {
	p := &g.pieces[id]
	for _, n := range [2]int{p.a, p.b} {
		if i := slices.Index(g.at[n], id); i >= 0 {
			g.at[n] = slices.Delete(g.at[n], i, i+1)
		}
	}
	p.dead = true
}

func (g *wireGraph) fuse(symbols int) {
	for n := symbols; n < len(g.at); n++ {
		if g.degree(n) != 2 || len(g.at[n]) != 2 {
			continue
		}
		p, q := g.pieces[g.at[n][0]], g.pieces[g.at[n][1]]
		i, j := g.at[n][0], g.at[n][1]
		back := p.from(n)
		slices.Reverse(back)
		pts := slices.Compact(append(back, q.from(n)...))
		g.remove(i)
		g.remove(j)
		g.add(wirePiece{a: p.other(n), b: q.other(n), pts: pts, length: p.length + q.length})
	}
}

// reportLoose finds wires that end where nothing is, says so, and takes them out.
func (w *Wiring) reportLoose() {
	g := w.graph
	var loose []int
	for n := len(w.symbols); n < len(g.at); n++ {
		if g.degree(n) == 1 {
			loose = append(loose, n)
		}
	}
	for _, n := range loose {
		w.reportEnd(n, loose)
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
func (w *Wiring) reportEnd(n int, loose []int) {
	at := w.Nodes[n].At
	length := w.graph.pieces[w.graph.at[n][0]].length
	best, place, first := w.opt.Gap, -1, true
	found := false
	for _, m := range loose {
		if d := at.Dist(w.Nodes[m].At); m != n && d <= best {
			best, found, first = d, true, n < m
		}
	}
	for i, s := range w.symbols {
		if d := at.Dist(s.At) - s.Radius; d <= best && len(w.graph.at[i]) == 0 {
			best, found, place, first = d, true, i, true
		}
	}
	switch {
	case found && place >= 0:
		w.find(Gap, at, best, place, "a wire ends %.2f m short of a device that no wire reaches", best)
	case found && first: // the pair is reported once
		w.find(Gap, at, best, -1, "two wires end %.2f m apart: a gap in the circuit?", best)
	case !found:
		w.find(LooseEnd, at, length, -1, "a wire of %.2f m ends where nothing is", length)
	}
}

// wireRow is the way from one place to all nodes.
type wireRow struct {
	once sync.Once
	dist []float64
	via  []int // piece that leads to a node, -1 at the start and where there is no way
}

// ways fills the row of place i, by Dijkstra's method without a heap: circuits are small.
func (w *Wiring) ways(i int) *wireRow {
	row := &w.rows[i]
	row.once.Do(func() {
		n := len(w.Nodes)
		row.dist, row.via = make([]float64, n), make([]int, n)
		done := make([]bool, n)
		for k := range n {
			row.dist[k], row.via[k] = math.Inf(1), -1
		}
		row.dist[i] = 0
		for {
			u := -1
			for k := range n {
				if !done[k] && !math.IsInf(row.dist[k], 1) && (u < 0 || row.dist[k] < row.dist[u]) {
					u = k
				}
			}
			if u < 0 {
				return
			}
			done[u] = true
			for _, id := range w.graph.at[u] {
				p := &w.graph.pieces[id]
				if v := p.other(u); row.dist[u]+p.length < row.dist[v] {
					row.dist[v], row.via[v] = row.dist[u]+p.length, id
				}
			}
		}
	})
	return row
}

// Cost implements Measurer: the shortest way along drawn wires, through other
// devices where the wires run so.
func (w *Wiring) Cost(i, j int) float64 {
	i, j = min(i, j), max(i, j)
	if d := w.ways(i).dist[j]; !math.IsInf(d, 1) {
		return d
	}
	return w.fallback.Cost(i, j)
}

// Leg implements Measurer. Where no drawn wire joins the two, it is the
// fallback's leg and says so.
func (w *Wiring) Leg(i, j int) Leg {
	if i > j {
		return w.Leg(j, i).Reverse()
	}
	row := w.ways(i)
	if math.IsInf(row.dist[j], 1) {
		l := w.fallback.Leg(i, j)
		const reason = "no drawn wire joins the two"
		if l.Note != "" {
			l.Note = reason + "; " + l.Note
		} else {
			l.Note = reason
		}
		return l
	}
	pts := []geom.Point{w.Nodes[j].At}
	for n := j; n != i; {
		p := &w.graph.pieces[row.via[n]]
		pts = append(pts, p.from(n)[1:]...)
		n = p.other(n)
	}
	slices.Reverse(pts)
	if i == j {
		pts = append(pts, pts[0])
	}
	return Leg{Points: pts, Length: row.dist[j], Via: ViaWiring}
}
