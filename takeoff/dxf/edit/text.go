package edit

import (
	"fmt"
	"strings"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/dxf/tags"
)

// maxTextBytes is what one TEXT may hold as stored: older releases stop at
// 255 bytes, and one limit for all keeps drawings alike.
const maxTextBytes = 250

// Text is one line of TEXT. Value is plain text; what the format would take
// for a code is escaped.
type Text struct {
	Base
	At       XY         // on the baseline
	Height   float64    // of a capital, drawing units
	Rotation float64    // degrees
	H        dxf.HAlign // Left, Center or Right
	Value    string
}

func (t Text) validate() error {
	if strings.TrimSpace(t.Value) == "" {
		return fmt.Errorf("an empty text cannot be picked in a CAD program")
	}
	if t.H > dxf.Right {
		return fmt.Errorf("unknown alignment %d", t.H)
	}
	// Worst case: every rune outside ASCII becomes one or two \U+XXXX.
	return firstError(checkPlain(t.Value, "text"), finite(t.At.X, t.At.Y, t.Rotation),
		positive("text height", t.Height), checkTextLength(t.Value))
}

func checkTextLength(s string) error {
	if n := len(tags.Encoder{}.Encode(escapeLine(s))); n > maxTextBytes {
		return fmt.Errorf("the text %.40q... takes %d bytes; one line may have %d", s, n, maxTextBytes)
	}
	return nil
}

func (t Text) emit(w *entityWriter) {
	w.begin("TEXT", "AcDbText", w.owner)
	w.point(10, t.At) // programs recompute it from 11 where the text is aligned
	w.float(40, t.Height)
	w.str(1, escapeLine(t.Value))
	if t.Rotation != 0 {
		w.float(50, t.Rotation)
	}
	w.str(7, w.style)
	if t.H != dxf.Left {
		w.int(72, int(t.H)) // Left, Center, Right are 0, 1, 2 there
		w.point(11, t.At)
	}
	w.marker("AcDbText")
	w.end()
}
