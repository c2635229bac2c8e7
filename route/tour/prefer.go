package tour

import "math"

// completed returns the earlier order with the places that are missing from it inserted where they cost least. It
// begins with the start and keeps its direction, so that numbers given along it stay.
func (p *Problem) completed() []int {
	n := p.size()
	next := make([]int, n)
	for i := range next {
		next[i] = -1
	}
	order := p.rotated()
	for k, i := range order {
		next[i] = order[(k+1)%len(order)]
	}
	last := order[len(order)-1]
	type gap struct {
		cost  float64
		after int
	}
	cost := func(v, after int) gap {
		c := p.Distance(after, v)
		if !(p.Open && after == last) {
			c += p.Distance(v, next[after]) - p.Distance(after, next[after])
		}
		return gap{c, after}
	}
	best := make(map[int]gap)
	search := func(v int) gap {
		g := gap{math.Inf(1), -1}
		for i := range n {
			if next[i] >= 0 {
				if c := cost(v, i); c.cost < g.cost {
					g = c
				}
			}
		}
		return g
	}
	var missing []int
	for i := range n {
		if next[i] < 0 {
			missing = append(missing, i)
		}
	}
	for _, v := range missing {
		best[v] = search(v)
	}
	for len(missing) > 0 {
		k := 0
		for j, v := range missing {
			if best[v].cost < best[missing[k]].cost {
				k = j
			}
		}
		v := missing[k]
		missing = append(missing[:k], missing[k+1:]...)
		after := best[v].after
		next[v], next[after] = next[after], v
		if after == last {
			last = v // matters to a chain only: at the end of a ring the way back goes on from v
		}
		for _, w := range missing {
			if best[w].after == after {
				best[w] = search(w)
			} else if c := cost(w, v); c.cost < best[w].cost {
				best[w] = c
			}
		}
	}
	out := make([]int, 0, n)
	for i := p.Start; len(out) < n; i = next[i] {
		out = append(out, i)
	}
	return out
}

// rotated is the earlier order with the start in front.
func (p *Problem) rotated() []int {
	at := -1
	for k, i := range p.Prefer {
		if i == p.Start {
			at = k
		}
	}
	order := make([]int, 0, len(p.Prefer)+1)
	switch {
	case at < 0:
		order = append(append(order, p.Start), p.Prefer...)
	case p.Open:
		order = append(append(append(order, p.Start), p.Prefer[:at]...), p.Prefer[at+1:]...)
	default:
		order = append(append(order, p.Prefer[at:]...), p.Prefer[:at]...)
	}
	return order
}
