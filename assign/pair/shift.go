package pair

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"loopwright/takeoff/geom"
)

// How a common shift is looked for: our own choice.
const (
	voteCell   = 0.25    // metres: differences within one cell vote together
	voteBudget = 200_000 // differences looked at on one sheet
	candidates = 64      // shifts that are tried in full
	scored     = 2000    // devices that a shift is tried on
	exactly    = 0.1     // metres: a device found within this supports a shift
	fewest     = 3       // devices that must support a shift
)

type sheet struct{ level, name string }

// shift finds for each sheet how it was moved as a whole, and moves the old
// spots along. A sheet that the new revision lacks (split, joined with another)
// is sought on its whole level.
func (m *matcher) shift() {
	fresh, level := map[sheet][]Spot{}, map[string][]Spot{}
	for _, s := range m.fresh {
		k := sheet{s.Level, s.Sheet}
		fresh[k], level[s.Level] = append(fresh[k], s), append(level[s.Level], s)
	}
	old, order := map[sheet][]int{}, []sheet{}
	for i, s := range m.old {
		k := sheet{s.Level, s.Sheet}
		if old[k] == nil {
			order = append(order, k)
		}
		old[k] = append(old[k], i)
	}
	own, found := map[sheet]Shift{}, map[string][]Shift{}
	for _, k := range order {
		among := fresh[k]
		if among == nil {
			among = level[k.level]
		}
		if by, moved := common(pick(m.old, old[k]), among); moved {
			own[k] = by
			found[k.level] = append(found[k.level], by)
		}
	}
	for _, k := range order {
		// A sheet with few devices goes where the others of its level go.
		s := newSupport(pick(m.old, old[k]), level[k.level], exactly)
		best := s.count(own[k])
		for _, by := range found[k.level] {
			if c := s.count(by); c.points() > best.points() {
				best = c
			}
		}
		by := best.Shift
		if !by.moved() {
			continue
		}
		by.Level, by.Sheet = k.level, k.name
		m.frame.shifts = append(m.frame.shifts, by)
		for _, i := range old[k] {
			m.old[i].Pos = by.Apply(m.old[i].Pos)
		}
	}
}

// rest finds again what stands on a sheet of its own in the new revision, moved
// otherwise than the drawing that it was part of: sheets hardly any spot of which
// has been found.
func (m *matcher) rest() {
	lost, all, order := map[sheet][]int{}, map[sheet]int{}, []sheet{}
	for j, s := range m.fresh {
		k := sheet{s.Level, s.Sheet}
		if all[k]++; all[k] == 1 {
			order = append(order, k)
		}
		if m.newTo[j] < 0 {
			lost[k] = append(lost[k], j)
		}
	}
	found := false
	for _, k := range order {
		if 5*len(lost[k]) < 4*all[k] {
			continue
		}
		var left []int
		for i, s := range m.old {
			if m.oldTo[i] < 0 && s.Level == k.level {
				left = append(left, i)
			}
		}
		news := pick(m.fresh, lost[k])
		by, moved := common(pick(m.old, left), news)
		if !moved {
			continue
		}
		by.Level, by.Sheet = k.level, k.name
		m.frame.parts = append(m.frame.parts, by)
		s := newSupport(nil, news, exactly)
		for _, i := range left {
			if _, ok := s.partner(m.old[i], by, exactly); ok {
				m.old[i].Pos = by.Apply(m.old[i].Pos)
				found = true
			}
		}
	}
	if found {
		m.byPlace(bySpot, Near, sameType)
	}
}

func pick(spots []Spot, at []int) []Spot {
	out := make([]Spot, len(at))
	for k, i := range at {
		out[k] = spots[i]
	}
	return out
}

// common returns the motion that brings most old spots onto a new one of their
// type; false unless it brings clearly more than leaving them where they are.
func common(old, fresh []Spot) (Shift, bool) {
	if len(old) < fewest || len(fresh) < fewest {
		return Shift{}, false
	}
	s := newSupport(old, fresh, exactly)
	zero := s.count(Shift{})
	best := s.shifted(old, fresh, zero)
	if !s.convinces(best, old, fresh) {
		if turned, ok := s.turned(old, fresh, best); ok {
			return turned.Shift, true
		}
	}
	best.Doubtful = best.moved() && !best.borneOut() && s.symmetrical(old, fresh, best)
	return best.Shift, best.moved()
}

// moved reports whether a motion is one: noise of rounding is none.
func (s Shift) moved() bool { return s.By.Len() > exactly/10 || s.Turn != 0 }

// shifted looks for a motion without turning.
func (s *support) shifted(old, fresh []Spot, zero score) score {
	// Keys that agree have the say among motions that explain as much: dealt anew along
	// a row, they all agree on the next place.
	by, agree := agreed(keyed(old, fresh))
	if agree && by == (geom.Point{}) && 5*zero.spots >= 3*min(len(s.old), len(s.new)) {
		return zero
	}
	told := s.count(Shift{By: by})
	best := zero
	for _, by := range proposals(old, fresh) {
		if c := s.count(Shift{By: by}); c.placed() > best.placed() || c.placed() == best.placed() && c.placed() > zero.placed() && by.Len() < best.By.Len() {
			best = c
		}
	}
	if agree && told.spots > zero.spots && told.placed() >= best.placed() {
		return told
	}
	// A regular grid of devices fits itself one row further on nearly as well.
	if best.spots < s.least(0.3) || best.placed() < zero.placed()+fewest || float64(best.placed()) < 1.5*float64(zero.placed()) {
		return zero
	}
	return s.count(s.refine(best.Shift))
}

// least is how many spots must support a motion.
func (s *support) least(share float64) int {
	return max(fewest, int(math.Ceil(share*float64(min(len(s.old), len(s.new))))))
}

// agreed returns the shift that most devices of one key have in common, which
// may be none; false if too few have one, or they disagree.
func agreed(ds []geom.Point) (geom.Point, bool) {
	if len(ds) < fewest {
		return geom.Point{}, false
	}
	var xs, ys []float64
	for _, d := range ds {
		xs, ys = append(xs, d.X), append(ys, d.Y)
	}
	by, near := geom.Pt(median(xs), median(ys)), 0
	for _, d := range ds {
		if d.Dist(by) <= exactly {
			near++
		}
	}
	if by.Len() <= exactly/10 {
		by = geom.Point{} // noise of rounding is no shift
	}
	return by, 2*near > len(ds)
}

// support counts how many devices a motion explains.
type support struct {
	old []Spot
	new []Spot
	g   *grid
}

// score is what speaks for a motion.
type score struct {
	Shift
	spots int    // devices that find one of their type
	keys  [2]int // of those found: known on both sides, and the same
	rooms [2]int
}

// placed is what speaks for it beside keys.
func (c score) placed() int { return c.spots + c.rooms[1] }

// points is what speaks for it; keys only where no rooms are known, which the exporter
// does not deal anew.
func (c score) points() int {
	if c.rooms[0] >= fewest {
		return c.placed()
	}
	return c.placed() + c.keys[1]
}

func newSupport(old, fresh []Spot, reach float64) *support {
	s := &support{new: fresh, g: newGrid(reach)}
	for _, i := range sample(len(old), scored) {
		s.old = append(s.old, old[i])
	}
	for j, f := range fresh {
		s.g.add(f, j)
	}
	return s
}

// partner returns the nearest new spot of its type within reach of a moved old one.
func (s *support) partner(a Spot, by Shift, reach float64) (int, bool) {
	a.Pos = by.Apply(a.Pos)
	best, found, at := reach, false, 0
	s.g.near(a, func(j int) {
		if b := s.new[j]; b.Type == a.Type {
			if d := a.Pos.Dist(b.Pos); d <= best {
				best, found, at = d, true, j
			}
		}
	})
	return at, found
}

func (s *support) count(by Shift) score { return s.within(by, exactly) }

// within counts what a motion brings within reach of its like.
func (s *support) within(by Shift, reach float64) score {
	c := score{Shift: by}
	for _, a := range s.old {
		j, ok := s.partner(a, by, reach)
		if !ok {
			continue
		}
		c.spots++
		tally(&c.keys, a.Key, s.new[j].Key)
		tally(&c.rooms, a.Room, s.new[j].Room)
	}
	return c
}

// tally counts a pair of names that are known, and the same.
func tally(n *[2]int, a, b string) {
	if a == "" || b == "" {
		return
	}
	if n[0]++; a == b {
		n[1]++
	}
}

// refine takes the median of what the supporting devices say.
func (s *support) refine(by Shift) Shift {
	var xs, ys []float64
	for _, a := range s.old {
		if j, ok := s.partner(a, by, exactly); ok {
			d := s.new[j].Pos.Sub(by.Apply(a.Pos))
			xs, ys = append(xs, d.X), append(ys, d.Y)
		}
	}
	if len(xs) > 0 {
		by.By = by.By.Add(geom.Pt(median(xs), median(ys)))
	}
	return by
}

func median(v []float64) float64 {
	slices.Sort(v)
	return v[len(v)/2]
}

// proposals lists shifts worth trying: those of the corners of all spots, and
// those that most pairs of one type have in common.
func proposals(old, fresh []Spot) []geom.Point {
	var was, is []geom.Point
	for _, s := range old {
		was = append(was, s.Pos)
	}
	for _, s := range fresh {
		is = append(is, s.Pos)
	}
	a, b := geom.BoxOf(was...), geom.BoxOf(is...)
	out := []geom.Point{b.Min.Sub(a.Min), b.Max.Sub(a.Max)}
	return append(out, popular(typed(old, fresh), candidates)...)
}

// keyed returns the differences between spots of one key and type. A key that
// several bear, as what stands within one insert, says nothing here.
func keyed(old, fresh []Spot) []geom.Point {
	at, bearers := map[string]Spot{}, map[string]int{}
	for _, s := range fresh {
		at[s.Key] = s
		bearers[s.Key]++
	}
	var ds []geom.Point
	for _, s := range old {
		if f := at[s.Key]; s.Key != "" && bearers[s.Key] == 1 && f.Type == s.Type {
			ds = append(ds, f.Pos.Sub(s.Pos))
		}
	}
	return ds
}

// typed returns differences between spots of one type, rare types first, as
// many as the budget allows.
func typed(old, fresh []Spot) []geom.Point {
	a, b := byType(old), byType(fresh)
	var types []string
	for t := range a {
		types = append(types, t)
	}
	slices.SortFunc(types, func(s, t string) int {
		return cmp.Or(cmp.Compare(len(a[s])*len(b[s]), len(a[t])*len(b[t])), cmp.Compare(s, t))
	})
	var ds []geom.Point
	for _, t := range types {
		room := voteBudget - len(ds)
		if len(b[t]) == 0 || room < len(b[t]) {
			continue
		}
		for _, i := range sample(len(a[t]), room/len(b[t])) {
			for _, p := range b[t] {
				ds = append(ds, p.Sub(a[t][i]))
			}
		}
	}
	return ds
}

// sample picks up to k of n at random, always the same: devices stand in rows,
// and every fifth one may be special.
func sample(n, k int) []int {
	if n <= k {
		k = n
	}
	return rand.New(rand.NewPCG(1, uint64(n))).Perm(n)[:k]
}

func byType(spots []Spot) map[string][]geom.Point {
	m := map[string][]geom.Point{}
	for _, s := range spots {
		m[s.Type] = append(m[s.Type], s.Pos)
	}
	return m
}

// popular returns up to n differences that many others come close to, most popular first.
func popular(ds []geom.Point, n int) []geom.Point {
	type vote struct {
		x, y int64
		d    geom.Point
	}
	vs := make([]vote, len(ds))
	for i, d := range ds {
		vs[i] = vote{int64(math.Floor(d.X / voteCell)), int64(math.Floor(d.Y / voteCell)), d}
	}
	slices.SortFunc(vs, func(a, b vote) int {
		return cmp.Or(cmp.Compare(a.x, b.x), cmp.Compare(a.y, b.y), cmp.Compare(a.d.X, b.d.X), cmp.Compare(a.d.Y, b.d.Y))
	})
	type tally struct {
		votes int
		d     geom.Point
	}
	var ts []tally
	for i := 0; i < len(vs); {
		k := i
		for k < len(vs) && vs[k].x == vs[i].x && vs[k].y == vs[i].y {
			k++
		}
		ts = append(ts, tally{k - i, vs[i+(k-i)/2].d})
		i = k
	}
	slices.SortStableFunc(ts, func(a, b tally) int {
		return cmp.Or(cmp.Compare(b.votes, a.votes), cmp.Compare(a.d.Len(), b.d.Len()))
	})
	var out []geom.Point
	for _, t := range ts[:min(n, len(ts))] {
		out = append(out, t.d)
	}
	return out
}
