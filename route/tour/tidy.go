package tour

import (
	"math"
	"math/rand/v2"
	"slices"
)

// A tidier lowers the secondary cost of a ring without letting it grow past a limit. It uses the moves of search,
// judged by secondary cost first and length second, so it ends; then random moves shake it out of the dead end.
type tidier struct {
	*search
	p         *Problem
	room      int64   // by how much the ring may still grow
	crossings int     // in the whole ring, the free end aside
	cost      float64 // change of the secondary cost since the beginning
}

// The neighbours tried for the second and third leg of a tidying move.
const (
	tidyBreadth = 6
	tidyDepth   = 3
)

// slight is a secondary gain too small to count; it keeps rounding from going round in circles.
const slight = 1e-9

// tidy returns a ring of lower secondary cost that is at most room longer.
func (in *instance) tidy(p *Problem, ring []int32, room int64) []int32 {
	if in.n < 5 || room <= 0 {
		return ring
	}
	s := &search{ring: newRing(append([]int32(nil), ring...)), in: in, queued: make([]bool, in.n)}
	t := &tidier{search: s, p: p, room: room}
	if p.Secondary.Crossing > 0 && len(p.Points) > 0 {
		t.crossings = t.countCrossings()
	}
	for v := in.n - 1; v >= 0; v-- {
		t.push(int32(v))
	}
	t.settle()
	t.shake(shakesPerNode*in.n, p.Seed)
	return t.order
}

// shakesPerNode is how many random moves are tried; the first ones give most.
const shakesPerNode = 6

// settle works off the queue until no move improves.
func (t *tidier) settle() {
	for len(t.queue) > 0 {
		v := t.queue[len(t.queue)-1]
		t.queue = t.queue[:len(t.queue)-1]
		t.queued[v] = false
		for t.improve(v) {
		}
	}
}

// shake makes a random move, whatever it costs, settles around it, and takes both back unless they paid.
func (t *tidier) shake(times int, seed uint64) {
	rng := &chance{*rand.NewPCG(seed, 0xbf58476d1ce4e5b9)}
	var moves []move
	for range times {
		t.log = t.log[:0]
		room, crossings, cost := t.room, t.crossings, t.cost
		moves = moves[:0]
		t.each(int32(rng.below(t.n)), func(m move) {
			if m.gain >= -t.room {
				moves = append(moves, m)
			}
		})
		if len(moves) == 0 {
			continue
		}
		m := moves[rng.below(len(moves))]
		change, crossed := t.change(&m, math.Inf(1))
		t.carry(&m, change, crossed)
		t.settle()
		if t.cost > cost+slight || t.cost > cost-slight && t.room < room {
			t.undo()
			t.room, t.crossings, t.cost = room, crossings, cost
		}
	}
}

// carry applies a move, keeps the books, and wakes its surroundings.
func (t *tidier) carry(m *move, change float64, crossed int) {
	t.room += m.gain
	t.crossings += crossed
	t.cost += change
	t.apply(m)
	for _, v := range m.nodes() {
		t.push(t.succ(v))
		t.push(t.pred(v))
	}
}

// improve applies the best move at t1, if one is worth it, and wakes its surroundings.
func (t *tidier) improve(t1 int32) bool {
	var best move
	bestCost, bestCrossed := -slight, 0
	t.each(t1, func(m move) {
		if m.gain < -t.room {
			return
		}
		cost, crossed := t.change(&m, bestCost)
		if cost < bestCost || cost <= bestCost+slight && best.kind != noMove && m.gain > best.gain {
			best, bestCost, bestCrossed = m, cost, crossed
		}
	})
	if best.kind == noMove {
		return false
	}
	t.carry(&best, bestCost, bestCrossed)
	return true
}

func (m *move) nodes() []int32 {
	if m.kind == twoOpt {
		return []int32{m.t1, m.t2, m.t3, m.t4}
	}
	return []int32{m.t1, m.t2, m.t3, m.t4, m.t5, m.t6}
}

// each enumerates moves at t1 without asking for a gain in length.
func (t *tidier) each(t1 int32, yield func(move)) {
	in := t.in
	v := view{order: t.order, pos: t.pos, n: int32(t.n)}
	for _, back := range [2]bool{false, true} {
		v.back = back
		t2 := v.ahead(t1)
		v.origin = t.pos[t2]
		for _, t3 := range in.list(t2, tidyBreadth) {
			if t3 == t1 {
				continue
			}
			g1 := in.dist(t1, t2) - in.dist(t2, t3)
			if t4 := v.behind(t3); t4 != t2 {
				yield(move{kind: twoOpt, gain: g1 + in.dist(t3, t4) - in.dist(t4, t1), back: back, t1: t1, t2: t2, t3: t3, t4: t4})
			}
			t4 := v.ahead(t3)
			g2 := g1 + in.dist(t3, t4)
			last := v.rank(t3)
			for _, t5 := range in.list(t4, tidyDepth) {
				if v.rank(t5) >= last {
					continue
				}
				t6 := v.ahead(t5)
				g3 := g2 - in.dist(t4, t5)
				yield(move{swapParts, g3 + in.dist(t5, t6) - in.dist(t6, t1), back, t1, t2, t3, t4, t5, t6})
				if t5 != t2 {
					t6 = v.behind(t5)
					yield(move{turnParts, g3 + in.dist(t5, t6) - in.dist(t6, t1), back, t1, t2, t3, t4, t5, t6})
				}
			}
		}
	}
}

func (in *instance) list(a int32, most int) []int32 {
	row := int(a) * in.width
	return in.near[row : row+min(most, in.width)]
}

// change returns by how much the secondary cost and the number of crossings change. Once the turns alone make the
// move no better than limit, and no crossing is left to undo, it does not count crossings.
func (t *tidier) change(m *move, limit float64) (float64, int) {
	gone := [][2]int32{{m.t1, m.t2}, {m.t3, m.t4}, {m.t5, m.t6}}
	come := [][2]int32{{m.t2, m.t3}, {m.t4, m.t5}, {m.t6, m.t1}}
	if m.kind == twoOpt {
		gone, come = gone[:2], [][2]int32{{m.t2, m.t3}, {m.t4, m.t1}}
	}
	cost := t.turnsChange(m.nodes(), gone, come)
	weight := t.p.Secondary.Crossing
	if weight <= 0 || len(t.p.Points) == 0 || cost >= limit+slight && t.crossings == 0 {
		return cost, 0
	}
	crossed := t.crossingsChange(gone, come)
	return cost + weight*float64(crossed), crossed
}

func (t *tidier) turnsChange(nodes []int32, gone, come [][2]int32) float64 {
	if t.p.Secondary.Turns == nil {
		return 0
	}
	sum := 0.0
	for k, v := range nodes {
		if slices.Contains(nodes[:k], v) {
			continue // a node that is an end of two legs of the move
		}
		a, b := t.pred(v), t.succ(v)
		sum -= t.turns(a, v, b)
		for _, leg := range gone {
			drop(&a, &b, v, leg)
		}
		for _, leg := range come {
			if leg[0] == v {
				fill(&a, &b, leg[1])
			} else if leg[1] == v {
				fill(&a, &b, leg[0])
			}
		}
		sum += t.turns(a, v, b)
	}
	return sum
}

// drop marks the neighbour that v loses with the leg.
func drop(a, b *int32, v int32, leg [2]int32) {
	other := leg[1]
	if leg[1] == v {
		other = leg[0]
	} else if leg[0] != v {
		return
	}
	if *a == other {
		*a = -1
	} else if *b == other {
		*b = -1
	}
}

func fill(a, b *int32, other int32) {
	if *a < 0 {
		*a = other
	} else {
		*b = other
	}
}

// turns is the cost at node v, which is none at the start and beside the free end.
func (t *tidier) turns(a, v, b int32) float64 {
	in := t.in
	if v == in.start || v == in.free || in.free >= 0 && (a == in.free || b == in.free) {
		return 0
	}
	return t.p.Secondary.Turns(in.place[a], in.place[v], in.place[b])
}

// crosses reports whether two legs cross; legs to the free end are not drawn.
func (t *tidier) crosses(a, b, c, d int32) bool {
	free := t.in.free
	if free >= 0 && (a == free || b == free || c == free || d == free) {
		return false
	}
	q, place := t.p.Points, t.in.place
	return cross(q[place[a]], q[place[b]], q[place[c]], q[place[d]])
}

func (t *tidier) countCrossings() int {
	count := 0
	for k, a := range t.order {
		for _, c := range t.order[:k] {
			if t.crosses(a, t.succ(a), c, t.succ(c)) {
				count++
			}
		}
	}
	return count
}

func (t *tidier) crossingsChange(gone, come [][2]int32) int {
	change := 0
	for _, a := range t.order {
		b := t.succ(a)
		stays := true
		for _, leg := range gone {
			stays = stays && !(leg == [2]int32{a, b} || leg == [2]int32{b, a})
		}
		if !stays {
			continue
		}
		for _, leg := range gone {
			if t.crosses(a, b, leg[0], leg[1]) {
				change--
			}
		}
		for _, leg := range come {
			if t.crosses(a, b, leg[0], leg[1]) {
				change++
			}
		}
	}
	return change + t.among(come) - t.among(gone)
}

func (t *tidier) among(legs [][2]int32) int {
	count := 0
	for k, a := range legs {
		for _, c := range legs[:k] {
			if t.crosses(a[0], a[1], c[0], c[1]) {
				count++
			}
		}
	}
	return count
}
