package edit

import (
	"cmp"
	"slices"
)

// splice replaces the bytes [start, end) by text; start == end inserts.
type splice struct {
	start, end int
	text       []byte
}

// applySplices copies b once with all splices made. Splices at one offset keep
// their order; one that lies inside an earlier, wider one is dropped.
func applySplices(b []byte, splices []splice) []byte {
	slices.SortStableFunc(splices, func(x, y splice) int {
		return cmp.Or(cmp.Compare(x.start, y.start), cmp.Compare(y.end, x.end))
	})
	size := len(b)
	for _, s := range splices {
		size += len(s.text)
	}
	out := make([]byte, 0, size)
	at := 0
	for _, s := range splices {
		if s.start < at {
			continue
		}
		out = append(append(out, b[at:s.start]...), s.text...)
		at = s.end
	}
	return append(out, b[at:]...)
}
