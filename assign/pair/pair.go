// Package pair finds again, in a revised drawing, the devices of an earlier
// one: by what identifies them, else by type and place.
//
// Match first pairs the names of levels and sheets; one that is renamed on either
// side is the same one. Then it finds the common shift of every sheet: from the keys
// (handles) if most of them agree on one, else by votes of the differences between
// devices of one type, taken only if it explains clearly more than no shift. Then
// come four stages: by key, by type and place, by place alone (retyped), by type
// farther off (moved). Keys count only where at least half of those that a sheet
// shares stand where they stood, or nearly: a program that redraws a file deals
// handles anew.
//
// Each stage by place is an optimal assignment by shortest augmenting paths, in which
// staying alone has a price, so that every search stays local; it is held against
// brute force. The constants are ours, at the top of pair.go and shift.go.
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
	Pos     geom.Point // metres
}

// By says how two spots were found to be one device.
type By int

// The ways of matching, surest first.
const (
	ByKey   By = iota // same key, plausible type and place
	BySpot            // same type within Near
	ByPlace           // other type within Near
	ByMove            // same type within Reach
)

// Pair is one device in both revisions.
type Pair struct {
	Old, New int
	By       By
	Distance float64 // metres moved, the shift of the whole sheet taken off
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
	m.byKey()
	m.byPlace(BySpot, Near, sameType)
	return m.result().Pairs
}

// Shift is how far a whole sheet was moved between the revisions.
type Shift struct {
	Level, Sheet string // of the new revision
	By           geom.Point
}

// Match pairs the spots of two revisions. The outcome depends on nothing but
// its input.
func Match(old, fresh []Spot) Result {
	m := matcher{frame: align(old, fresh), fresh: fresh, oldTo: fill(len(old)), newTo: fill(len(fresh))}
	m.old = m.frame.carryAll(old)
	m.shift()
	m.byKey()
	m.byPlace(BySpot, Near, sameType)
	m.byPlace(ByPlace, Near, anyType)
	m.byPlace(ByMove, Reach, sameType)
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

type keyOf struct{ level, sheet, key string }

// byKey pairs what carries one key in both revisions. A program that writes a
// drawing afresh gives out keys anew, and the same one may then stand on
// another device: the keys of a sheet count only if at least half of those that
// both revisions have speak for themselves. The devices within one insert of a
// typical room, and the members of an array, share a key: among them type and
// place decide.
func (m *matcher) byKey() {
	at := map[keyOf][]int{}
	places := newGrid(Near)
	for j, s := range m.fresh {
		places.add(s, j)
		if s.Key != "" {
			at[s.id()] = append(at[s.id()], j)
		}
	}
	trusted := m.trusted(at, places)
	held, order := map[keyOf][]int{}, []keyOf{}
	for i, s := range m.old {
		if s.Key == "" || at[s.id()] == nil {
			continue
		}
		if held[s.id()] == nil {
			order = append(order, s.id())
		}
		held[s.id()] = append(held[s.id()], i)
	}
	for _, k := range order {
		olds, news := held[k], at[k]
		fits := func(a, b Spot) bool { return a.Certain && b.Certain || trusted[a.Sheet] && plausible(a, b) }
		if len(olds) > 1 || len(news) > 1 {
			m.among(olds, news, func(a, b Spot) bool { return sameType(a, b) && fits(a, b) })
			olds, news = m.free(olds, m.oldTo), m.free(news, m.newTo)
		}
		m.among(olds, news, fits)
	}
}

// trusted says on which sheets the keys held; each key has one voice.
func (m *matcher) trusted(at map[keyOf][]int, places *grid) map[string]bool {
	shared, good, heard := map[string]int{}, map[string]int{}, map[keyOf]bool{}
	for _, s := range m.old {
		if news := at[s.id()]; len(news) > 0 && s.Key != "" && !heard[s.id()] {
			heard[s.id()] = true
			shared[s.Sheet]++
			if m.speaks(s, m.fresh[m.likest(s, news)], places) {
				good[s.Sheet]++
			}
		}
	}
	held := map[string]bool{}
	for sheet, n := range shared {
		held[sheet] = 2*good[sheet] >= n
	}
	return held
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
			m.join(olds[r], news[c], ByKey)
		}
	}
}

// free leaves those that have no partner yet.
func (m *matcher) free(spots, to []int) []int {
	return slices.DeleteFunc(slices.Clone(spots), func(i int) bool { return to[i] >= 0 })
}

// speaks reports whether a shared key is evidence that keys have held: its
// device stands where it stood, or not far off and nobody took its place.
func (m *matcher) speaks(a, b Spot, places *grid) bool {
	d := a.Pos.Dist(b.Pos)
	if d <= Near || d > Reach || a.Type != b.Type {
		return d <= Near
	}
	vacant := true
	places.near(a, func(j int) {
		if f := m.fresh[j]; f.Type == a.Type && f.Pos.Dist(a.Pos) <= Near {
			vacant = false
		}
	})
	return vacant
}

func (s Spot) id() keyOf {
	if s.Certain {
		return keyOf{key: s.Key} // a person's ids hold wherever they stand
	}
	return keyOf{s.Level, s.Sheet, s.Key}
}

// plausible reports whether one key may stand for one device in both.
func plausible(a, b Spot) bool {
	d := a.Pos.Dist(b.Pos)
	return a.Type == b.Type && d <= Far || d <= Reach
}

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
				edges[r] = append(edges[r], edge{j, d})
			}
		})
		slices.SortFunc(edges[r], func(a, b edge) int { return a.to - b.to })
	}
	for r, j := range assignment(edges, len(m.fresh), reach) {
		if j >= 0 {
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
