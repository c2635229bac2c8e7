package edit

import (
	"cmp"
	"slices"

	"loopwright/takeoff/dxf/tags"
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

// tableSpan is one TABLE: where it begins, where new records go, its handle.
type tableSpan struct {
	name               string
	start, endtab, end int // endtab is -1 until ENDTAB is met
	handle             tags.Handle
	recordOwner        tags.Handle // what the first record in it says
	records            int
}

// namedRecord is a record of a table.
type namedRecord struct {
	start, end int
	handle     tags.Handle
	table      *tableSpan
}
