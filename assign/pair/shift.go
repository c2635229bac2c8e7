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

// shift finds for each sheet how far it was moved as a whole, and moves the old
// spots along.
func (m *matcher) shift() {
	type sheet struct{ level, name string }
	old, fresh := map[sheet][]int{}, map[sheet][]Spot{}
	var order []sheet
	for _, s := range m.fresh {
		k := sheet{s.Level, s.Sheet}
		if fresh[k] == nil {
			order = append(order, k)
		}
		fresh[k] = append(fresh[k], s)
	}
	for i, s := range m.old {
		k := sheet{s.Level, s.Sheet}
		old[k] = append(old[k], i)
	}
	for _, k := range order {
		var was []Spot
		for _, i := range old[k] {
			was = append(was, m.old[i])
		}
		by := common(was, fresh[k])
		if by == (geom.Point{}) {
			continue
		}
		m.frame.shifts = append(m.frame.shifts, Shift{k.level, k.name, by})
		for _, i := range old[k] {
			m.old[i].Pos = m.old[i].Pos.Add(by)
		}
	}
}

// common returns the shift that brings most old spots onto a new one of their
// type; none unless it brings clearly more than leaving them where they are.
func common(old, fresh []Spot) geom.Point {
	if len(old) < fewest || len(fresh) < fewest {
		return geom.Point{}
	}
	s := newSupport(old, fresh)
	zero := s.count(geom.Point{})
	// Keys that agree decide, unless they were dealt anew along a row.
	if by, ok := agreed(keyed(old, fresh)); ok && (by == geom.Point{} || s.count(by) > zero) {
		return by
	}
	best, most := geom.Point{}, zero
	for _, by := range proposals(old, fresh) {
		if n := s.count(by); n > most || n == most && n > zero && by.Len() < best.Len() {
			best, most = by, n
		}
	}
	least := max(fewest, int(math.Ceil(0.3*float64(min(len(s.old), len(fresh))))))
	// A regular grid of devices fits itself one row further on nearly as well.
	if most < least || most < zero+fewest || float64(most) < 1.5*float64(zero) {
		return geom.Point{}
	}
	if by := s.refine(best); by.Len() > exactly/10 {
		return by
	}
	return geom.Point{} // noise of rounding is no shift
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

// support counts how many devices a shift explains.
type support struct {
	old []Spot
	new []Spot
	g   *grid
}

func newSupport(old, fresh []Spot) *support {
	s := &support{new: fresh, g: newGrid(exactly)}
	for _, i := range sample(len(old), scored) {
		s.old = append(s.old, old[i])
	}
	for j, f := range fresh {
		s.g.add(f, j)
	}
	return s
}

// partner returns the nearest new spot of its type within reach of a shifted old one.
func (s *support) partner(a Spot, by geom.Point) (geom.Point, bool) {
	a.Pos = a.Pos.Add(by)
	best, found, at := exactly, false, geom.Point{}
	s.g.near(a, func(j int) {
		if b := s.new[j]; b.Type == a.Type {
			if d := a.Pos.Dist(b.Pos); d <= best {
				best, found, at = d, true, b.Pos
			}
		}
	})
	return at, found
}

func (s *support) count(by geom.Point) int {
	n := 0
	for _, a := range s.old {
		if _, ok := s.partner(a, by); ok {
			n++
		}
	}
	return n
}

// refine takes the median of what the supporting devices say.
func (s *support) refine(by geom.Point) geom.Point {
	var xs, ys []float64
	for _, a := range s.old {
		if b, ok := s.partner(a, by); ok {
			xs, ys = append(xs, b.X-a.Pos.X), append(ys, b.Y-a.Pos.Y)
		}
	}
	return geom.Pt(median(xs), median(ys))
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
