package label

import (
	"github.com/tidwall/rtree"

	"loopwright/takeoff/geom"
)

// model is the choice to be made: one candidate for each label, no two in conflict.
type model struct {
	items []item
	scene *scene
	opt   *Options
	tol   float64

	cands    []cand
	of       [][]int32 // item -> its candidates that meet nothing hard
	adj      [][]int32 // candidate -> candidates of other labels it conflicts with
	hits     []int32   // candidate -> how many chosen candidates it conflicts with
	cur      []int32   // item -> its chosen candidate, or -1
	tier     []int8    // item -> tiers generated so far
	links    []int     // item -> conflicts of its candidates
	root     []int32   // item -> another of its component, or itself
	total    int       // all conflicts
	searched int       // work of the search
	mates    [][]int32 // item -> its neighbours in row and column

	groups rtree.RTreeGN[float64, group]
	buf    []cand
	found  []group
}

// group is the candidates first..end of one item, made together.
type group struct{ item, first, end int32 }

func newModel(items []item, s *scene, opt *Options) *model {
	m := &model{items: items, scene: s, opt: opt, tol: s.f.tol()}
	m.of = make([][]int32, len(items))
	m.cur = make([]int32, len(items))
	m.tier = make([]int8, len(items))
	m.links = make([]int, len(items))
	m.root = make([]int32, len(items))
	for i := range m.cur {
		m.cur[i] = -1
		m.root[i] = int32(i)
	}
	return m
}

// Bounds on conflicts, which grow with the square of the labels that crowd in
// one place: hundreds of symbols drawn upon one another are a fault in the
// drawing, and must not exhaust the memory. What is over a bound gets no more candidates.
const (
	maxLinks      = 150_000 // of one label
	maxTotalLinks = 60_000_000
)

// Bounds on the time, for each label, in things looked at: in making places and
// in the search. A crowded but sensible plan takes a tenth of the first and a
// sixth of the second. Texts many times larger than the room between the symbols, as
// where the units of a drawing are taken wrongly, would take hundreds of times as
// much and find no place.
const (
	maxWork   = 100_000
	maxSearch = 400_000
)

func (m *model) bound(each int) int { return each * (len(m.items) + 10) }

// spent reports whether the bound on making places is reached: then there are no more.
func (m *model) spent() bool { return m.scene.work > m.bound(maxWork) }

// extend adds the candidates of the given tier to item i, if it has not got them yet.
func (m *model) extend(i int32, tier int) {
	if int(m.tier[i]) > tier {
		return
	}
	m.tier[i] = int8(tier) + 1
	if m.links[i] > maxLinks || m.total > maxTotalLinks || tier > tierSides && m.spent() {
		return
	}
	it := &m.items[i]
	m.buf = appendCandidates(m.buf[:0], it, i, tier, m.opt)
	if len(m.buf) == 0 {
		return
	}
	m.gatherFor(it, m.buf)
	first := int32(len(m.cands))
	reach := geom.EmptyBox()
	for k := range m.buf {
		cost, ok := m.scene.judge(it, &m.buf[k], nil)
		if !ok {
			continue
		}
		m.buf[k].cost += cost
		reach = join(reach, m.buf[k].box)
		m.of[i] = append(m.of[i], int32(len(m.cands)))
		m.cands = append(m.cands, m.buf[k])
		m.adj = append(m.adj, nil)
		m.hits = append(m.hits, 0)
	}
	if end := int32(len(m.cands)); end > first {
		m.join(group{i, first, end}, reach)
	}
}

// gatherFor collects what matters to any of the candidates of an item.
func (m *model) gatherFor(it *item, cs []cand) {
	reach := geom.EmptyBox()
	for k := range cs {
		reach = join(reach, cs[k].box)
	}
	m.scene.gather(reach.Grow(it.reach()))
}

// join finds the conflicts of a new group with all groups made before.
func (m *model) join(g group, reach geom.Box) {
	lo, hi := [2]float64{reach.Min.X, reach.Min.Y}, [2]float64{reach.Max.X, reach.Max.Y}
	m.found = m.found[:0]
	m.groups.Search(lo, hi, func(_, _ [2]float64, o group) bool {
		if o.item != g.item {
			m.found = append(m.found, o)
		}
		return true
	})
	for _, o := range m.found {
		before := m.total
		for y := o.first; y < o.end; y++ {
			if c := &m.cands[y]; !c.box.Overlaps(reach) {
				continue
			}
			m.scene.work += int(g.end - g.first)
			for x := g.first; x < g.end; x++ {
				if !conflict(&m.cands[x], &m.cands[y], m.tol) {
					continue
				}
				m.adj[x] = append(m.adj[x], y)
				m.adj[y] = append(m.adj[y], x)
				m.links[g.item]++
				m.links[o.item]++
				m.total += 2
				if m.cur[o.item] == y {
					m.hits[x]++
				}
			}
		}
		if m.total > before {
			m.unite(g.item, o.item)
		}
	}
	m.groups.Insert(lo, hi, g)
}

// find returns the item that stands for the component of i.
func (m *model) find(i int32) int32 {
	for m.root[i] != i {
		m.root[i] = m.root[m.root[i]]
		i = m.root[i]
	}
	return i
}

func (m *model) unite(i, j int32) {
	a, b := m.find(i), m.find(j)
	m.root[max(a, b)] = min(a, b)
}

// choose puts item i at candidate c, which must conflict with nothing chosen.
func (m *model) choose(i, c int32) {
	m.cur[i] = c
	for _, y := range m.adj[c] {
		m.hits[y]++
	}
}

// drop takes the choice of item i back.
func (m *model) drop(i int32) {
	for _, y := range m.adj[m.cur[i]] {
		m.hits[y]--
	}
	m.cur[i] = -1
}

// findMates links each item to the nearest one to its right in its row and
// above it in its column: labels that look better when they stand alike.
func (m *model) findMates() {
	m.mates = make([][]int32, len(m.items))
	var tree rtree.RTreeGN[float64, int32]
	for i := range m.items {
		p := m.items[i].at
		tree.Insert([2]float64{p.X, p.Y}, [2]float64{p.X, p.Y}, int32(i))
	}
	for i := range m.items {
		it := &m.items[i]
		for _, look := range [2]struct{ ahead, side geom.Point }{{it.u.Mul(16 * it.h), it.v.Mul(it.h / 4)}, {it.v.Mul(12 * it.h), it.u.Mul(it.h / 4)}} {
			if j := m.nearestAhead(&tree, it, look.ahead, look.side); j >= 0 {
				m.mates[i] = append(m.mates[i], j)
				m.mates[j] = append(m.mates[j], int32(i))
			}
		}
	}
}

// nearestAhead returns the nearest item of the same reading direction in the
// strip from it along ahead, side to either hand; -1 for none.
func (m *model) nearestAhead(tree *rtree.RTreeGN[float64, int32], it *item, ahead, side geom.Point) int32 {
	b := geom.BoxOf(it.at.Add(side), it.at.Sub(side), it.at.Add(ahead).Add(side), it.at.Add(ahead).Sub(side))
	best, far := int32(-1), ahead.Len()
	length, half := ahead.Len(), side.Len()
	tree.Search([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, func(_, _ [2]float64, j int32) bool {
		o := &m.items[j]
		d := o.at.Sub(it.at)
		along, off := d.Dot(ahead)/length, d.Dot(side)/half
		if o.angle != it.angle || along <= half || off > half || off < -half {
			return true
		}
		if along < far || along == far && j < best {
			best, far = j, along
		}
		return true
	})
	return best
}
