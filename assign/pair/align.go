package pair

import "slices"

// frame says how an old spot reads in the new revision: under which names of
// level and sheet, and where.
type frame struct {
	levels map[string]string
	sheets map[[2]string]string // by new level and old sheet
	shifts []Shift
}

// align finds the names: the same one, or the one that is left over where a
// single level, or a single sheet of a level, was renamed on either side.
func align(old, fresh []Spot) frame {
	f := frame{levels: renamed(names(old, levelOf), names(fresh, levelOf)), sheets: map[[2]string]string{}}
	moved := f.carryAll(old)
	for _, level := range names(moved, levelOf) {
		on := func(s Spot) (string, bool) { return s.Sheet, s.Level == level }
		for was, is := range renamed(names(moved, on), names(fresh, on)) {
			f.sheets[[2]string{level, was}] = is
		}
	}
	return f
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
			s.Pos = s.Pos.Add(sh.By)
		}
	}
	return s
}

func levelOf(s Spot) (string, bool) { return s.Level, true }

// names lists what name returns for the spots, each once, in order.
func names(spots []Spot, name func(Spot) (string, bool)) []string {
	var out []string
	seen := map[string]bool{}
	for _, s := range spots {
		if n, ok := name(s); ok && !seen[n] {
			seen[n] = true
			out = append(out, n)
		}
	}
	return out
}

// renamed maps each old name to its name now.
func renamed(old, fresh []string) map[string]string {
	to := map[string]string{}
	var gone, come []string
	for _, n := range old {
		to[n] = n
		if !slices.Contains(fresh, n) {
			gone = append(gone, n)
		}
	}
	for _, n := range fresh {
		if !slices.Contains(old, n) {
			come = append(come, n)
		}
	}
	if len(gone) == 1 && len(come) == 1 {
		to[gone[0]] = come[0]
	}
	return to
}
