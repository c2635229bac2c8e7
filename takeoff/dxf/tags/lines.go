package tags

import (
	"bytes"
	"encoding/binary"
	"math/bits"
	"sync"
)

// lineIndex counts line ends up to each block of the file, once, so that a
// thousand findings in a long file do not count them a thousand times.
type lineIndex struct {
	once sync.Once
	upTo []int
}

const lineBlock = 1 << 20

// line returns the 1-based line of an offset.
func (x *lineIndex) line(b []byte, offset int) int {
	x.once.Do(func() {
		n := 0
		for at := 0; at <= len(b); at += lineBlock {
			x.upTo = append(x.upTo, n)
			n += lineEnds(b, at, min(at+lineBlock, len(b)))
		}
	})
	block := offset / lineBlock
	return 1 + x.upTo[block] + lineEnds(b, block*lineBlock, offset)
}

// lineEnds counts the line ends that begin in b[from:to]: LF, and CR that no LF
// follows.
func lineEnds(b []byte, from, to int) int {
	part := b[from:to]
	n := bytes.Count(part, []byte("\n"))
	if cr := bytes.Count(part, []byte("\r")); cr > 0 {
		n += cr - bytes.Count(part, []byte("\r\n"))
		if len(part) > 0 && part[len(part)-1] == '\r' && to < len(b) && b[to] == '\n' {
			n--
		}
	}
	return n
}

// lineEnd returns the offset of the first LF or CR in b[i:end], or end. It looks
// at eight bytes at a time: subtracting 0x0e from each byte sets the top bit of
// the lowest byte that is below it, exactly.
func lineEnd(b []byte, i, end int) int {
	const low, high = 0x0101010101010101, 0x8080808080808080
	for i+8 <= end {
		x := binary.LittleEndian.Uint64(b[i:])
		m := (x - 0x0e*low) &^ x & high
		if m == 0 {
			i += 8
			continue
		}
		i += bits.TrailingZeros64(m) >> 3
		if b[i] == '\n' || b[i] == '\r' {
			return i
		}
		i++
	}
	for ; i < end; i++ {
		if b[i] == '\n' || b[i] == '\r' {
			return i
		}
	}
	return end
}

// skipEOL returns the offset after the line end at b[i], if there is one.
func skipEOL(b []byte, i, end int) int {
	if i < end && b[i] == '\r' {
		i++
		if i < end && b[i] == '\n' {
			i++
		}
		return i
	}
	if i < end {
		i++
	}
	return i
}
