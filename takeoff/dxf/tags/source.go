package tags

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Source is the text of one drawing and what is needed to decode it.
type Source struct {
	Name      string // for messages
	Bytes     []byte // the whole file, never written to
	Binary    bool   // binary DXF
	CodeWidth int    // binary only: bytes of a group code, 1 (R12) or 2
	Body      int    // offset of the first tag, after byte-order mark or sentinel
	EOL       string // ASCII only: how line 1 ends: "\n", "\r\n" or "\r"
	CodePad   int    // ASCII only: width to which line 1 pads its group code, 1 = not padded
	Version   string // $ACADVER such as AC1032, "" if the drawing does not say
	CodePage  string // $DWGCODEPAGE as stored, "" if the drawing does not say
	decoder   textDecoder
	lines     lineIndex
	drop      func(from, to int) // gives back memory of a mapped file, nil if not mapped
	unmap     func() error       // nil if not mapped
}

// NewSource finds out what kind of drawing bytes are. They must not change while
// the source is in use; the name is for messages.
func NewSource(name string, b []byte) *Source {
	s := &Source{Name: name, Bytes: b}
	s.sniff()
	return s
}

// sniff finds what the decoder needs before any tag is indexed: kind of file,
// line end, and the two header variables.
func (s *Source) sniff() {
	b := s.Bytes
	if bytes.HasPrefix(b, []byte(binarySentinel)) {
		s.Binary, s.Body, s.CodeWidth = true, len(binarySentinel), 2
		// R12 writes group codes in one byte: 0 and then the S of SECTION, or the
		// escape 255 of a comment.
		if len(b) >= s.Body+2 && (b[s.Body] == 0 && b[s.Body+1] != 0 || b[s.Body] == 255) {
			s.CodeWidth = 1
		}
	} else {
		if bytes.HasPrefix(b, []byte("\xef\xbb\xbf")) {
			s.Body = 3
		}
		stop := lineEnd(b, s.Body, min(len(b), s.Body+1<<16))
		s.EOL = string(b[stop:min(skipEOL(b, stop, len(b)), stop+2)])
		if s.EOL == "" {
			s.EOL = "\n"
		}
		s.CodePad = max(1, len(bytes.TrimRight(b[s.Body:stop], " \t")))
	}
	s.Version, s.CodePage = s.sniffHeader()
	s.decoder = newTextDecoder(s.Version, s.CodePage)
}

const binarySentinel = "AutoCAD Binary DXF\r\n\x1a\x00"

// sniffHeader reads $ACADVER and $DWGCODEPAGE from the HEADER section, wherever
// within the first tags that stands.
func (s *Source) sniffHeader() (version, codePage string) {
	sc := s.Scanner(s.Body, min(len(s.Bytes), s.Body+1<<20))
	name := ""
	for {
		t, ok := sc.Next()
		if !ok {
			return
		}
		switch {
		case t.Code == 9:
			name = string(bytes.TrimSpace(s.Raw(t)))
		case t.Code == 0:
			name = ""
			if k := kindOf(s.Raw(t)); k != Section && k != EndSec {
				return
			}
		case name == "$ACADVER" && t.Code == 1:
			version = strings.ToUpper(string(bytes.TrimSpace(s.Raw(t))))
		case name == "$DWGCODEPAGE" && (t.Code == 3 || t.Code == 1):
			codePage = string(bytes.TrimSpace(s.Raw(t)))
		}
	}
}

// Scanner returns a scanner over the bytes [from, to), which must begin at a tag.
func (s *Source) Scanner(from, to int) *Scanner {
	return &Scanner{b: s.Bytes, pos: max(from, 0), end: min(to, len(s.Bytes)), width: s.width()}
}

// ReadTag reads the tag at pos within [pos, end). It is Scanner for those who read
// millions of short records: it stops at a fault. Not ok with FaultNone means that
// only blanks are left.
func (s *Source) ReadTag(pos, end int, t *Tag) (FaultKind, bool) {
	return readTag(s.Bytes, pos, end, s.width(), t)
}

func (s *Source) width() int {
	if s.Binary {
		return s.CodeWidth
	}
	return 0
}

// Raw returns the bytes of a value as they stand in the file. They belong to
// the source: do not change them, and do not keep them after Close.
func (s *Source) Raw(t Tag) []byte { return s.Bytes[t.ValStart:t.ValEnd] }

// Text decodes a string value: code page or UTF-8, then \U+XXXX and \M+nXXXX.
// Spaces are kept. Numbers of a binary drawing are written out. Caret codes
// (^I, ^J) and %% codes belong to texts alone and are not touched.
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
	return s.decoder.decode(s.Raw(t))
}

// Word is a value of the format's own vocabulary, such as the name of a section
// or the type of a record, which is ASCII; some files put blanks around it.
func (s *Source) Word(t Tag) string { return string(bytes.Trim(s.Raw(t), " \t")) }

// Decode decodes the bytes of a string value, as Text does; texts that stand in
// several tags are put together first.
func (s *Source) Decode(raw []byte) string { return s.decoder.decode(raw) }

// UnknownCodePage reports whether $DWGCODEPAGE names a code page that is not
// known, so that texts are read as Windows 1252.
func (s *Source) UnknownCodePage() bool { return s.decoder.fallback }

// Encoder returns the encoder for strings of this drawing.
func (s *Source) Encoder() Encoder { return newTextEncoder(s.Version, s.CodePage) }

// IsText reports whether values of a group code are strings here: in a binary
// drawing some are numbers or bytes.
func (s *Source) IsText(code int) bool { return !s.Binary || binaryKind(code) == kindString }

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
// take it. False means that the value is not a number.
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

// Handle reads a handle (hexadecimal); false means that the value is not one.
func (s *Source) Handle(t Tag) (uint64, bool) {
	if s.Binary && binaryKind(t.Code) != kindString {
		return 0, false
	}
	return handleValue(s.Bytes[t.ValStart:t.ValEnd])
}

// Line returns the 1-based line of an offset in an ASCII drawing, 0 in a binary
// one.
func (s *Source) Line(offset int) int {
	if s.Binary {
		return 0
	}
	return s.lines.line(s.Bytes, min(max(offset, 0), len(s.Bytes)))
}

// Where names a place for a message: its line, or in a binary drawing its offset.
func (s *Source) Where(offset int) string {
	if s.Binary {
		return fmt.Sprintf("offset %d", offset)
	}
	return fmt.Sprintf("line %d", s.Line(offset))
}

// Excerpt quotes the beginning of a line for a message.
func (s *Source) Excerpt(offset int) string {
	stop := min(offset+24, len(s.Bytes))
	if !s.Binary {
		stop = lineEnd(s.Bytes, offset, stop)
	}
	return strings.ToValidUTF8(string(s.Bytes[offset:stop]), "?")
}

// Release tells the system that a part of a mapped file is not needed for the
// moment; it comes back from the page cache when it is. It keeps the resident
// size of the process near that of its results.
func (s *Source) Release(from, to int) {
	if s.drop != nil {
		s.drop(from, to)
	}
}

// Close releases the memory of a mapped file. Strings and numbers that were
// handed out stay valid, byte slices do not.
func (s *Source) Close() error {
	if s.unmap == nil {
		return nil
	}
	err := s.unmap()
	s.unmap, s.Bytes, s.drop = nil, nil, nil
	return err
}

func hexUpper(raw []byte) string {
	const digits = "0123456789ABCDEF"
	out := make([]byte, 0, 2*len(raw))
	for _, c := range raw {
		out = append(out, digits[c>>4], digits[c&15])
	}
	return string(out)
}
