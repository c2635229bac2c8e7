// Package pair finds again, in a revised drawing, the devices of an earlier
// one: by type and place, else by what identifies them.
//
// Match first pairs the names of levels and sheets; those that are renamed are told by
// their devices. Then it finds how every sheet was moved and turned as a whole: the
// motion that explains most devices by type, key (handle) and room, taken only if it
// explains clearly more than none (shift.go, turn.go). Then come the stages: ids that a
// person gave; the same type on the same spot, always before any key; sheets of which a
// part moved on its own; by key, where the old spot is vacant and the keys of the sheet
// bear each other out; by place alone (retyped); by type farther off (moved).
//
// A key is a weak witness: a program that redraws a file deals handles anew. One counts
// if its device stands where it stood, or not far off, or went where others went, and
// nobody took its place; the keys of a sheet count if at least half of the others do.
//
// Each stage by place is an optimal assignment by shortest augmenting paths, in which
// staying alone has a price, so that every search stays local; it is held against
// brute force. The constants are ours, at the top of pair.go, shift.go and turn.go.
package pair

import (
	"cmp"
	"math"
	"slices"

	"loopwright/takeoff/geom"
)

// The distances in metres that matching works with: our own choice. A device
// drawn afresh is taken for the same within Near, and one of the same type for
// one that was moved within Reach; only an identity that both revisions share
// reaches further, up to Far.
const (
	Near  = 0.3
	Reach = 3.0
	Far   = 50.0
)

// Still is the distance in metres up to which a device has not moved: drawings
// written afresh differ in the last digits.
const Still = 0.01

// Spot is a device as far as finding it again goes. Key is what identifies it
// beyond type and place; spots of one Level and Sheet share a frame, and may
// have been shifted together.
type Spot struct {
	Key     string // "" for none; such as the handle, unique within its Sheet
	Certain bool   // Key alone decides: a person gave it
	Type    string
	Level   string
	Sheet   string     // drawing
	Room    string     // "" if unknown; tells apart ways of turning a plan
	Pos     geom.Point // metres
}

// By says how two spots were found to be one device.
type By int

// The ways of matching, surest first.
const (
	byKey   By = iota // same key, on the same spot or a plausible way off
	bySpot            // same type within Near
	byPlace           // other type within Near
	byMove            // same type within Reach
)

// Pair is one device in both revisions.
type Pair struct {
	Old, New int
	By       By
	Distance float64 // metres moved, the motion of the whole sheet taken off
}

// Result is how two revisions correspond.
type Result struct {
	Pairs   []Pair // by Old
	Removed []int  // olds without a new one
	Added   []int  // news without an old one
	Shifts  []Shift
	frame   frame
}

// Carry reads an old spot in the new revision: under the names of its level and
// sheet there, and moved with the sheet. It works for spots that were not matched, too.
func (r Result) Carry(s Spot) Spot { return r.frame.carry(s) }

// Return pairs spots on the same place with the same type, or with an id that a
// person gave, and nothing else: devices that were gone and are back.
func (r Result) Return(old, fresh []Spot) []Pair {
	m := matcher{old: r.frame.carryAll(old), fresh: fresh, oldTo: fill(len(old)), newTo: fill(len(fresh))}
	for i := range m.old {
		if !m.old[i].Certain {
			m.old[i].Key = ""
		}
	}
	m.byID()
	m.byPlace(bySpot, Near, sameType)
	return m.result().Pairs
}

// Shift is how a whole sheet was moved between the revisions: turned about the
// origin of its level's frame, and then moved.
type Shift struct {
	Level, Sheet string  // of the new revision
	Turn         float64 // degrees, counterclockwise, above -180 to 180
	By           geom.Point
	Doubtful     bool // another turn explains the devices nearly as well
}

// Apply returns where a place of the old revision lies in the new one.
func (s Shift) Apply(p geom.Point) geom.Point {
	if s.Turn != 0 {
		p = p.Turn(s.Turn)
	}
	return p.Add(s.By)
}

// Match pairs the spots of two revisions. The outcome depends on nothing but
// its input.
func Match(old, fresh []Spot) Result {
	m := matcher{frame: align(old, fresh), fresh: fresh, oldTo: fill(len(old)), newTo: fill(len(fresh))}
	m.old = m.frame.carryAll(old)
	m.shift()
	m.byID()
	m.byPlace(bySpot, Near, sameType)
	m.rest()
	m.byKey()
	m.byPlace(byPlace, Near, anyType)
	m.byPlace(byMove, Reach, sameType)
	return m.result()
}

func fill(n int) []int {
	s := make([]int, n)
	for i := range s {
		s[i] = -1
	}
	return s
}

// matcher carries one matching.
type matcher struct {
	old   []Spot // with the names of levels and sheets of the new revision, moved by the shift
	fresh []Spot
	oldTo []int // partner or -1
	newTo []int
	by    map[int]By // by old
	frame frame
}

func (m *matcher) join(i, j int, by By) {
	if m.by == nil {
		m.by = map[int]By{}
	}
	m.oldTo[i], m.newTo[j], m.by[i] = j, i, by
}

// tie is the weight in metres of a key where places are equally good.
const tie = 1e-6

type keyOf struct{ level, sheet, key string }

// byID pairs the ids that a person gave, wherever they stand.
func (m *matcher) byID() {
	at := map[string]int{}
	for j, s := range m.fresh {
		if s.Certain && s.Key != "" {
			at[s.Key] = j
		}
	}
	for i, s := range m.old {
		if j, ok := at[s.Key]; ok && s.Certain && m.newTo[j] < 0 {
			m.join(i, j, byKey)
		}
	}
}

// byKey pairs what carries one key in both revisions and was not found on its
// spot. A program that writes a drawing afresh gives out keys anew, and the same
// one may then stand on another device: a key counts only if at least half of the
// others of its sheet speak for themselves, or, for a way beyond Reach, four in
// five. The devices within one insert of a typical room, and the members of an
// array, share a key: among them type and place decide.
func (m *matcher) byKey() {
	at, held, order := map[keyOf][]int{}, map[keyOf][]int{}, []keyOf{}
	places := newGrid(Near)
	for j, s := range m.fresh {
		if m.newTo[j] < 0 {
			places.add(s, j)
		}
		if s.Key != "" && !s.Certain {
			at[s.id()] = append(at[s.id()], j)
		}
	}
	for i, s := range m.old {
		if k := s.id(); s.Key != "" && !s.Certain && at[k] != nil {
			if held[k] == nil {
				order = append(order, k)
			}
			held[k] = append(held[k], i)
		}
	}
	t := m.hear(order, held, at, places)
	for _, k := range order {
		fits := func(a, b Spot) bool { return t.trusts(k, a, b) && m.vacant(a, b, places) }
		olds, news := m.free(held[k], m.oldTo), m.free(at[k], m.newTo)
		if len(olds) > 1 || len(news) > 1 {
			m.among(olds, news, func(a, b Spot) bool { return sameType(a, b) && fits(a, b) })
			olds, news = m.free(olds, m.oldTo), m.free(news, m.newTo)
		}
		m.among(olds, news, fits)
	}
}

// vacant reports whether nobody else stands where a stood, or b does.
func (m *matcher) vacant(a, b Spot, places *grid) bool {
	if a.Pos.Dist(b.Pos) <= Near {
		return true
	}
	free := true
	places.near(a, func(j int) {
		if m.newTo[j] < 0 && m.fresh[j].Pos.Dist(a.Pos) <= Near {
			free = false
		}
	})
	return free
}

// trust is what the keys of each sheet are worth: one voice a key.
type trust struct {
	shared, good map[string]int
	voice        map[keyOf]bool
}

// hear asks each key that both revisions have.
func (m *matcher) hear(order []keyOf, held, at map[keyOf][]int, places *grid) trust {
	t := trust{map[string]int{}, map[string]int{}, map[keyOf]bool{}}
	went := map[[2]int64]int{} // how many free bearers went one way
	way := func(a, b Spot) [2]int64 {
		d := b.Pos.Sub(a.Pos)
		return [2]int64{int64(math.Round(d.X / voteCell)), int64(math.Round(d.Y / voteCell))}
	}
	bearers := func(k keyOf) (i, j int) {
		i = held[k][0]
		return i, m.likest(m.old[i], at[k])
	}
	free := func(i, j int) bool {
		a, b := m.old[i], m.fresh[j]
		return m.oldTo[i] < 0 && m.newTo[j] < 0 && a.Type == b.Type && m.vacant(a, b, places)
	}
	for _, k := range order {
		if i, j := bearers(k); free(i, j) {
			went[way(m.old[i], m.fresh[j])]++
		}
	}
	for _, k := range order {
		i, j := bearers(k)
		a, b := m.old[i], m.fresh[j]
		d := a.Pos.Dist(b.Pos)
		t.shared[k.sheet]++
		if m.oldTo[i] >= 0 && m.fresh[m.oldTo[i]].Key == a.Key || d <= Near || free(i, j) && (d <= Reach || went[way(a, b)] > 2) {
			t.good[k.sheet]++
			t.voice[k] = true
		}
	}
	return t
}

// trusts reports whether one key may stand for one device in both.
func (t trust) trusts(k keyOf, a, b Spot) bool {
	d := a.Pos.Dist(b.Pos)
	shared, good := t.shared[k.sheet], t.good[k.sheet]
	if d <= Reach {
		return 2*good >= shared
	}
	if a.Type != b.Type || d > Far {
		return false
	}
	if shared--; t.voice[k] {
		good--
	}
	return shared > 0 && 5*good >= 4*shared
}

// likest is the nearest of one type, else the nearest.
func (m *matcher) likest(s Spot, news []int) int {
	return slices.MinFunc(news, func(a, b int) int {
		x, y := m.fresh[a], m.fresh[b]
		if (x.Type == s.Type) != (y.Type == s.Type) {
			return map[bool]int{true: -1, false: 1}[x.Type == s.Type]
		}
		return cmp.Compare(s.Pos.Dist(x.Pos), s.Pos.Dist(y.Pos))
	})
}

// among pairs the bearers of one key at the least sum of distances.
func (m *matcher) among(olds, news []int, fits func(a, b Spot) bool) {
	edges := make([][]edge, len(olds))
	far := 1.0
	for r, i := range olds {
		for c, j := range news {
			if fits(m.old[i], m.fresh[j]) {
				d := m.old[i].Pos.Dist(m.fresh[j].Pos)
				edges[r] = append(edges[r], edge{c, d})
				far = max(far, d)
			}
		}
	}
	// Going alone costs more than any detour, so that as many as can be pair.
	for r, c := range assignment(edges, len(news), far*float64(len(olds)+1)) {
		if c >= 0 {
			m.join(olds[r], news[c], byKey)
		}
	}
}

// free leaves those that have no partner yet.
func (m *matcher) free(spots, to []int) []int {
	return slices.DeleteFunc(slices.Clone(spots), func(i int) bool { return to[i] >= 0 })
}

func (s Spot) id() keyOf { return keyOf{s.Level, s.Sheet, s.Key} }

func sameType(a, b Spot) bool { return a.Type == b.Type }
func anyType(a, b Spot) bool  { return true }

// byPlace pairs what is left within reach at the least sum of distances.
func (m *matcher) byPlace(by By, reach float64, fits func(a, b Spot) bool) {
	var rows []int
	for i, j := range m.oldTo {
		if j < 0 {
			rows = append(rows, i)
		}
	}
	g := newGrid(reach)
	for j, i := range m.newTo {
		if i < 0 {
			g.add(m.fresh[j], j)
		}
	}
	edges := make([][]edge, len(rows))
	for r, i := range rows {
		a := m.old[i]
		g.near(a, func(j int) {
			b := m.fresh[j]
			if d := a.Pos.Dist(b.Pos); d <= reach && fits(a, b) {
				if a.Key != b.Key {
					d += tie // of two on one spot, each keeps its key
				}
				edges[r] = append(edges[r], edge{j, d})
			}
		})
		slices.SortFunc(edges[r], func(a, b edge) int { return a.to - b.to })
	}
	for r, j := range assignment(edges, len(m.fresh), reach) {
		if j >= 0 {
			if m.old[rows[r]].Key == m.fresh[j].Key && m.old[rows[r]].Key != "" {
				m.join(rows[r], j, byKey)
				continue
			}
			m.join(rows[r], j, by)
		}
	}
}

func (m *matcher) result() Result {
	res := Result{Shifts: m.frame.shifts, frame: m.frame}
	for i, j := range m.oldTo {
		if j < 0 {
			res.Removed = append(res.Removed, i)
			continue
		}
		res.Pairs = append(res.Pairs, Pair{Old: i, New: j, By: m.by[i], Distance: m.old[i].Pos.Dist(m.fresh[j].Pos)})
	}
	for j, i := range m.newTo {
		if i < 0 {
			res.Added = append(res.Added, j)
		}
	}
	return res
}

// grid finds spots of a level near a place.
type grid struct {
	size  float64
	cells map[cell][]int
}

type cell struct {
	level string
	x, y  int64
}

func newGrid(size float64) *grid { return &grid{size: size, cells: map[cell][]int{}} }

func (g *grid) cell(s Spot) cell {
	return cell{s.Level, int64(math.Floor(s.Pos.X / g.size)), int64(math.Floor(s.Pos.Y / g.size))}
}

func (g *grid) add(s Spot, i int) {
	c := g.cell(s)
	g.cells[c] = append(g.cells[c], i)
}

// near visits every spot of the cells around a place: at least all within the grid's size.
func (g *grid) near(s Spot, visit func(int)) {
	c := g.cell(s)
	for dx := int64(-1); dx <= 1; dx++ {
		for dy := int64(-1); dy <= 1; dy++ {
			for _, i := range g.cells[cell{c.level, c.x + dx, c.y + dy}] {
				visit(i)
			}
		}
	}
}
