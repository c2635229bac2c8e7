package tags

import (
	"bytes"
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
