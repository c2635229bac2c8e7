package pair

import (
	"cmp"
	"slices"
)

// frame says how an old spot reads in the new revision: under which names of
// level and sheet, and where.
type frame struct {
	levels map[string]string
	sheets map[[2]string]string // by new level and old sheet
	shifts []Shift
	parts  []Shift // of sheets that are part of what was one
}

// align finds the names: the same one, or among those that were renamed on either
// side the one whose devices are most alike.
func align(old, fresh []Spot) frame {
	f := frame{levels: renamed(old, fresh, func(s Spot) string { return s.Level }), sheets: map[[2]string]string{}}
	moved := f.carryAll(old)
	was, is := byLevel(moved), byLevel(fresh)
	for _, level := range names(moved, func(s Spot) string { return s.Level }) {
		for a, b := range renamed(was[level], is[level], func(s Spot) string { return s.Sheet }) {
			f.sheets[[2]string{level, a}] = b
		}
	}
	return f
}

func byLevel(spots []Spot) map[string][]Spot {
	m := map[string][]Spot{}
	for _, s := range spots {
		m[s.Level] = append(m[s.Level], s)
	}
	return m
}

func (f frame) carryAll(spots []Spot) []Spot {
	out := make([]Spot, len(spots))
	for i, s := range spots {
		out[i] = f.carry(s)
	}
	return out
}

// carry reads one old spot in the new revision.
func (f frame) carry(s Spot) Spot {
	if l, ok := f.levels[s.Level]; ok {
		s.Level = l
	}
	if n, ok := f.sheets[[2]string{s.Level, s.Sheet}]; ok {
		s.Sheet = n
	}
	for _, sh := range f.shifts {
		if sh.Level == s.Level && sh.Sheet == s.Sheet {
			s.Pos = sh.Apply(s.Pos)
		}
	}
	return s
}

// names lists what name returns for the spots, each once, in order.
func names(spots []Spot, name func(Spot) string) []string {
	var out []string
	seen := map[string]bool{}
	for _, s := range spots {
		if n := name(s); !seen[n] {
			seen[n] = true
			out = append(out, n)
		}
	}
	return out
}

// searched bounds the names that are told apart by moving their devices about.
const searched = 36

// renamed maps each old name to its name now.
func renamed(old, fresh []Spot, name func(Spot) string) map[string]string {
	to := map[string]string{}
	was, is := names(old, name), names(fresh, name)
	var gone, come []string
	for _, n := range was {
		to[n] = n
		if !slices.Contains(is, n) {
			gone = append(gone, n)
		}
	}
	for _, n := range is {
		if !slices.Contains(was, n) {
			come = append(come, n)
		}
	}
	if len(gone) == 1 && len(come) == 1 {
		to[gone[0]] = come[0]
		return to
	}
	of := func(spots []Spot, n string) []Spot {
		return slices.DeleteFunc(slices.Clone(spots), func(s Spot) bool { return name(s) != n })
	}
	type match struct{ like, a, b int }
	var ms []match
	for i, a := range gone {
		for k, b := range come {
			if n, ok := likeness(of(old, a), of(fresh, b), len(gone)*len(come) <= searched); ok {
				ms = append(ms, match{n, i, k})
			}
		}
	}
	slices.SortStableFunc(ms, func(x, y match) int { return cmp.Compare(y.like, x.like) })
	taken := map[string]bool{}
	for _, m := range ms { // those that are as much alike pair in their order
		if a, b := gone[m.a], come[m.b]; to[a] == a && !taken[b] {
			to[a], taken[b] = b, true
		}
	}
	return to
}

// likeness says how much speaks for two groups being one under another name:
// devices on one spot, keys and rooms; false if it is less than for half of the smaller.
func likeness(old, fresh []Spot, search bool) (int, bool) {
	for i := range old {
		old[i].Level = fresh[0].Level
	}
	s := newSupport(old, fresh, exactly)
	c := s.count(Shift{})
	if by, moved := common(old, fresh); search && moved {
		c = s.count(by)
	}
	same := 0
	if old[0].Sheet == fresh[0].Sheet {
		same = len(old) // a level that was renamed keeps its drawing
	}
	return c.points() + same, 2*c.spots >= min(len(s.old), len(fresh)) || same > 0
}
