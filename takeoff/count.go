package takeoff

import (
	"cmp"
	"slices"
)

// Count is how many devices of a type count on a level.
type Count struct {
	Type  string `json:"type"`
	Level string `json:"level"`
	Count int    `json:"count"`
}

// Counts tallies the devices that count, types in the order given and levels
// from the lowest up. A type without devices on a level has no row.
func Counts(devices []Device, types []DeviceType, levels []Level) []Count {
	n := map[[2]string]int{}
	for _, d := range devices {
		if d.Status == Counted {
			n[[2]string{d.Type, d.Level}]++
		}
	}
	typeAt, levelAt := map[string]int{}, map[string]int{}
	for i, t := range types {
		typeAt[t.Type] = i
	}
	for i, l := range levels {
		levelAt[l.Name] = i
	}
	counts := make([]Count, 0, len(n))
	for k, c := range n {
		counts = append(counts, Count{k[0], k[1], c})
	}
	slices.SortFunc(counts, func(a, b Count) int {
		return cmp.Or(
			cmp.Compare(typeAt[a.Type], typeAt[b.Type]),
			cmp.Compare(levelAt[a.Level], levelAt[b.Level]),
			cmp.Compare(a.Type, b.Type), cmp.Compare(a.Level, b.Level))
	})
	return counts
}
