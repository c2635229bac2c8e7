package tree

import (
	"math"
	"math/rand/v2"
	"slices"
)

// Sizes of the subtrees that are replaced by their optimum. Time grows as
// 3^size, gain levels off.
const (
	windowSize = 8
	kickWindow = 7
	// startHeat is the first allowance for a change for the worse, in mean edges.
	startHeat = 0.1
)

// kicksFor bounds the search by count, never by the clock, so that every
// machine finds the same tree. A kick costs time in proportion to the places.
func kicksFor(places int) int { return min(600+2*places, 800, 320_000/places) }

// solveExactly replaces the whole tree by an optimum.
func (t *net) solveExactly() {
	_, edges := t.solve(t.at[:t.terms])
	*t = *newNet(t.at[:t.terms])
	fixed := make([]int32, t.terms)
	for i := range fixed {
		fixed[i] = int32(i)
	}
	t.graft(edges, fixed)
}

// graft adds edges between places; those of fixed nodes are joined to them, the
// others become Steiner points, which it returns.
func (t *net) graft(edges [][2]ipoint, fixed []int32) []int32 {
	known := slices.Clone(fixed)
	node := func(p ipoint) int32 {
		for _, id := range known {
			if t.at[id] == p {
				return id
			}
		}
		id := t.add(p)
		known = append(known, id)
		return id
	}
	for _, e := range edges {
		t.link(node(e[0]), node(e[1]))
	}
	added := known[len(fixed):]
	for _, id := range added {
		t.tidy(id)
	}
	return added
}

// window is a connected part of the tree: nodes[0] is where it grew from, and
// nodes[i] hangs on up[i].
type window struct {
	nodes, up []int32
	dist      []int64
	fixed     []int32 // terminals, and nodes with edges that lead outside
	length    int64
}

// window grows a subtree around seed, nearest nodes first, to the greatest
// extent that keeps at most size fixed nodes with places of their own.
func (t *net) window(seed int32, size int, w *window) {
	if n := len(t.at); len(t.mark) < n {
		t.mark = append(t.mark, make([]int32, n-len(t.mark))...)
	}
	t.tick++
	w.nodes, w.up, w.dist = append(w.nodes[:0], seed), append(w.up[:0], -1), append(w.dist[:0], 0)
	t.mark[seed] = t.tick
	keep := 1
	for len(w.nodes) < 2*size+2 {
		from, next, best := int32(-1), int32(-1), int64(0)
		for i, a := range w.nodes {
			for _, b := range t.adj[a] {
				if d := w.dist[i] + t.length(a, b); t.mark[b] != t.tick && (next < 0 || d < best) {
					from, next, best = a, b, d
				}
			}
		}
		if next < 0 {
			break
		}
		t.mark[next] = t.tick
		w.nodes, w.up, w.dist = append(w.nodes, next), append(w.up, from), append(w.dist, best)
		if t.countFixed(w.nodes, w) <= size {
			keep = len(w.nodes)
		}
	}
	w.nodes, w.up = w.nodes[:keep], w.up[:keep]
	t.countFixed(w.nodes, w)
	w.length = 0
	for i := 1; i < keep; i++ {
		w.length += t.length(w.nodes[i], w.up[i])
	}
}

// countFixed fills w.fixed for the first nodes of w.
func (t *net) countFixed(nodes []int32, w *window) int {
	w.fixed = w.fixed[:0]
	for i, n := range nodes {
		inside := 0
		if i > 0 {
			inside = 1
		}
		for j := i + 1; j < len(nodes); j++ {
			if w.up[j] == n {
				inside++
			}
		}
		if !t.steiner(n) || inside < len(t.adj[n]) {
			w.fixed = append(w.fixed, n)
		}
	}
	return len(w.fixed)
}

// reshape replaces the subtree around seed by its optimum where that is
// shorter. It returns the nodes that changed, none when nothing was gained.
func (t *net) reshape(seed int32, size int, w *window) []int32 {
	t.window(seed, size, w)
	if len(w.fixed) < 3 {
		return nil
	}
	places := make([]ipoint, 0, size)
	for _, n := range w.fixed {
		if !slices.Contains(places, t.at[n]) {
			places = append(places, t.at[n])
		}
	}
	// The search comes by the same places again and again.
	var key [windowSize]ipoint
	for i := copy(key[:], places); i < windowSize; i++ {
		key[i].x = math.MinInt64 // no place: coordinates are small
	}
	slices.SortFunc(key[:len(places)], compare)
	if cost, ok := t.known[key]; ok && cost >= w.length {
		return nil
	}
	cost, edges := t.solve(places)
	t.known[key] = cost
	if cost >= w.length {
		return nil
	}
	for i := 1; i < len(w.nodes); i++ {
		t.unlink(w.nodes[i], w.up[i])
	}
	for _, n := range w.nodes {
		if !slices.Contains(w.fixed, n) {
			t.tidy(n)
		}
	}
	// Two fixed nodes on one place stay joined by an edge without length.
	for i, n := range w.fixed {
		for _, m := range w.fixed[:i] {
			if t.at[m] == t.at[n] {
				t.link(m, n)
				break
			}
		}
	}
	added := t.graft(edges, w.fixed)
	for _, n := range w.fixed {
		t.tidy(n)
	}
	return append(slices.Clone(w.fixed), added...)
}

// settle improves the tree around the nodes in queue until nothing near them changes.
func (t *net) settle(queue []int32, size int, w *window) {
	var order []int32
	for steps := 0; len(queue) > 0 && steps < 64; steps++ {
		n := queue[0]
		queue = queue[1:]
		if len(t.adj[n]) == 0 {
			continue
		}
		var s swap
		if s, order = t.bestSwap(n, order); s.gain > 0 {
			for _, m := range t.apply(s) {
				queue = enqueue(queue, m)
			}
			continue
		}
		for _, m := range t.reshape(n, size, w) {
			queue = enqueue(queue, m)
		}
	}
}

func enqueue(queue []int32, n int32) []int32 {
	if slices.Contains(queue, n) {
		return queue
	}
	return append(queue, n)
}

// search improves the spanning tree in three stages, each from the result of
// the one before: exchanges, optimal subtrees everywhere, perturbations.
func (t *net) search(kicks int) {
	w := &window{}
	t.known = map[[windowSize]ipoint]int64{}
	t.exchange()
	for changed := true; changed; {
		changed = false
		for n := int32(0); int(n) < len(t.at); n++ {
			if len(t.adj[n]) > 0 && t.reshape(n, windowSize, w) != nil {
				changed = true
			}
		}
		t.exchange()
	}
	rng := rand.New(rand.NewPCG(1994, 1563))
	cur, best := t.clone(), t.clone()
	length := t.total()
	shortest := length
	// A change for the worse is let pass now and then, at first more readily.
	heat := float64(length) / float64(t.terms) * startHeat
	for k := range kicks {
		t.settle(t.kick(rng), kickWindow, w)
		l := t.total()
		allow := heat * (1 - float64(k)/float64(kicks)) * rng.ExpFloat64()
		if float64(l-length) > allow {
			t.copyFrom(cur)
			continue
		}
		length = l
		cur.copyFrom(t)
		if l < shortest {
			shortest = l
			best.copyFrom(t)
		}
	}
	t.copyFrom(best)
}

// kick makes one of the least harmful exchanges at a random node.
func (t *net) kick(rng *rand.Rand) []int32 {
	p := int32(rng.IntN(len(t.at)))
	for len(t.adj[p]) == 0 {
		p = int32(rng.IntN(len(t.at)))
	}
	order := t.walk(p, nil)
	var near []swap
	const choice = 6
	for _, b := range order[1:] {
		a := t.from[b]
		if a == p || t.top[a] < 0 || t.from[a] == p && t.gain(p, a, b) == 0 {
			continue // no cycle that has an edge to give, or no change
		}
		s := swap{p, a, b, t.gain(p, a, b)}
		i, _ := slices.BinarySearchFunc(near, s, func(x, y swap) int {
			if x.gain >= y.gain {
				return -1
			}
			return 1
		})
		if i < choice {
			near = slices.Insert(near, i, s)
			near = near[:min(len(near), choice)]
		}
	}
	if len(near) == 0 {
		return nil
	}
	touched := t.apply(near[rng.IntN(len(near))])
	return touched[:]
}
