package tree

import (
	"cmp"
	"math"
	"slices"

	"loopwright/takeoff/geom"
)

// tree turns a finished net into the result: true coordinates, parents,
// children in order, bends.
func (c *canon) tree(n *net, pts []geom.Point, root int) *Tree {
	t := &Tree{Root: root}
	// The first terminal of each place carries the edges; others that lie on the
	// same place hang on it.
	head := make([]int, c.places())
	for i := range head {
		head[i] = -1
	}
	head[c.of[root]] = root
	for i, p := range c.of {
		if head[p] < 0 {
			head[p] = i
		}
	}
	for i, p := range pts {
		t.Nodes = append(t.Nodes, Node{At: p, Terminal: i})
	}
	id := make([]int, len(n.at))
	for i := range n.at {
		switch {
		case i < n.terms:
			id[i] = head[i]
		case len(n.adj[i]) > 0:
			id[i] = len(t.Nodes)
			t.Nodes = append(t.Nodes, Node{At: c.point(n.at[i]), Terminal: -1})
		}
	}
	adj := make([][]int, len(t.Nodes))
	join := func(a, b int) { adj[a], adj[b] = append(adj[a], b), append(adj[b], a) }
	for a := range n.adj {
		for _, b := range n.adj[a] {
			if int32(a) < b {
				join(id[a], id[b])
			}
		}
	}
	for i, p := range c.of {
		if head[p] != i {
			join(head[p], i)
		}
	}
	t.grow(adj, func(a, b int) float64 { return t.Nodes[a].At.Rect(t.Nodes[b].At) })
	t.renumber(len(pts))
	t.bend()
	return t
}

// grow hangs every node on the root along adj and fills everything but paths.
func (t *Tree) grow(adj [][]int, length func(a, b int) float64) {
	type visit struct{ node, parent int }
	stack := []visit{{t.Root, -1}}
	for len(stack) > 0 {
		v := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		n := &t.Nodes[v.node]
		n.Parent = v.parent
		if v.parent >= 0 {
			n.Length = length(v.parent, v.node)
			n.Dist = t.Nodes[v.parent].Dist + n.Length
		}
		if n.Terminal >= 0 {
			t.Order = append(t.Order, n.Terminal)
		}
		t.Length += n.Length
		for _, c := range adj[v.node] {
			if c != v.parent {
				n.Children = append(n.Children, c)
			}
		}
		slices.SortFunc(n.Children, func(a, b int) int {
			return cmp.Or(cmp.Compare(length(v.node, a), length(v.node, b)),
				cmp.Compare(t.Nodes[a].At.X, t.Nodes[b].At.X), cmp.Compare(t.Nodes[a].At.Y, t.Nodes[b].At.Y),
				cmp.Compare(a, b))
		})
		for i := len(n.Children) - 1; i >= 0; i-- {
			stack = append(stack, visit{n.Children[i], v.node})
		}
	}
}

// renumber puts the Steiner points into walking order.
func (t *Tree) renumber(terminals int) {
	to := make([]int, len(t.Nodes))
	next := terminals
	var visit func(int)
	visit = func(n int) {
		to[n] = n
		if n >= terminals {
			to[n] = next
			next++
		}
		for _, c := range t.Nodes[n].Children {
			visit(c)
		}
	}
	visit(t.Root)
	nodes := make([]Node, len(t.Nodes))
	for i, n := range t.Nodes {
		if n.Parent >= 0 {
			n.Parent = to[n.Parent]
		}
		for k, c := range n.Children {
			n.Children[k] = to[c]
		}
		nodes[to[i]] = n
	}
	t.Nodes = nodes
}

// bend draws every edge. Of the two L-shaped paths it takes the one that lies
// less upon edges already drawn at either end; a draw goes along x first.
func (t *Tree) bend() {
	var visit func(int)
	visit = func(i int) {
		for _, c := range t.Nodes[i].Children {
			t.Nodes[c].Path = t.bestBend(i, c)
		}
		for _, c := range t.Nodes[i].Children {
			visit(c)
		}
	}
	visit(t.Root)
}

func (t *Tree) bestBend(parent, child int) []geom.Point {
	a, b := t.Nodes[parent].At, t.Nodes[child].At
	if a.X == b.X || a.Y == b.Y {
		return []geom.Point{a, b}
	}
	xFirst, yFirst := []geom.Point{a, geom.Pt(b.X, a.Y), b}, []geom.Point{a, geom.Pt(a.X, b.Y), b}
	ox, oy := 0.0, 0.0
	near := append([]int{parent}, t.Nodes[parent].Children...)
	for _, n := range near {
		if p := t.Nodes[n].Path; n != child && p != nil {
			ox += overlap(xFirst, p)
			oy += overlap(yFirst, p)
		}
	}
	if oy < ox {
		return yFirst
	}
	return xFirst
}

// overlap returns the length along which two rectilinear paths run upon one another.
func overlap(p, q []geom.Point) float64 {
	sum := 0.0
	for i := 1; i < len(p); i++ {
		for j := 1; j < len(q); j++ {
			a, b, c, d := p[i-1], p[i], q[j-1], q[j]
			if a.Y == b.Y && c.Y == d.Y && a.Y == c.Y {
				sum += common(a.X, b.X, c.X, d.X)
			}
			if a.X == b.X && c.X == d.X && a.X == c.X {
				sum += common(a.Y, b.Y, c.Y, d.Y)
			}
		}
	}
	return sum
}

func common(a, b, c, d float64) float64 {
	return math.Max(0, math.Min(math.Max(a, b), math.Max(c, d))-math.Max(math.Min(a, b), math.Min(c, d)))
}
