package tags

import "bytes"

type valueKind uint8

const (
	kindString valueKind = iota
	kindDouble
	kindByte
	kindInt16
	kindInt32
	kindInt64
	kindChunk
)

var binaryKinds = func() (k [1072]valueKind) {
	for _, r := range []struct {
		from, to int
		kind     valueKind
	}{ // DXF reference, Group code value types
		{10, 59, kindDouble}, {60, 79, kindInt16}, {90, 99, kindInt32}, {110, 149, kindDouble},
		{160, 169, kindInt64}, {170, 179, kindInt16}, {210, 239, kindDouble}, {270, 289, kindInt16},
		{290, 299, kindByte}, {310, 319, kindChunk}, {370, 389, kindInt16}, {400, 409, kindInt16},
		{420, 429, kindInt32}, {440, 459, kindInt32}, {460, 469, kindDouble}, {1004, 1004, kindChunk},
		{1010, 1059, kindDouble}, {1060, 1070, kindInt16}, {1071, 1071, kindInt32},
	} {
		for c := r.from; c <= r.to; c++ {
			k[c] = r.kind
		}
	}
	return k
}()

func binaryKind(code int) valueKind {
	if uint(code) >= uint(len(binaryKinds)) {
		return kindString
	}
	return binaryKinds[code]
}

var kindSize = [...]int{kindString: 0, kindDouble: 8, kindByte: 1, kindInt16: 2, kindInt32: 4, kindInt64: 8, kindChunk: 0}

func readBinary(b []byte, pos, end, width int, t *Tag) (FaultKind, bool) {
	i := pos
	if i+width > end {
		if len(bytes.Trim(b[pos:end], "\x00\x1a\r\n ")) == 0 {
			return FaultNone, false
		}
		return FaultTruncated, false
	}
	code := int(b[i])
	if width == 2 {
		code |= int(b[i+1]) << 8
		i += 2
	} else {
		i++
		if code == 255 {
			if i+2 > end {
				return FaultTruncated, false
			}
			code = int(b[i]) | int(b[i+1])<<8
			i += 2
		}
	}
	if code >= len(binaryKinds) {
		return FaultCode, false
	}
	t.Code, t.Start, t.ValStart = code, pos, i
	switch kind := binaryKinds[code]; kind {
	case kindString:
		n := bytes.IndexByte(b[i:min(end, i+MaxValue)], 0)
		if n < 0 {
			if end-i > MaxValue {
				return FaultLong, false
			}
			return FaultTruncated, false
		}
		t.ValEnd, t.End = i+n, i+n+1
	case kindChunk:
		if i >= end || i+1+int(b[i]) > end {
			return FaultTruncated, false
		}
		t.ValStart, t.ValEnd = i+1, i+1+int(b[i])
		t.End = t.ValEnd
	default:
		if i += kindSize[kind]; i > end {
			return FaultTruncated, false
		}
		t.ValEnd, t.End = i, i
	}
	return FaultNone, true
}
