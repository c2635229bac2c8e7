package pair

import (
	"container/heap"
	"math"
)

// edge is a possible partner and what choosing it costs.
type edge struct {
	to   int
	cost float64
}

// assignment gives every row a column of its own, or none at the price alone,
// so that the sum of all costs is least. It returns the column of each row, -1
// for none. This is the shortest augmenting path method for the linear
// assignment problem (Jonker and Volgenant, Computing 38, 1987) on a sparse
// graph; as no path costs more than going alone, each search stays local.
func assignment(edges [][]edge, columns int, alone float64) []int {
	s := solver{
		edges: edges, alone: alone,
		rowTo: fill(len(edges)), colTo: fill(columns),
		u: make([]float64, len(edges)), v: make([]float64, columns),
	}
	for r := range edges {
		s.augment(r)
	}
	return s.rowTo
}

// solver keeps a matching and prices u, v under which no edge is cheaper than
// the sum of its ends, and every chosen edge costs just that.
type solver struct {
	edges [][]edge
	alone float64
	rowTo []int
	colTo []int
	u, v  []float64
}

// augment brings one more row into the matching along a cheapest path.
func (s *solver) augment(start int) {
	t := search{dist: map[int]float64{}, from: map[int]int{}, done: map[int]bool{}}
	rows := map[int]float64{} // rows reached, with their distance
	bestEnd, end, endRow := math.Inf(1), -1, -1
	for r, d := start, 0.0; ; {
		rows[r] = d
		if cost := d + s.alone - s.u[r]; cost < bestEnd {
			bestEnd, end, endRow = cost, -1, r
		}
		for _, e := range s.edges[r] {
			nd := d + e.cost - s.u[r] - s.v[e.to]
			if old, seen := t.dist[e.to]; nd < bestEnd && (!seen || nd < old) {
				t.dist[e.to], t.from[e.to] = nd, r
				heap.Push(&t.queue, entry{nd, e.to})
			}
		}
		c, ok := t.pop()
		if !ok || t.dist[c] >= bestEnd {
			break
		}
		t.done[c] = true
		if s.colTo[c] < 0 {
			bestEnd, end = t.dist[c], c
			break
		}
		r, d = s.colTo[c], t.dist[c]
	}
	s.reprice(t, rows, bestEnd)
	s.flip(t, start, end, endRow)
}

// reprice keeps the prices valid: what the search settled before its end moves by the difference.
func (s *solver) reprice(t search, rows map[int]float64, total float64) {
	for r, d := range rows {
		if d < total {
			s.u[r] += total - d
		}
	}
	for c := range t.done {
		if d := t.dist[c]; d < total {
			s.v[c] -= total - d
		}
	}
}

// flip exchanges chosen and open edges along the path found.
func (s *solver) flip(t search, start, col, loner int) {
	r := loner
	if col < 0 { // the row goes alone, and its column to the row before it
		col, s.rowTo[r] = s.rowTo[r], -1
		if r == start {
			return
		}
	}
	for {
		r = t.from[col]
		s.colTo[col] = r
		col, s.rowTo[r] = s.rowTo[r], col
		if r == start {
			return
		}
	}
}

// search is the state of one shortest path search over columns.
type search struct {
	queue queue
	dist  map[int]float64
	from  map[int]int
	done  map[int]bool
}

// pop takes the nearest column that is not settled.
func (t *search) pop() (int, bool) {
	for t.queue.Len() > 0 {
		e := heap.Pop(&t.queue).(entry)
		if !t.done[e.col] && e.dist == t.dist[e.col] {
			return e.col, true
		}
	}
	return 0, false
}

type entry struct {
	dist float64
	col  int
}

type queue []entry

func (q queue) Len() int { return len(q) }
func (q queue) Less(i, j int) bool {
	return q[i].dist < q[j].dist || q[i].dist == q[j].dist && q[i].col < q[j].col
}
func (q queue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *queue) Push(x any)   { *q = append(*q, x.(entry)) }
func (q *queue) Pop() any {
	old := *q
	e := old[len(old)-1]
	*q = old[:len(old)-1]
	return e
}
