package dxf

import (
	"loopwright/takeoff/dxf/tags"
	"loopwright/takeoff/parallel"
)

// duplicateHandles finds records that share a handle. It reads the beginning of
// every record, on all processors.
func (d *Drawing) duplicateHandles() []Finding {
	stop := min(d.eof, d.idx.Len())
	seen := handleSet{low: make([]uint64, min(len(d.Bytes)/64, 1<<21)+1), high: map[tags.Handle]bool{}}
	var out []Finding
	n := 0
	parts := (stop + unitRecords - 1) / unitRecords
	const batch = 16 // units read side by side before they are compared in order
	handles := make([][]tags.Handle, batch)
	for first := 0; first < parts; first += batch {
		parallel.For(min(batch, parts-first), func(k int) {
			from := (first + k) * unitRecords
			list := handles[k][:0]
			for i := from; i < min(from+unitRecords, stop); i++ {
				list = append(list, d.handleOf(i))
			}
			handles[k] = list
			d.Release(d.idx.Start(from), d.idx.Stop(from+len(list)-1))
		})
		for k := range min(batch, parts-first) {
			for j, h := range handles[k] {
				if h == 0 || !seen.add(h) {
					continue
				}
				if n++; n <= maxListed {
					i := (first+k)*unitRecords + j
					out = append(out, newFinding(d.Source, codeDupHandle, d.idx.Start(i), h, "handle %s is already used by an earlier record", h))
				}
			}
		}
	}
	if n > maxListed {
		out = append(out, newFinding(d.Source, codeDupHandle, -1, 0, "%d more records reuse a handle", n-maxListed))
	}
	return out
}

// handleSet is a set of handles: bits for small ones, which are nearly all.
type handleSet struct {
	low  []uint64
	high map[tags.Handle]bool
}

// add reports whether the handle was there before.
func (s *handleSet) add(h tags.Handle) bool {
	if w := uint64(h) / 64; w < uint64(len(s.low)) {
		bit := uint64(1) << (h % 64)
		was := s.low[w]&bit != 0
		s.low[w] |= bit
		return was
	}
	was := s.high[h]
	s.high[h] = true
	return was
}
