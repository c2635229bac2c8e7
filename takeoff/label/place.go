package label

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"loopwright/takeoff/geom"
)

// Place finds a place for every label. It never fails: a label that cannot be
// read (a text height that is not positive, a coordinate that is not finite)
// or for which there is no free place is returned with Placed false and a Problem.
func Place(labels []Label, obstacles Obstacles, opt Options) Result {
	opt = opt.withDefaults()
	res := Result{Placements: make([]Placement, len(labels))}
	ok := make([]bool, len(labels))
	for i := range labels {
		p := &res.Placements[i]
		p.Index, p.ID = i, labels[i].ID
		p.Problem = problem(&labels[i])
		ok[i] = p.Problem == ""
	}
	f := newFrame(labels, ok)
	var items []item
	for i := range labels {
		if ok[i] {
			items = append(items, newItem(f, &labels[i], i, &opt))
		}
	}
	if len(items) == 0 {
		return res
	}
	sortItems(items, labels)
	s := newScene(f, items, &obstacles)
	for i := range items {
		s.findStarts(&items[i])
	}
	m := newModel(items, s, &opt)
	m.solve()
	for i := range items {
		m.report(int32(i), &res)
	}
	return res
}

// withDefaults fills in what the zero value means.
func (o Options) withDefaults() Options {
	def := func(v *float64, d float64) {
		if *v == 0 || math.IsNaN(*v) {
			*v = d
		}
		*v = max(0, *v)
	}
	def(&o.Gap, 0.35)
	def(&o.Clearance, 0.2)
	def(&o.Reach, 1)
	def(&o.MaxLeader, 14)
	def(&o.Effort, 1)
	o.Sides = slices.DeleteFunc(slices.Clone(o.Sides), func(s Side) bool { return s >= sideCount })
	if len(o.Sides) == 0 || !o.Fixed {
		o.Sides = slices.Concat(o.Sides, DefaultSides())
	}
	if o.Fixed {
		o.Reach, o.MaxLeader = 0, 0
	}
	return o
}

// problem says what about l cannot be worked with; empty if nothing.
func problem(l *Label) string {
	switch {
	case !(l.Height > 0) || math.IsInf(l.Height, 0):
		return fmt.Sprintf("text height %v: it must be greater than 0", l.Height)
	case !l.Anchor.IsFinite() || !l.Symbol.valid():
		return "the anchor or the symbol has a coordinate or size that is not a number"
	case math.IsNaN(l.Angle) || math.IsInf(l.Angle, 0):
		return "the reading direction is not a number"
	case !(l.Width >= 0) || !(l.BoxHeight >= 0) || math.IsInf(l.Width, 0) || math.IsInf(l.BoxHeight, 0):
		return "the measured text box has a size that is negative or not a number"
	case l.Width == 0 && EstimateWidth(l.Text, l.Height) == 0:
		return "there is no text to place"
	}
	return ""
}

// solve goes through the tiers: each later one only for labels that the ones
// before left without a place, and for the labels that keep them from one.
func (m *model) solve() {
	all := make([]int32, len(m.items))
	for i := range all {
		all[i] = int32(i)
		m.extend(int32(i), tierSides)
	}
	m.greedy(all)
	m.repair()
	if m.opt.Fixed {
		m.polish()
		m.fill(tierSides)
		return
	}
	// The search may give the place of one label to another, which leaves one
	// without that has not had all its candidates: hence the second round.
	for range 2 {
		for tier := tierSlides; tier < tierCount; tier++ {
			m.widen(tier)
		}
	}
	m.offer()
	m.polish()
	m.fill(tierResort)
}

// fill uses the room that the last moves may have made.
func (m *model) fill(upTo int) {
	for _, i := range m.unplaced() {
		for tier := tierSides; tier <= upTo && m.cur[i] < 0; tier++ {
			m.extend(i, tier)
			m.place(i)
		}
	}
}

// offer gives the labels that had to take a poor place more places to choose from.
func (m *model) offer() {
	const poor = 3 * unit
	var list []int32
	for i := range m.items {
		if c := m.cur[i]; c >= 0 && m.cands[c].cost >= poor {
			list = append(list, int32(i))
		}
	}
	for _, i := range list {
		m.extend(i, tierSlides)
	}
}

// widen gives the labels without a place the candidates of a tier and, as far
// as that is not enough, more freedom to those in their way.
func (m *model) widen(tier int) {
	open := m.unplaced()
	if len(open) == 0 {
		return
	}
	for _, i := range open {
		m.extend(i, tier)
	}
	m.greedy(open)
	if tier > tierSlides {
		m.repair()
	}
	for around := tierSlides; around <= min(tier, tierLeader); around++ {
		open = m.unplaced()
		// Moving the leaders around a label as well is dear, and worth it only for the last few.
		few := tier == tierResort && len(open) <= 8+len(m.items)/200
		for _, j := range m.around(open, few) {
			m.extend(j, around)
		}
		if len(open) > 0 {
			m.repair()
		}
	}
}

func (m *model) unplaced() []int32 {
	var open []int32
	for i := range m.items {
		if m.cur[i] < 0 {
			open = append(open, int32(i))
		}
	}
	return open
}

// around returns the labels that could take a place beside the symbols of the
// given ones; with leaders, also those that could be in the way of their leaders.
func (m *model) around(open []int32, leaders bool) []int32 {
	var list []int32
	for _, i := range open {
		for _, c := range m.of[i] {
			if m.cands[c].lead && !leaders {
				continue
			}
			for _, y := range m.adj[c] {
				if leaders || !m.cands[y].lead {
					list = append(list, m.cands[y].label)
				}
			}
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

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

// leastBad returns the place beside the symbol that meets the fewest things, and these.
func (m *model) leastBad(i int32) (cand, []Clash) {
	it := &m.items[i]
	cs := appendCandidates(nil, it, i, tierSides, m.opt)
	if !m.opt.Fixed {
		cs = appendCandidates(cs, it, i, tierSlides, m.opt)
	}
	var best cand
	var in []Clash
	for k := range cs {
		c := &cs[k]
		m.scene.gather(c.box.Grow(it.reach()))
		var met []Clash
		cost, _ := m.scene.judge(it, c, func(x Clash) { met = append(met, x) })
		c.cost += cost
		reach := [2][2]float64{{c.box.Min.X, c.box.Min.Y}, {c.box.Max.X, c.box.Max.Y}}
		m.groups.Search(reach[0], reach[1], func(_, _ [2]float64, g group) bool {
			if x := m.cur[g.item]; g.item != i && x >= g.first && x < g.end && conflict(c, &m.cands[x], m.tol) {
				met = append(met, Clash{WithText, m.items[g.item].index})
			}
			return true
		})
		if k == 0 || len(met) < len(in) || len(met) == len(in) && c.cost < best.cost {
			best, in = *c, met
		}
	}
	slices.SortFunc(in, func(a, b Clash) int { return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Index, b.Index)) })
	return best, slices.Compact(in)
}
