package path

import (
	"cmp"
	"slices"

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
