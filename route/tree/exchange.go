package tree

import "math"

// swap is one edge exchange: node p is joined to edge a-b at the edge's nearest
// point, which closes a cycle, and the longest edge of the cycle goes. Seen from
// p, a is the nearer end of the edge.
type swap struct {
	p, a, b int32
	gain    int64
}

// walk visits every node from start, so that from, top and far hold the way
// back and the longest edge on it. It returns the nodes in the order visited.
func (t *net) walk(start int32, order []int32) []int32 {
	if n := len(t.at); len(t.from) < n {
		t.from = append(t.from, make([]int32, n-len(t.from))...)
		t.top = append(t.top, make([]int32, n-len(t.top))...)
		t.far = append(t.far, make([]int64, n-len(t.far))...)
	}
	t.from[start], t.top[start], t.far[start] = -1, -1, 0
	order = append(order[:0], start)
	for i := 0; i < len(order); i++ {
		a := order[i]
		for _, b := range t.adj[a] {
			if b == t.from[a] {
				continue
			}
			t.from[b], t.top[b], t.far[b] = a, t.top[a], t.far[a]
			if l := t.length(a, b); l > t.far[b] {
				t.top[b], t.far[b] = b, l
			}
			order = append(order, b)
		}
	}
	return order
}

// nearest returns the point closest to p on the best L-shaped path from a to b.
func nearest(p, a, b ipoint) ipoint {
	return ipoint{clamp(p.x, a.x, b.x), clamp(p.y, a.y, b.y)}
}

func clamp(v, a, b int64) int64 { return max(min(a, b), min(max(a, b), v)) }

// bestSwap returns the exchange at p with the greatest gain, which may be negative.
func (t *net) bestSwap(p int32, order []int32) (swap, []int32) {
	order = t.walk(p, order)
	best := swap{gain: math.MinInt64}
	for _, b := range order[1:] {
		a := t.from[b]
		if a == p {
			continue
		}
		if g := t.gain(p, a, b); g > best.gain {
			best = swap{p, a, b, g}
		}
	}
	return best, order
}

// gain needs a walk from p.
func (t *net) gain(p, a, b int32) int64 {
	s := nearest(t.at[p], t.at[a], t.at[b])
	return max(t.far[a], t.at[a].rect(s)) - t.at[p].rect(s)
}

// apply carries out s after a walk from s.p and returns the nodes it touched.
func (t *net) apply(s swap) [4]int32 {
	at := nearest(t.at[s.p], t.at[s.a], t.at[s.b])
	cutHere := t.at[s.a].rect(at) > t.far[s.a] // the piece a-at is the longest of the cycle
	u, v := int32(-1), int32(-1)
	if !cutHere {
		v = t.top[s.a]
		u = t.from[v]
	}
	j := s.b
	switch at {
	case t.at[s.b]:
		if cutHere {
			t.unlink(s.a, s.b)
		}
	case t.at[s.a]:
		j = s.a
	default:
		j = t.add(at)
		t.unlink(s.a, s.b)
		t.link(j, s.b)
		if !cutHere {
			t.link(s.a, j)
		}
	}
	t.link(s.p, j)
	if !cutHere {
		t.unlink(u, v)
		t.tidy(u)
		t.tidy(v)
	}
	t.tidy(s.a)
	t.tidy(s.b)
	t.tidy(j)
	t.tidy(s.p)
	if cutHere {
		u, v = s.a, s.b
	}
	return [4]int32{s.p, j, u, v}
}

// exchange applies improving swaps until none is left.
func (t *net) exchange() {
	var order []int32
	for changed := true; changed; {
		changed = false
		for p := int32(0); int(p) < len(t.at); p++ {
			if len(t.adj[p]) == 0 {
				continue
			}
			var s swap
			if s, order = t.bestSwap(p, order); s.gain > 0 {
				t.apply(s)
				changed = true
			}
		}
	}
}
