package edit

import (
	"encoding/binary"
	"math"
	"strconv"
	"strings"

	"loopwright/takeoff/dxf/tags"
)

// XY is a place in plan, in drawing units.
type XY struct{ X, Y float64 }

// emitter writes new tags in the dress of the file that they go into: binary
// or text, width of group codes, line ending, padding, string encoding.
type emitter struct {
	buf       []byte
	binary    bool
	codeWidth int    // bytes of a group code in a binary file: 1 up to R12, else 2
	eol       string // line ending of a text file
	pad       int    // width to which a text file right-aligns group codes
	enc       tags.Encoder
}

// newEmitter takes over the dress of src.
func newEmitter(src *tags.Source, rel release) *emitter {
	eol := src.EOL
	if eol == "" {
		eol = "\r\n"
	}
	return &emitter{binary: src.Binary, codeWidth: src.CodeWidth, eol: eol,
		pad: min(src.CodePad, 3), enc: src.Encoder()}
}

// code writes a group code and, in a text file, its line ending.
func (e *emitter) code(c int) {
	switch {
	case !e.binary:
		s := strconv.Itoa(c)
		for n := len(s); n < e.pad; n++ {
			e.buf = append(e.buf, ' ')
		}
		e.buf = append(append(e.buf, s...), e.eol...)
	case e.codeWidth == 1 && c >= 255:
		e.buf = binary.LittleEndian.AppendUint16(append(e.buf, 0xFF), uint16(c))
	case e.codeWidth == 1:
		e.buf = append(e.buf, byte(c))
	default:
		e.buf = binary.LittleEndian.AppendUint16(e.buf, uint16(c))
	}
}

// raw writes a string value that is in the file's encoding already.
func (e *emitter) raw(c int, v string) {
	e.code(c)
	e.buf = append(e.buf, v...)
	if e.binary {
		e.buf = append(e.buf, 0)
	} else {
		e.buf = append(e.buf, e.eol...)
	}
}

// str writes a name or another string in the file's encoding.
func (e *emitter) str(c int, v string) { e.raw(c, e.enc.Encode(v)) }

// handle writes a handle as CAD programs do: upper case, no leading zeros.
func (e *emitter) handle(c int, h tags.Handle) { e.raw(c, h.String()) }

// int writes a whole number in the width that its group code has in a
// binary file (DXF reference, "Group Code Value Types").
func (e *emitter) int(c, v int) {
	if !e.binary {
		e.raw(c, strconv.Itoa(v))
		return
	}
	e.code(c)
	switch {
	case c >= 90 && c < 100, c >= 420 && c < 430, c >= 440 && c < 460, c == 1071:
		e.buf = binary.LittleEndian.AppendUint32(e.buf, uint32(int32(v)))
	case c >= 160 && c < 170:
		e.buf = binary.LittleEndian.AppendUint64(e.buf, uint64(v))
	case c >= 290 && c < 300:
		e.buf = append(e.buf, byte(v))
	default:
		e.buf = binary.LittleEndian.AppendUint16(e.buf, uint16(int16(v)))
	}
}

// float writes a real number.
func (e *emitter) float(c int, v float64) {
	if !e.binary {
		e.raw(c, formatReal(v))
		return
	}
	e.code(c)
	e.buf = binary.LittleEndian.AppendUint64(e.buf, math.Float64bits(v+0)) // +0 turns -0 into 0
}

// point writes a plan point at height 0 in the group codes c, c+10, c+20.
func (e *emitter) point(c int, p XY) {
	e.float(c, p.X)
	e.float(c+10, p.Y)
	e.float(c+20, 0)
}

// mark writes our extended data: kind, own handle (a copy made in a CAD
// program keeps it and gets another handle, so copies can be told) and device.
func (e *emitter) mark(kind string, own, device tags.Handle, notes ...string) {
	e.raw(1001, AppID)
	e.str(1000, kind)
	if own != 0 {
		e.handle(1005, own)
		if device != 0 {
			e.handle(1005, device)
		}
	}
	for _, n := range notes {
		e.raw(1000, n)
	}
}

// formatReal gives the shortest digits that read back as v, always with a
// decimal point, and an exponent only where the digits would run very long.
func formatReal(v float64) string {
	if v == 0 {
		return "0.0"
	}
	if a := math.Abs(v); a < 1e-6 || a >= 1e16 {
		return strconv.FormatFloat(v, 'E', -1, 64)
	}
	s := strconv.FormatFloat(v, 'f', -1, 64)
	if !strings.Contains(s, ".") {
		s += ".0"
	}
	return s
}
