package dxf

import (
	"fmt"
	"math"
	"strings"
	"unicode/utf8"
)

// maxTextBytes is what one TEXT may hold as stored: older releases stop at
// 255 bytes, and one limit for all keeps drawings alike.
const maxTextBytes = 250

// NewText is one line of TEXT. Value is plain text; what the format would take
// for a code is escaped.
type NewText struct {
	EntityBase
	At          XY
	Height      float64 // of a capital, drawing units
	Rotation    float64 // degrees
	H           HAlign  // Left, Center or Right
	V           VAlign
	WidthFactor float64 // 0 means 1
	Value       string
}

func (t NewText) validate() error {
	if strings.TrimSpace(t.Value) == "" {
		return fmt.Errorf("a text without characters cannot be picked in a CAD program")
	}
	if t.H > Right || t.V > Top {
		return fmt.Errorf("alignment %d/%d is not known", t.H, t.V)
	}
	if t.WidthFactor < 0 {
		return fmt.Errorf("the width factor %v is negative", t.WidthFactor)
	}
	// Worst case: every rune outside ASCII becomes one or two \U+XXXX.
	return firstError(checkPlain(t.Value, "text", false), finite(t.At.X, t.At.Y, t.Rotation, t.WidthFactor),
		positive("text height", t.Height), checkTextLength(t.Value))
}

func checkTextLength(s string) error {
	if n := len(textEncoder{}.encode(escapeLine(s))); n > maxTextBytes {
		return fmt.Errorf("the text %.40q... takes %d bytes; one line of text may take %d", s, n, maxTextBytes)
	}
	return nil
}

func (t NewText) emit(w *entityWriter) {
	w.begin("TEXT", "AcDbText", w.owner)
	w.point(10, t.At) // programs recompute it from 11 where the text is aligned
	w.float(40, t.Height)
	w.str(1, escapeLine(t.Value))
	if t.Rotation != 0 {
		w.float(50, t.Rotation)
	}
	if t.WidthFactor > 0 && t.WidthFactor != 1 {
		w.float(41, t.WidthFactor)
	}
	w.str(7, w.style)
	aligned := t.H != Left || t.V != Baseline
	if aligned {
		w.int(72, int(t.H)) // Left, Center, Right are 0, 1, 2 there, and Baseline to Top 0 to 3 in 73
		w.point(11, t.At)
	}
	w.marker("AcDbText")
	if t.V != Baseline {
		w.int(73, int(t.V))
	}
	w.end()
}

// NewMText is text of several lines, MTEXT from R13 on and one TEXT per line
// before that. V may not be Baseline, H as for NewText.
type NewMText struct {
	EntityBase
	At       XY
	Height   float64
	Rotation float64 // degrees
	H        HAlign
	V        VAlign
	Width    float64 // wrapping width, 0 for none; before R13 lines do not wrap
	Value    string  // lines end with \n
}

func (t NewMText) validate() error {
	if strings.TrimSpace(t.Value) == "" {
		return fmt.Errorf("a text without characters cannot be picked in a CAD program")
	}
	if t.H > Right || t.V < Bottom || t.V > Top {
		return fmt.Errorf("alignment %d/%d is not known to text of several lines", t.H, t.V)
	}
	if t.Width < 0 {
		return fmt.Errorf("the width %v is negative", t.Width)
	}
	for line := range strings.SplitSeq(t.Value, "\n") {
		if err := checkTextLength(line); err != nil {
			return err
		}
	}
	return firstError(checkPlain(t.Value, "text", true), finite(t.At.X, t.At.Y, t.Rotation, t.Width),
		positive("text height", t.Height))
}

func (t NewMText) emit(w *entityWriter) {
	if !w.rel.owned() {
		t.emitLines(w)
		return
	}
	w.begin("MTEXT", "AcDbMText", w.owner)
	w.point(10, t.At)
	w.float(40, t.Height)
	w.float(41, t.Width)
	w.int(71, 3*(int(Top)-int(t.V))+int(t.H)+1)
	w.int(72, 1)
	chunks := chunkRunes(w.enc, escapeParagraphs(t.Value))
	for _, c := range chunks[:len(chunks)-1] {
		w.raw(3, c)
	}
	w.raw(1, chunks[len(chunks)-1])
	w.str(7, w.style)
	if t.Rotation != 0 {
		w.float(50, t.Rotation)
	}
	w.end()
}

// emitLines writes the lines one by one, the whole block aligned as asked.
func (t NewMText) emitLines(w *entityWriter) {
	lines := strings.Split(t.Value, "\n")
	sin, cos := math.Sincos(t.Rotation * math.Pi / 180)
	pitch := t.Height * lineFeed
	below := float64(len(lines)-1) * pitch // from the first line to the last
	rise := map[VAlign]float64{Top: 0, Middle: below / 2, Bottom: below}[t.V]
	for i, line := range lines {
		if strings.TrimSpace(line) == "" {
			continue
		}
		up := rise - float64(i)*pitch
		NewText{EntityBase: t.EntityBase, At: XY{t.At.X - up*sin, t.At.Y + up*cos}, Height: t.Height,
			Rotation: t.Rotation, H: t.H, V: t.V, Value: line}.emit(w)
	}
}

// chunkRunes encodes s and cuts it into pieces of at most maxTextBytes (MTEXT:
// group code 3, the last one 1), never inside a character or an escape.
func chunkRunes(enc textEncoder, s string) []string {
	var chunks []string
	var cur strings.Builder
	for s != "" {
		var unit string
		if s[0] == '\\' && len(s) > 1 {
			_, n := utf8.DecodeRuneInString(s[1:])
			unit = s[:1+n]
		} else {
			_, n := utf8.DecodeRuneInString(s)
			unit = s[:n]
		}
		s = s[len(unit):]
		piece := enc.encode(unit)
		if cur.Len()+len(piece) > maxTextBytes {
			chunks = append(chunks, cur.String())
			cur.Reset()
		}
		cur.WriteString(piece)
	}
	return append(chunks, cur.String())
}
