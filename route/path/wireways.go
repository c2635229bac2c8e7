package path

import (
	"cmp"
	"container/heap"
	"math"
	"slices"
	"sync"

	"loopwright/takeoff/geom"
)

// wireRow holds the distances from one place to all places, once asked for.
type wireRow struct {
	once sync.Once
	dist []float64
}

// wireItem is a node waiting in Dijkstra's search.
type wireItem struct {
	node int
	dist float64
}

type wireHeap []wireItem

func (h wireHeap) Len() int { return len(h) }
func (h wireHeap) Less(i, j int) bool {
	return cmp.Or(cmp.Compare(h[i].dist, h[j].dist), cmp.Compare(h[i].node, h[j].node)) < 0
}
func (h wireHeap) Swap(i, j int) { h[i], h[j] = h[j], h[i] }
func (h *wireHeap) Push(x any)   { *h = append(*h, x.(wireItem)) }
func (h *wireHeap) Pop() any {
	old := *h
	x := old[len(old)-1]
	*h = old[:len(old)-1]
	return x
}

// ways returns the distance from place i to every node, and the piece that
// leads to it: -1 at the start and where there is no way.
func (w *Wiring) ways(i int) (dist []float64, via []int) {
	n := len(w.Nodes)
	dist, via = make([]float64, n), make([]int, n)
	for k := range n {
		dist[k], via[k] = math.Inf(1), -1
	}
	dist[i] = 0
	todo := &wireHeap{{i, 0}}
	for todo.Len() > 0 {
		u := heap.Pop(todo).(wireItem)
		if u.dist > dist[u.node] {
			continue
		}
		for _, id := range w.graph.at[u.node] {
			p := &w.graph.pieces[id]
			if v := p.other(u.node); u.dist+p.length < dist[v] {
				dist[v], via[v] = u.dist+p.length, id
				heap.Push(todo, wireItem{v, dist[v]})
			}
		}
	}
	return dist, via
}

// row returns the distances from place i to all places.
func (w *Wiring) row(i int) []float64 {
	r := &w.rows[i]
	r.once.Do(func() {
		dist, _ := w.ways(i)
		r.dist = slices.Clone(dist[:len(w.symbols)])
	})
	return r.dist
}

// Cost implements Measurer: the shortest way along drawn wires, through other
// devices where the wires run so.
func (w *Wiring) Cost(i, j int) float64 {
	i, j = min(i, j), max(i, j)
	if d := w.row(i)[j]; !math.IsInf(d, 1) {
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
	dist, via := w.ways(i)
	if math.IsInf(dist[j], 1) {
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
		p := &w.graph.pieces[via[n]]
		pts = append(pts, p.from(n)[1:]...)
		n = p.other(n)
	}
	slices.Reverse(pts)
	if i == j {
		pts = append(pts, pts[0])
	}
	return Leg{Points: pts, Length: dist[j], Via: ViaWiring}
}
