package label

import (
	"container/heap"
	"math/rand/v2"
	"slices"
)

// greedy places the given items, the one with the fewest free candidates first.
func (m *model) greedy(list []int32) {
	free := make([]int32, len(m.items))
	waiting := make([]bool, len(m.items))
	q := &queue{}
	for _, i := range list {
		if m.cur[i] >= 0 {
			continue
		}
		for _, c := range m.of[i] {
			if m.hits[c] == 0 {
				free[i]++
			}
		}
		waiting[i] = true
		*q = append(*q, entry{free[i], i})
	}
	heap.Init(q)
	for q.Len() > 0 {
		e := heap.Pop(q).(entry)
		if !waiting[e.item] || e.free != free[e.item] {
			continue // an entry made before its count changed
		}
		waiting[e.item] = false
		c := m.kindest(e.item, free, waiting)
		if c < 0 {
			continue
		}
		m.choose(e.item, c)
		for _, y := range m.adj[c] {
			if o := m.cands[y].label; waiting[o] && m.hits[y] == 1 {
				free[o]--
				heap.Push(q, entry{free[o], o})
			}
		}
	}
}

// kindest returns the free candidate of i with the least sum of its own cost
// and of what it takes from the waiting; -1 if none is free. Taking one of many
// choices from another costs little, taking its last one costs much.
func (m *model) kindest(i int32, free []int32, waiting []bool) int32 {
	best, least := int32(-1), int32(hard)
	for _, c := range m.of[i] {
		if m.hits[c] != 0 {
			continue
		}
		cost := m.cands[c].cost
		for _, y := range m.adj[c] {
			if o := m.cands[y].label; waiting[o] && m.hits[y] == 0 {
				cost += 4 * unit / (free[o] * free[o])
			}
		}
		if cost < least {
			best, least = c, cost
		}
	}
	return best
}

type entry struct{ free, item int32 }

// queue is a heap of entries, fewest free candidates first, then canonical order.
type queue []entry

func (q queue) Len() int { return len(q) }
func (q queue) Less(i, j int) bool {
	return q[i].free < q[j].free || q[i].free == q[j].free && q[i].item < q[j].item
}
func (q queue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *queue) Push(x any)   { *q = append(*q, x.(entry)) }
func (q *queue) Pop() any {
	e := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return e
}

// components returns the sets of items that can influence one another, only
// those in which an item with candidates has none chosen.
func (m *model) components() [][]int32 {
	open := make([]bool, len(m.items))
	for i := range m.items {
		if m.cur[i] < 0 && len(m.of[i]) > 0 {
			open[m.find(int32(i))] = true
		}
	}
	at := make([]int, len(m.items))
	var sets [][]int32
	for i := range m.items {
		r := m.find(int32(i))
		if !open[r] {
			continue
		}
		if at[r] == 0 {
			sets = append(sets, nil)
			at[r] = len(sets)
		}
		sets[at[r]-1] = append(sets[at[r]-1], int32(i))
	}
	return sets
}

// tabu looks for places for the unplaced items of one component by putting one
// in and taking out what it meets, never straight back: partial assignments
// stay free of conflicts throughout. (The scheme is known from graph colouring
// as partial colouring with a tabu list, Bloechliger and Zufferey 2008.)
type tabu struct {
	m    *model
	set  []int32
	open []int32 // unplaced items
	at   []int32 // item -> its place in open
	// until holds a candidate back up to a step; uses counts how often it was
	// chosen, which leads the search away from where it has been.
	until, uses []int32
	rnd         *rand.Rand
	best        []int32
	bestOpen    int
	ties        []int32
	work        int // candidates and conflicts looked at
}

// repair improves every component that has unplaced items.
func (m *model) repair() {
	at := make([]int32, len(m.items))
	until, uses := make([]int32, len(m.cands)), make([]int32, len(m.cands))
	for _, set := range m.components() {
		t := tabu{m: m, set: set, at: at, until: until, uses: uses, rnd: rand.New(rand.NewPCG(1, 2))}
		t.run()
	}
}

func (t *tabu) run() {
	for _, i := range t.set {
		if t.m.cur[i] < 0 && len(t.m.of[i]) > 0 {
			t.push(i)
		}
	}
	t.save()
	patience := t.patience()
	last, done := int32(0), 0
	limit := t.m.bound(maxSearch) - t.m.searched
	for step := int32(1); len(t.open) > 0 && step-last < patience && t.work < min(limit, done+workPerStep*int(patience)); step++ {
		t.step(step)
		if len(t.open) < t.bestOpen {
			t.save()
			last, done = step, t.work
		}
	}
	t.restore()
	t.m.searched += t.work
}

// workPerStep bounds the time: it is what a step looks at in a crowded but
// sensible plan. Heaps of labels in one place would make every step far dearer.
const workPerStep = 500

// patience is the number of steps without progress after which to give up.
func (t *tabu) patience() int32 {
	n := float64(min(60*len(t.set)+400*len(t.open), 40_000))
	return int32(max(1, n*t.m.opt.Effort))
}

func (t *tabu) push(i int32) {
	t.at[i] = int32(len(t.open))
	t.open = append(t.open, i)
}

func (t *tabu) remove(i int32) {
	k, last := t.at[i], int32(len(t.open)-1)
	t.open[k] = t.open[last]
	t.at[t.open[k]] = k
	t.open = t.open[:last]
}

// step places the open item that costs the fewest others their place.
func (t *tabu) step(now int32) {
	c := t.pick(now)
	if c < 0 {
		return
	}
	m := t.m
	i := m.cands[c].label
	t.work += 2 * len(m.adj[c])
	if m.hits[c] > 0 {
		for _, y := range m.adj[c] {
			if o := m.cands[y].label; m.cur[o] == y {
				m.drop(o)
				t.work += len(m.adj[y])
				t.push(o)
				t.until[y] = now + int32(len(t.open)) + t.rnd.Int32N(10)
			}
		}
	}
	m.choose(i, c)
	t.uses[c]++
	t.remove(i)
}

// sample is how many open items a step looks at: all of them would make steps slow where many are hopeless.
const sample = 12

func (t *tabu) pick(now int32) int32 {
	m := t.m
	t.ties = t.ties[:0]
	bestHits, bestUses := int32(hard), int32(hard)
	look := func(i int32) {
		t.work += len(m.of[i])
		for _, c := range m.of[i] {
			h := m.hits[c]
			if h > bestHits || h > 0 && t.until[c] > now {
				continue
			}
			if h < bestHits || t.uses[c] < bestUses {
				bestHits, bestUses, t.ties = h, t.uses[c], t.ties[:0]
			}
			if t.uses[c] == bestUses {
				t.ties = append(t.ties, c)
			}
		}
	}
	if len(t.open) <= sample {
		for _, i := range t.open {
			look(i)
		}
	} else {
		for range sample {
			look(t.open[t.rnd.IntN(len(t.open))])
		}
	}
	if len(t.ties) == 0 {
		return -1
	}
	return t.ties[t.rnd.IntN(len(t.ties))]
}

func (t *tabu) save() {
	t.bestOpen = len(t.open)
	t.best = t.best[:0]
	for _, i := range t.set {
		t.best = append(t.best, t.m.cur[i])
	}
}

func (t *tabu) restore() {
	now := slices.Clone(t.best)
	for k, i := range t.set {
		if t.m.cur[i] >= 0 && t.m.cur[i] != now[k] {
			t.m.drop(i)
		}
	}
	for k, i := range t.set {
		if now[k] >= 0 && t.m.cur[i] < 0 {
			t.m.choose(i, now[k])
		}
	}
}
