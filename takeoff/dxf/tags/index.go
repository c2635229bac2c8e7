package tags

import "loopwright/takeoff/parallel"

// Index lists every record of the file in order: where it starts and what it is,
// in one word each. Handles are read where they are wanted.
type Index struct {
	at     []uint64 // offset in the low 56 bits, kind above
	end    int      // offset after the last record
	Faults []Fault
}

const offsetBits = 56

func (x *Index) Len() int          { return len(x.at) }
func (x *Index) Kind(i int) Kind   { return Kind(x.at[i] >> offsetBits) }
func (x *Index) Start(i int) int   { return int(x.at[i] & (1<<offsetBits - 1)) }
func (x *Index) add(k Kind, o int) { x.at = append(x.at, uint64(k)<<offsetBits|uint64(o)) }

// Stop returns the offset after record i.
func (x *Index) Stop(i int) int {
	if i+1 < len(x.at) {
		return x.Start(i + 1)
	}
	return x.end
}

// chunkSize is how much of a file one worker indexes at a time.
const chunkSize = 8 << 20

// maxFaults bounds how many places out of step are kept; a file with more is
// beyond repair and the count no longer matters.
const maxFaults = 1000

// ReadIndex reads all tags of a drawing once.
func ReadIndex(s *Source) Index { return buildIndex(s, chunkSize) }

// buildIndex reads all tags once. Chunks are read side by side: each looks for
// the first certain record, and a chunk is accepted only if
// the chunk before it ends exactly there, so the result is that of one walk from
// the beginning.
func buildIndex(s *Source, chunkSize int) Index {
	n := (len(s.Bytes) - s.Body + chunkSize - 1) / chunkSize
	if n <= 1 {
		x := Index{}
		x.scan(s, s.Body, len(s.Bytes))
		return x
	}
	parts := make([]Index, n)
	starts := make([]int, n)
	limit := func(k int) int { return min(s.Body+(k+1)*chunkSize, len(s.Bytes)) }
	parallel.For(n, func(k int) {
		starts[k] = s.Body
		if k > 0 {
			starts[k] = syncPoint(s, s.Body+k*chunkSize, limit(k))
		}
		parts[k].end = starts[k]
		if starts[k] < limit(k) {
			parts[k].scan(s, starts[k], limit(k))
			s.Release(starts[k], limit(k))
		}
	})
	total := 0
	for k := 1; k < n; k++ {
		total += parts[k-1].Len()
		if pos := parts[k-1].end; starts[k] != pos {
			parts[k] = Index{end: pos}
			if pos < limit(k) {
				parts[k].scan(s, pos, limit(k))
			}
		}
	}
	total += parts[n-1].Len()
	x := Index{at: make([]uint64, 0, total), end: parts[n-1].end}
	for k := range parts {
		x.at = append(x.at, parts[k].at...)
		if len(x.Faults) < maxFaults {
			x.Faults = append(x.Faults, parts[k].Faults...)
		}
		parts[k] = Index{}
	}
	return x
}

// syncPoint finds where records probably start again in [pos, limit).
func syncPoint(s *Source, pos, limit int) int {
	if s.Binary {
		return findRecord(s.Bytes, pos, limit, s.CodeWidth)
	}
	at := skipEOL(s.Bytes, lineEnd(s.Bytes, pos, limit), limit)
	return findRecord(s.Bytes, at, limit, 0)
}

// scan indexes the records that start in [pos, limit); x.end is where the next
// one starts.
func (x *Index) scan(s *Source, pos, limit int) {
	x.at = make([]uint64, 0, (limit-pos)/200) // records of usual plans are as long
	if s.Binary {
		x.scanBinary(s, pos, limit)
		return
	}
	x.scanASCII(s, pos, limit)
}

// scanASCII is the hot loop of the package: it reads every line of the file
// once. It differs from readASCII only in speed.
func (x *Index) scanASCII(s *Source, pos, limit int) {
	b := s.Bytes
	end := len(b)
	var t Tag
	for pos < end {
		i := pos
		for i < end && b[i] == ' ' {
			i++
		}
		code, first := 0, i
		for i < end && b[i]-'0' <= 9 {
			code = code*10 + int(b[i]-'0')
			i++
		}
		var valStart, valEnd int
		digits := i - first
		if digits == 0 || digits > 5 || i+1 >= end || b[i] != '\n' && (b[i] != '\r' || b[i+1] != '\n') {
			if !x.slow(s, &pos, &t) {
				return
			}
			if t.End == 0 {
				if pos >= limit {
					break
				}
				continue
			}
			code, valStart, valEnd, i = t.Code, t.ValStart, t.ValEnd, t.End
		} else {
			if b[i] == '\r' {
				i++
			}
			valStart = i + 1
			valEnd = lineEnd(b, valStart, min(end, valStart+MaxValue+1))
			if valEnd-valStart > MaxValue || valStart >= end {
				if !x.slow(s, &pos, &t) {
					return
				}
				continue
			}
			i = valEnd
			if i < end {
				if b[i] == '\r' && i+1 < end && b[i+1] == '\n' {
					i++
				}
				i++
			}
		}
		if code == 0 {
			if pos >= limit {
				break
			}
			x.add(kindOf(b[valStart:valEnd]), pos)
		}
		pos = i
	}
	x.end = min(pos, end)
}

// slow reads one tag with all the exceptions. After a fault it moves *pos to
// where reading goes on and leaves t.End 0. False means that nothing is left.
func (x *Index) slow(s *Source, pos *int, t *Tag) bool {
	end := len(s.Bytes)
	fault, ok := readTag(s.Bytes, *pos, end, s.width(), t)
	if ok {
		return true
	}
	t.End = 0
	resume := end
	if fault != FaultNone {
		if fault == FaultCode {
			resume = findRecord(s.Bytes, *pos, end, s.width())
		}
		if len(x.Faults) < maxFaults {
			x.Faults = append(x.Faults, Fault{fault, *pos, resume})
		}
	}
	*pos, x.end = resume, resume
	return resume < end
}

func (x *Index) scanBinary(s *Source, pos, limit int) {
	b := s.Bytes
	end := len(b)
	var t Tag
	for pos < end {
		if _, ok := readBinary(b, pos, end, s.CodeWidth, &t); !ok {
			if !x.slow(s, &pos, &t) {
				return
			}
			if pos >= limit {
				break
			}
			continue
		}
		if t.Code == 0 {
			if pos >= limit {
				break
			}
			x.add(kindOf(b[t.ValStart:t.ValEnd]), pos)
		}
		pos = t.End
	}
	x.end = min(pos, end)
}
