package tags

import "bytes"

// Scanner walks over tags. Where code and value are out of step it notes a fault
// and resumes at the next certain record.
type Scanner struct {
	Faults []Fault
	b      []byte
	pos    int
	end    int
	width  int // 0 = ASCII, else bytes per binary group code
}

// Next returns the next tag, false at the end of the span.
func (sc *Scanner) Next() (Tag, bool) {
	var t Tag
	for sc.pos < sc.end {
		kind, ok := readTag(sc.b, sc.pos, sc.end, sc.width, &t)
		if ok {
			sc.pos = t.End
			return t, true
		}
		if kind == FaultNone { // nothing but blanks up to the end
			sc.pos = sc.end
			break
		}
		resume := sc.end
		if kind != FaultTruncated {
			resume = findRecord(sc.b, sc.pos, sc.end, sc.width)
		}
		sc.Faults = append(sc.Faults, Fault{kind, sc.pos, resume})
		sc.pos = resume
	}
	return Tag{}, false
}

// readTag reads the tag at pos. Not ok with FaultNone means that only blanks
// are left.
func readTag(b []byte, pos, end, width int, t *Tag) (FaultKind, bool) {
	if width == 0 {
		return readASCII(b, pos, end, t)
	}
	return readBinary(b, pos, end, width, t)
}

func readASCII(b []byte, pos, end int, t *Tag) (FaultKind, bool) {
	i := pos
	for i < end && b[i] == ' ' {
		i++
	}
	start := i
	code := 0
	for i < end && b[i]-'0' <= 9 && i-start < 5 {
		code = code*10 + int(b[i]-'0')
		i++
	}
	// the fast way out: digits and a line end
	if i == start || i >= end || b[i] != '\n' {
		if i > start && i+1 < end && b[i] == '\r' && b[i+1] == '\n' {
			i++
		} else {
			var kind FaultKind
			if code, i, kind = readOddCode(b, pos, end); kind != FaultNone || i < 0 {
				return kind, false
			}
		}
	}
	i++
	t.Code, t.Start, t.ValStart = code, pos, i
	if i >= end {
		return FaultTruncated, false
	}
	i = lineEnd(b, i, min(end, i+MaxValue+1))
	if i-t.ValStart > MaxValue {
		return FaultLong, false
	}
	t.ValEnd = i
	if i < end {
		if b[i] == '\r' && i+1 < end && b[i+1] == '\n' {
			i++
		}
		i++
	}
	t.End = i
	return FaultNone, true
}

// readOddCode reads a group code line that is not plain digits and a line end:
// tabs, a sign, trailing blanks, a lone carriage return. It returns the offset
// of the last byte of the line end, or -1 when only blanks are left.
func readOddCode(b []byte, pos, end int) (code, last int, kind FaultKind) {
	stop := lineEnd(b, pos, end)
	line := b[pos:stop]
	if len(line) > 64 { // no group code is that long, and trimming it would cost time
		return 0, 0, FaultCode
	}
	word := bytes.TrimSpace(line)
	if len(word) == 0 {
		if len(bytes.Trim(b[pos:min(end, pos+1<<16)], " \t\r\n\x00\x1a")) == 0 && end-pos <= 1<<16 {
			return 0, -1, FaultNone
		}
		return 0, 0, FaultCode
	}
	if len(word) == 1 && (word[0] == 0x1a || word[0] == 0) && len(bytes.Trim(b[pos:min(end, pos+1<<16)], " \t\r\n\x00\x1a")) == 0 {
		return 0, -1, FaultNone
	}
	sign := 1
	if word[0] == '-' {
		sign, word = -1, word[1:]
	}
	if len(word) == 0 || len(word) > 5 {
		return 0, 0, FaultCode
	}
	for _, c := range word {
		if c-'0' > 9 {
			return 0, 0, FaultCode
		}
		code = code*10 + int(c-'0')
	}
	if stop >= end {
		return 0, 0, FaultTruncated
	}
	if b[stop] == '\r' && stop+1 < end && b[stop+1] == '\n' {
		stop++
	}
	return sign * code, stop, FaultNone
}
