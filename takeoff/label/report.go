package label

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"loopwright/takeoff/geom"
)

// report writes the outcome for item i.
func (m *model) report(i int32, res *Result) {
	it := &m.items[i]
	p := &res.Placements[it.index]
	if c := m.cur[i]; c >= 0 {
		p.Placed = true
		m.describe(p, it, &m.cands[c])
		p.Crossed = m.crossings(i)
		res.Placed++
		if p.Leader != nil {
			res.WithLeader++
		}
		return
	}
	best, clashes := m.leastBad(i)
	m.describe(p, it, &best)
	p.Clashes = clashes
	if len(clashes) == 0 { // a bound of the model kept this place out of the search
		p.Problem = "too many labels crowd in one place to try all that each could have"
		return
	}
	p.Problem = "no free place: the least bad one would lie on " + list(clashes)
}

// list counts clashes by kind, in words.
func list(clashes []Clash) string {
	var n [WithText + 1]int
	for _, c := range clashes {
		n[c.Kind]++
	}
	plural := [...]string{"boxes", "lines", "symbols", "labels"}
	var words []string
	for k, n := range n {
		switch {
		case n == 1:
			words = append(words, "1 "+Kind(k).String())
		case n > 1:
			words = append(words, fmt.Sprintf("%d %s", n, plural[k]))
		}
	}
	return strings.Join(words, ", ")
}

func (m *model) describe(p *Placement, it *item, c *cand) {
	f := m.scene.f
	lower := c.text.c.Sub(it.u.Mul(it.w / 2)).Sub(it.v.Mul(it.bh/2 - it.drop))
	p.Box = Rect{f.out(c.text.c), it.w, it.bh, it.angle}
	p.Baseline = f.out(lower)
	p.Angle, p.Side = it.angle, c.side
	p.Cost = float64(c.cost) / unit
	if c.lead {
		p.Leader = &geom.Segment{A: f.out(c.leader.A), B: f.out(c.leader.B)}
	}
}

// crossings counts the symbols and leaders that the leader of item i crosses.
func (m *model) crossings(i int32) int {
	it, c := &m.items[i], &m.cands[m.cur[i]]
	if !c.lead {
		return 0
	}
	n := 0
	m.scene.gather(c.box)
	for _, id := range m.scene.nearSolids {
		o := &m.scene.solids[id]
		if o.kind == WithSymbol && o.index != it.index && !slices.Contains(it.startsIn, start{id, true}) && o.cut(c.leader, m.tol) {
			n++
		}
	}
	for j := range m.items {
		if k := m.cur[j]; int32(j) != i && k >= 0 && m.cands[k].lead && near(c.leader, m.cands[k].leader, m.tol) {
			n++
		}
	}
	return n
}

// mostClashes is how many clashes are listed of one label: a text larger than
// the whole plan lies on everything.
const mostClashes = 200

// leastBad returns the place beside the symbol that meets the fewest things, and these.
func (m *model) leastBad(i int32) (cand, []Clash) {
	it := &m.items[i]
	cs := appendCandidates(nil, it, i, tierSides, m.opt)
	const few = 4
	switch {
	case m.spent(): // a heap, or texts larger than the plan: wherever it goes, it lies on others
		cs = cs[:min(few, len(cs))]
	case !m.opt.Fixed:
		cs = appendCandidates(cs, it, i, tierSlides, m.opt)
	}
	m.gatherFor(it, cs)
	var best cand
	var in, met []Clash
	for k := range cs {
		c := &cs[k]
		most := mostClashes
		if k > 0 {
			most = len(in) // a place with more is no better, whatever the number
		}
		met = met[:0]
		note := func(x Clash) bool {
			met = append(met, x)
			return len(met) <= most
		}
		cost, _ := m.scene.judge(it, c, note)
		c.cost += cost
		if len(met) <= most {
			m.texts(i, c, note)
		}
		if k == 0 || len(met) < len(in) || len(met) == len(in) && c.cost < best.cost {
			best, in = *c, slices.Clone(met)
		}
	}
	slices.SortFunc(in, func(a, b Clash) int { return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Index, b.Index)) })
	return best, slices.Compact(in)
}

// texts visits the chosen places of other labels that c meets, until each returns false.
func (m *model) texts(i int32, c *cand, each func(Clash) bool) {
	lo, hi := [2]float64{c.box.Min.X, c.box.Min.Y}, [2]float64{c.box.Max.X, c.box.Max.Y}
	m.groups.Search(lo, hi, func(_, _ [2]float64, g group) bool {
		x := m.cur[g.item]
		if g.item == i || x < g.first || x >= g.end || !conflict(c, &m.cands[x], m.tol) {
			return true
		}
		return each(Clash{WithText, m.items[g.item].index})
	})
}
