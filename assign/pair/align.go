package pair

import "slices"

// align gives the old spots the names of levels and sheets in the new revision:
// the same name, or the one that is left over where a single one was renamed on
// either side.
func align(old, fresh []Spot) []Spot {
	out := slices.Clone(old)
	levels := renamed(names(old, levelOf), names(fresh, levelOf))
	for i := range out {
		out[i].Level = levels[out[i].Level]
	}
	for _, level := range names(out, levelOf) {
		on := func(s Spot) (string, bool) { return s.Sheet, s.Level == level }
		sheets := renamed(names(out, on), names(fresh, on))
		for i := range out {
			if out[i].Level == level {
				out[i].Sheet = sheets[out[i].Sheet]
			}
		}
	}
	return out
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
