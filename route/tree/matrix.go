package tree

import (
	"fmt"
	"math"
)

// Limits bounds the number of edges at a terminal: 2 at a device is one cable
// in and one out, 3 is one tap. Zero means no limit.
type Limits struct {
	Root  int // at the root
	Other int // at every other terminal
}

func (l Limits) at(n, root int) int {
	lim := l.Other
	if n == root {
		lim = l.Root
	}
	if lim <= 0 {
		return math.MaxInt
	}
	return lim
}

// SpanningMatrix returns a short tree over n terminals that branches at
// terminals only, under a symmetric cost that need not be a distance; cost is
// called with i < j. Without limits it is a minimum spanning tree. With limits,
// which make the problem NP-hard, it is the limited tree that greedy growth and
// single edge exchanges lead to; the minimum spanning tree then is its lower
// bound. Ties go to the lower index. ErrLimit says that no tree keeps the limits.
func SpanningMatrix(n, root int, cost func(i, j int) float64, lim Limits) (*Tree, error) {
	if n < 1 {
		return nil, errEmpty
	}
	if root < 0 || root >= n {
		return nil, fmt.Errorf("%w: root %d of %d terminals", errRoot, root, n)
	}
	m := &matrix{n: n, root: root, cost: make([]float64, n*n)}
	for i := range n {
		for j := i + 1; j < n; j++ {
			c := cost(i, j)
			if math.IsNaN(c) || math.IsInf(c, 0) || c < 0 {
				return nil, fmt.Errorf("the cost between terminals %d and %d is %v: it must be a finite number, not below zero", i, j, c)
			}
			m.cost[i*n+j], m.cost[j*n+i] = c, c
		}
	}
	free := m.prim(Limits{})
	t := m.tree(free)
	t.LowerBound, t.Exact = t.Length, true
	if m.keeps(free, lim) {
		return t, nil
	}
	limited := m.prim(lim)
	if limited == nil {
		return nil, fmt.Errorf("%w: at most %d edges at the root and %d elsewhere, %d terminals", errLimit, lim.Root, lim.Other, n)
	}
	m.exchange(limited, lim)
	u := m.tree(limited)
	u.LowerBound = t.Length
	u.Exact = u.Length <= t.Length
	return u, nil
}

type matrix struct {
	n, root int
	cost    []float64
}

type edge struct{ a, b int }

// prim grows a tree from the root; nil where the limits leave no place to grow.
func (m *matrix) prim(lim Limits) []edge {
	degree := make([]int, m.n)
	in := make([]bool, m.n)
	in[m.root] = true
	near := make([]int, m.n) // cheapest node of the tree that still takes an edge, -1 for none
	find := func(j int) {
		near[j] = -1
		for i := range m.n {
			if in[i] && degree[i] < lim.at(i, m.root) && (near[j] < 0 || m.cost[i*m.n+j] < m.cost[near[j]*m.n+j]) {
				near[j] = i
			}
		}
	}
	for j := range m.n {
		find(j)
	}
	edges := make([]edge, 0, m.n-1)
	for len(edges) < m.n-1 {
		b := -1
		for j := range m.n {
			if !in[j] && near[j] >= 0 && (b < 0 || m.cost[near[j]*m.n+j] < m.cost[near[b]*m.n+b]) {
				b = j
			}
		}
		if b < 0 {
			return nil
		}
		a := near[b]
		edges = append(edges, edge{a, b})
		in[b] = true
		degree[a]++
		degree[b]++
		for j := range m.n {
			switch {
			case in[j]:
			case near[j] == a && degree[a] >= lim.at(a, m.root):
				find(j) // b among them
			case degree[b] < lim.at(b, m.root) && (near[j] < 0 || m.cost[b*m.n+j] < m.cost[near[j]*m.n+j]):
				near[j] = b
			}
		}
	}
	return edges
}

func (m *matrix) keeps(edges []edge, lim Limits) bool {
	degree := make([]int, m.n)
	for _, e := range edges {
		degree[e.a]++
		degree[e.b]++
	}
	for i, d := range degree {
		if d > lim.at(i, m.root) {
			return false
		}
	}
	return true
}

// exchange takes out one edge after another and rejoins the two sides where it
// is cheapest, until nothing is gained.
func (m *matrix) exchange(edges []edge, lim Limits) {
	degree := make([]int, m.n)
	for _, e := range edges {
		degree[e.a]++
		degree[e.b]++
	}
	open := func(i int) bool { return degree[i] < lim.at(i, m.root) }
	for changed := true; changed; {
		changed = false
		for k, e := range edges {
			degree[e.a]--
			degree[e.b]--
			side := m.side(edges, k)
			best := e
			for i := range m.n {
				if !side[i] || !open(i) {
					continue
				}
				for j := range m.n {
					if !side[j] && open(j) && m.cost[i*m.n+j] < m.cost[best.a*m.n+best.b] {
						best = edge{i, j}
					}
				}
			}
			degree[best.a]++
			degree[best.b]++
			if best != e {
				edges[k], changed = best, true
			}
		}
	}
}

// side marks the nodes that hang together with edges[skip].a when that edge is out.
func (m *matrix) side(edges []edge, skip int) []bool {
	adj := make([][]int, m.n)
	for k, e := range edges {
		if k != skip {
			adj[e.a], adj[e.b] = append(adj[e.a], e.b), append(adj[e.b], e.a)
		}
	}
	in := make([]bool, m.n)
	in[edges[skip].a] = true
	stack := []int{edges[skip].a}
	for len(stack) > 0 {
		a := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		for _, b := range adj[a] {
			if !in[b] {
				in[b] = true
				stack = append(stack, b)
			}
		}
	}
	return in
}

func (m *matrix) tree(edges []edge) *Tree {
	t := &Tree{Root: m.root, Nodes: make([]Node, m.n)}
	adj := make([][]int, m.n)
	for i := range t.Nodes {
		t.Nodes[i].Terminal = i
	}
	for _, e := range edges {
		adj[e.a], adj[e.b] = append(adj[e.a], e.b), append(adj[e.b], e.a)
	}
	t.grow(adj, func(a, b int) float64 { return m.cost[a*m.n+b] })
	return t
}
