package rooms

import (
	"cmp"
	"maps"
	"slices"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/words"
)

// standing is where a group stands: the space it is in, -1 where that is open to the outside or unknown.
type standing []int

// merit is how much speaks for a style being that of the labels of rooms.
type merit struct {
	style
	groups     int
	alone      int     // spaces that hold one label of this style
	speaks     float64 // how clearly they name rooms, 0 to 1
	strong     bool    // layer or block is named for rooms
	numberOnly bool
}

func (m merit) score() float64 {
	return m.speaks * (float64(m.alone) + 0.3*float64(m.groups-m.alone))
}

// enough reports whether a style names rooms at all. What the words do not tell, the places
// do: one label in most spaces.
func (m merit) enough() bool {
	placed := m.alone >= 3 && 2*m.alone >= m.groups
	if m.numberOnly {
		return m.strong || placed && m.speaks >= 0.5
	}
	return m.speaks >= 0.3 || placed
}

// weigh weighs the styles of what may be labels, the best first. marked reports whether a group stands at a device's symbol.
func weigh(gs []group, in standing, marked func(group) bool) []merit {
	byStyle := map[style][]int{}
	for i, g := range gs {
		if !g.legend || in[i] >= 0 {
			byStyle[g.style] = append(byStyle[g.style], i)
		}
	}
	var out []merit
	for _, s := range slices.SortedFunc(maps.Keys(byStyle), compareStyles) {
		placed := slices.DeleteFunc(slices.Clone(byStyle[s]), func(i int) bool { return in[i] < 0 })
		if len(placed) >= 3 { // what is lettered beside the plan in this style says nothing
			byStyle[s] = placed
		}
		m := merit{style: s, groups: len(byStyle[s])}
		held, texts := map[int]map[string]bool{}, map[string]bool{}
		known, names, both, beside, strong := 0, 0, 0, 0, 0
		for _, i := range byStyle[s] {
			g := gs[i]
			texts[g.Number] = true
			if g.known {
				known++
			}
			if g.strong {
				strong++
			}
			if g.Name != "" {
				names++
				if g.Number != "" {
					both++
				}
			}
			if marked(g) {
				beside++
			}
			if k := in[i]; k >= 0 {
				if held[k] == nil {
					held[k] = map[string]bool{}
				}
				held[k][g.Text()] = true
			}
		}
		for _, h := range held {
			if len(h) == 1 {
				m.alone++
			}
		}
		n := float64(m.groups)
		m.numberOnly = 10*names <= m.groups
		m.speaks = max(float64(known)/n, 0.8*float64(both)/n, 0.25)
		if distinct := float64(len(texts)) / n; m.numberOnly && distinct > 0.9 && float64(beside) < 0.5*n {
			m.speaks = 0.5
		}
		if m.strong = 2*strong > m.groups; m.strong {
			m.speaks = max(m.speaks, 0.9)
		}
		out = append(out, m)
	}
	slices.SortStableFunc(out, func(a, b merit) int { return cmp.Compare(b.score(), a.score()) })
	return out
}

func compareStyles(a, b style) int {
	number := func(s style) int {
		if s.number {
			return 0
		}
		return 1
	}
	return cmp.Or(cmp.Compare(a.layer, b.layer), cmp.Compare(a.block, b.block), cmp.Compare(a.height, b.height), cmp.Compare(number(a), number(b)))
}

// choose picks the labels: those of the style that speaks most clearly and stands in most spaces, and
// of other styles what names a room in a space that has none of it. Furniture and what else is
// lettered in that style in a room that has its number or name is left out.
func choose(gs []group, in standing, marked func(group) bool, languages []string) []group {
	styles := weigh(gs, in, marked)
	if len(styles) == 0 || !styles[0].enough() {
		return nil
	}
	main := map[style]bool{}
	for k, m := range styles {
		// Names of some rooms may be written larger, or as tags: what is named for rooms as clearly as the best belongs to it.
		if k == 0 || m.strong && styles[0].strong && m.enough() {
			main[m.style] = true
		}
	}
	anyStrong := slices.ContainsFunc(styles, func(m merit) bool { return m.strong && main[m.style] })
	has, clear := map[int]bool{}, map[int]bool{}
	for i, g := range gs {
		if k := in[i]; k >= 0 && main[g.style] {
			has[k] = true
			clear[k] = clear[k] || g.Number != "" || g.known
		}
	}
	var out []group
	for i, g := range gs {
		k := in[i]
		switch {
		case g.legend && k < 0:
			continue
		case main[g.style]:
			if k >= 0 && clear[k] && g.Number == "" && !g.known {
				continue
			}
			if g.Number == "" && words.NamesFurniture(g.Name, languages) && !g.strong {
				continue
			}
		case g.Name == "", k >= 0 && has[k], k < 0 && anyStrong:
			continue
		case !g.known && (g.Number == "" || !words.IsLongNumber(g.Number)):
			continue
		case marked(g) && !g.known:
			continue
		}
		out = append(out, g)
	}
	return out
}

// besideSymbol reports for groups whether they stand at one of the symbols, closer than two heights of their lettering.
func besideSymbol(sheets []Sheet) func(group) bool {
	return func(g group) bool {
		b := geom.BoxOf(g.box.Min.Turn(g.turn), g.box.Max.Turn(g.turn)).Grow(2 * g.height)
		for _, s := range sheets[g.Sheet].Symbols {
			if s.Overlaps(b) {
				return true
			}
		}
		return false
	}
}
