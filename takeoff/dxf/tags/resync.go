package tags

import "bytes"

// findRecord looks for the next place in b[pos:end] where a record surely
// starts (group code 0 and a type), or end. It is used after a fault, where it
// is not known which of two lines is the code.
func findRecord(b []byte, pos, end, width int) int {
	if width == 0 {
		return findRecordASCII(b, pos, end)
	}
	return findRecordBinary(b, pos, end, width)
}

// findRecordASCII accepts a line "0" followed by a word in capitals followed by
// a group code. A value "0" cannot be taken for it: after a value stands a code,
// and no code is a word.
func findRecordASCII(b []byte, pos, end int) int {
	for pos < end {
		stop := lineEnd(b, pos, end)
		if isZero(b[pos:stop]) {
			word := skipEOL(b, stop, end)
			wordEnd := lineEnd(b, word, end)
			if isTypeWord(bytes.TrimSpace(b[word:min(wordEnd, word+64)])) {
				code := skipEOL(b, wordEnd, end)
				if code >= end || isCode(b[code:lineEnd(b, code, min(end, code+16))]) {
					return pos
				}
			}
		}
		pos = skipEOL(b, stop, end)
	}
	return end
}

func isZero(line []byte) bool {
	if len(line) > 16 {
		return false
	}
	line = bytes.TrimSpace(line)
	return len(line) == 1 && line[0] == '0'
}

func isCode(line []byte) bool {
	line = bytes.TrimSpace(line)
	if len(line) == 0 || len(line) > 5 {
		return false
	}
	for i, c := range line {
		if c-'0' > 9 && (i > 0 || c != '-') {
			return false
		}
	}
	return true
}

// isTypeWord reports whether a value can be the type of a record.
func isTypeWord(w []byte) bool {
	if len(w) < 2 || len(w) > 48 {
		return false
	}
	for i, c := range w {
		letter := c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z'
		if !letter && (i == 0 || c-'0' > 9 && c != '_') {
			return false
		}
	}
	return true
}

// findRecordBinary accepts a group code 0 with a type in capitals whose next
// tags can be read one after the other.
func findRecordBinary(b []byte, pos, end, width int) int {
	for pos < end {
		n := bytes.IndexByte(b[pos:end], 0)
		if n < 0 {
			return end
		}
		pos += n
		if plausibleBinary(b, pos, end, width) {
			return pos
		}
		pos++
	}
	return end
}

func plausibleBinary(b []byte, pos, end, width int) bool {
	if width == 2 && (pos+1 >= end || b[pos+1] != 0) {
		return false
	}
	word := pos + width
	n := bytes.IndexByte(b[word:min(end, word+49)], 0)
	if n < 2 || !isTypeWord(b[word:word+n]) || b[word] < 'A' || b[word] > 'Z' {
		return false
	}
	var t Tag
	at := word + n + 1
	for range 4 {
		if at >= end {
			return true
		}
		if _, ok := readBinary(b, at, end, width, &t); !ok {
			return false
		}
		if t.Code == 0 {
			return isTypeWord(b[t.ValStart:t.ValEnd])
		}
		at = t.End
	}
	return true
}
