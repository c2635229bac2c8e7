package tour

import "math"

// completed returns the earlier order with the places that are missing from it inserted where they cost least. It
// begins with the start and keeps its direction, so that numbers given along it stay.
func (p *Problem) completed() []int {
	c := newCompletion(p)
	for len(c.missing) > 0 {
		k := 0
		for j, v := range c.missing {
			if c.best[v].cost < c.best[c.missing[k]].cost {
				k = j
			}
		}
		c.insert(k)
	}
	out := make([]int, 0, len(c.next))
	for i := p.Start; len(out) < len(c.next); i = c.next[i] {
		out = append(out, i)
	}
	return out
}

// A completion is an order as a linked list, with the cheapest gap for each place that is not in it yet.
type completion struct {
	p       *Problem
	next    []int // -1: missing
	last    int
	missing []int
	best    []gap // by place
}

type gap struct {
	cost  float64
	after int
}

func newCompletion(p *Problem) *completion {
	n := p.size()
	c := &completion{p: p, next: make([]int, n), best: make([]gap, n)}
	for i := range c.next {
		c.next[i] = -1
	}
	order := p.rotated()
	for k, i := range order {
		c.next[i] = order[(k+1)%len(order)]
	}
	c.last = order[len(order)-1]
	for i := range n {
		if c.next[i] < 0 {
			c.missing = append(c.missing, i)
			c.best[i] = c.search(i)
		}
	}
	return c
}

// price is what v costs after a place of the order.
func (c *completion) price(v, after int) gap {
	cost := c.p.Distance(after, v)
	if !(c.p.Open && after == c.last) {
		cost += c.p.Distance(v, c.next[after]) - c.p.Distance(after, c.next[after])
	}
	return gap{cost, after}
}

func (c *completion) search(v int) gap {
	best := gap{math.Inf(1), -1}
	for i, next := range c.next {
		if next < 0 {
			continue
		}
		if g := c.price(v, i); g.cost < best.cost {
			best = g
		}
	}
	return best
}

// insert puts the k-th missing place into its gap and looks again where the others are cheapest.
func (c *completion) insert(k int) {
	v := c.missing[k]
	c.missing = append(c.missing[:k], c.missing[k+1:]...)
	after := c.best[v].after
	c.next[v], c.next[after] = c.next[after], v
	if after == c.last {
		c.last = v
	}
	for _, w := range c.missing {
		if c.best[w].after == after {
			c.best[w] = c.search(w)
		} else if g := c.price(w, v); g.cost < c.best[w].cost {
			c.best[w] = g
		}
	}
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
