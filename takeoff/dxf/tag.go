package dxf

import (
	"bytes"
	"encoding/binary"
	"math"
	"strconv"
	"unsafe"
)

// Tag is one group code with its value, as offsets into the bytes of the
// source. Nothing is decoded until it is asked for.
type Tag struct {
	Code int
	// Start is where the group code begins (in ASCII: the first byte of its line,
	// padding included), ValStart and ValEnd enclose the value without its line
	// end, terminating NUL or length byte, End is the first byte after the tag.
	Start, ValStart, ValEnd, End int
}

// Source is the text of one drawing and what is needed to decode it.
type Source struct {
	Name      string // as given to Open or Parse, for messages
	Bytes     []byte // the whole file, never written to
	Binary    bool   // binary DXF
	CodeWidth int    // binary only: bytes of a group code, 1 (R12) or 2
	Body      int    // offset of the first tag, after byte-order mark or sentinel
	EOL       string // ASCII only: how line 1 ends: "\n", "\r\n" or "\r"
	CodePad   int    // ASCII only: width to which line 1 pads its group code, 1 = not padded
	Version   string // $ACADVER such as AC1032, "" if the drawing does not say
	CodePage  string // $DWGCODEPAGE as stored, "" if the drawing does not say
	text      textDecoder
	lines     *lineIndex
	drop      func(from, to int) // gives back memory of a mapped file, nil if not mapped
}

// Raw returns the bytes of a value as they stand in the file. They belong to
// the source: do not change them, and do not keep them after Close.
func (s *Source) Raw(t Tag) []byte { return s.Bytes[t.ValStart:t.ValEnd] }

// Text decodes a string value: code page or UTF-8, then \U+XXXX and \M+nXXXX.
// Spaces are kept. Numbers of a binary drawing are written out. Caret codes
// (^I, ^J) and %% codes belong to texts alone: see DecodeCaret, PlainText and
// PlainMText.
func (s *Source) Text(t Tag) string {
	if s.Binary {
		switch binaryKind(t.Code) {
		case kindString:
		case kindDouble:
			f, _ := s.Float(t)
			return strconv.FormatFloat(f, 'g', -1, 64)
		case kindChunk:
			return hexUpper(s.Raw(t))
		default:
			n, _ := s.Int(t)
			return strconv.FormatInt(n, 10)
		}
	}
	return s.text.decode(s.Raw(t))
}

// Float reads a number; false means that the value is not a finite number.
func (s *Source) Float(t Tag) (float64, bool) {
	raw := s.Bytes[t.ValStart:t.ValEnd]
	if s.Binary {
		switch binaryKind(t.Code) {
		case kindDouble:
			if len(raw) != 8 {
				return 0, false
			}
			f := math.Float64frombits(binary.LittleEndian.Uint64(raw))
			return f, !math.IsNaN(f) && !math.IsInf(f, 0)
		case kindString:
		default:
			n, ok := s.Int(t)
			return float64(n), ok
		}
	}
	return parseFloat(raw)
}

// Int reads a whole number; a value such as "1.0" counts as 1, as other readers
// take it. False means that the value is no number.
func (s *Source) Int(t Tag) (int64, bool) {
	raw := s.Bytes[t.ValStart:t.ValEnd]
	if s.Binary {
		switch binaryKind(t.Code) {
		case kindByte:
			if len(raw) == 1 {
				return int64(raw[0]), true
			}
			return 0, false
		case kindInt16:
			if len(raw) == 2 {
				return int64(int16(binary.LittleEndian.Uint16(raw))), true
			}
			return 0, false
		case kindInt32:
			if len(raw) == 4 {
				return int64(int32(binary.LittleEndian.Uint32(raw))), true
			}
			return 0, false
		case kindInt64:
			if len(raw) == 8 {
				return int64(binary.LittleEndian.Uint64(raw)), true
			}
			return 0, false
		case kindDouble:
			f, ok := s.Float(t)
			return int64(f), ok && math.Abs(f) < 1<<53
		case kindChunk:
			return 0, false
		}
	}
	return parseInt(raw)
}

// Handle reads a handle (hexadecimal); false means that the value is none.
func (s *Source) Handle(t Tag) (uint64, bool) {
	if s.Binary && binaryKind(t.Code) != kindString {
		return 0, false
	}
	return handleValue(s.Bytes[t.ValStart:t.ValEnd])
}

// Handle is a handle of a record; 0 means that it has none.
type Handle uint64

// String writes a handle as DXF does: upper-case hexadecimal, no leading zeros,
// and nothing at all for "no handle".
func (h Handle) String() string {
	if h == 0 {
		return ""
	}
	var buf [16]byte
	i := len(buf)
	for ; h > 0; h >>= 4 {
		i--
		buf[i] = "0123456789ABCDEF"[h&15]
	}
	return string(buf[i:])
}

// ParseHandle reads a handle as people and files write it.
func ParseHandle(s string) (Handle, bool) {
	h, ok := handleValue([]byte(s))
	return Handle(h), ok
}

func handleValue(raw []byte) (uint64, bool) {
	raw = bytes.TrimSpace(raw)
	if len(raw) == 0 || len(raw) > 16 {
		return 0, false
	}
	var h uint64
	for _, c := range raw {
		switch {
		case c >= '0' && c <= '9':
			c -= '0'
		case c >= 'A' && c <= 'F':
			c -= 'A' - 10
		case c >= 'a' && c <= 'f':
			c -= 'a' - 10
		default:
			return 0, false
		}
		h = h<<4 | uint64(c)
	}
	return h, true
}

func parseInt(raw []byte) (int64, bool) {
	i := 0
	for i < len(raw) && (raw[i] == ' ' || raw[i] == '\t') {
		i++
	}
	neg := false
	if i < len(raw) && (raw[i] == '-' || raw[i] == '+') {
		neg = raw[i] == '-'
		i++
	}
	start, n := i, int64(0)
	for i < len(raw) && raw[i]-'0' <= 9 {
		if i-start > 17 {
			return 0, false
		}
		n = n*10 + int64(raw[i]-'0')
		i++
	}
	digits := i > start
	for i < len(raw) && (raw[i] == ' ' || raw[i] == '\t') {
		i++
	}
	if !digits || i < len(raw) {
		f, ok := parseFloat(raw)
		if !ok || math.Abs(f) >= 1<<53 {
			return 0, false
		}
		return int64(f), true
	}
	if neg {
		n = -n
	}
	return n, true
}

var pow10 = [...]float64{1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10,
	1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// parseFloat reads what drawings write almost always (up to 15 or 16 digits, no
// exponent) by exact integer arithmetic and one division, which rounds like the
// general routine: both operands are exact up to 2^53 and 10^22.
func parseFloat(raw []byte) (float64, bool) {
	i := 0
	for i < len(raw) && (raw[i] == ' ' || raw[i] == '\t') {
		i++
	}
	start := i
	neg := false
	if i < len(raw) && (raw[i] == '-' || raw[i] == '+') {
		neg = raw[i] == '-'
		i++
	}
	mant, digits, frac := uint64(0), 0, 0
	for i < len(raw) && raw[i]-'0' <= 9 {
		mant = mant*10 + uint64(raw[i]-'0')
		digits++
		i++
	}
	if i < len(raw) && raw[i] == '.' {
		i++
		for i < len(raw) && raw[i]-'0' <= 9 {
			mant = mant*10 + uint64(raw[i]-'0')
			digits++
			frac++
			i++
		}
	}
	for i < len(raw) && (raw[i] == ' ' || raw[i] == '\t') {
		i++
	}
	if i == len(raw) && digits > 0 && digits <= 18 && mant <= 1<<53 {
		f := float64(mant) / pow10[frac]
		if neg {
			f = -f
		}
		return f, true
	}
	return parseFloatSlow(bytes.TrimSpace(raw[start:]))
}

func parseFloatSlow(raw []byte) (float64, bool) {
	if len(raw) == 0 || len(raw) > 400 {
		return 0, false
	}
	for _, c := range raw { // keep out hexadecimal floats, "inf", "nan" and digit separators
		if c-'0' > 9 && c != '.' && c != '-' && c != '+' && c != 'e' && c != 'E' {
			return 0, false
		}
	}
	f, err := strconv.ParseFloat(unsafe.String(&raw[0], len(raw)), 64)
	return f, err == nil
}

func hexUpper(raw []byte) string {
	const digits = "0123456789ABCDEF"
	out := make([]byte, 0, 2*len(raw))
	for _, c := range raw {
		out = append(out, digits[c>>4], digits[c&15])
	}
	return string(out)
}
