package tags

import (
	"fmt"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
)

// Encoder turns Go strings into the bytes that a drawing stores: UTF-8
// from R2007 on; before that the drawing's code page, and \U+XXXX (UTF-16
// units) for what the code page lacks.
type Encoder struct {
	utf8 bool
	page *charmap.Charmap // nil: ASCII only
}

// UTF8 reports whether strings are stored as UTF-8.
func (t Encoder) UTF8() bool { return t.utf8 }

// ASCII reports whether nothing but ASCII is stored; the rest is escaped.
func (t Encoder) ASCII() bool { return !t.utf8 && t.page == nil }

// newTextEncoder takes the code page that strings of the drawing are read
// with, if it is declared and every byte of it stands alone. In the multi-byte
// ones a second byte may equal a backslash, which older readers take for an
// escape, so there everything outside ASCII is escaped.
func newTextEncoder(version, codepage string) Encoder {
	if isUTF8(version) {
		return Encoder{utf8: true}
	}
	d := newTextDecoder(version, codepage)
	if d.guess || d.fallback || d.utf8 || strings.EqualFold(strings.TrimSpace(codepage), "ascii") {
		return Encoder{}
	}
	page, _ := d.table.(*charmap.Charmap)
	return Encoder{page: page}
}

// Encode returns s as the drawing stores it.
func (t Encoder) Encode(s string) string {
	if t.utf8 || isASCII(s) {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		b.WriteString(t.encodeRune(r))
	}
	return b.String()
}

func (t Encoder) encodeRune(r rune) string {
	if t.utf8 || r < utf8.RuneSelf {
		return string(r)
	}
	// A byte 80-9F that the page maps to a control character is not a letter.
	if t.page != nil && r >= 0xA0 {
		if c, ok := t.page.EncodeRune(r); ok {
			return string([]byte{c})
		}
	}
	if r > 0xFFFF {
		hi, lo := utf16.EncodeRune(r)
		return fmt.Sprintf(`\U+%04X\U+%04X`, hi, lo)
	}
	return fmt.Sprintf(`\U+%04X`, r)
}

func isASCII(s string) bool {
	for i := 0; i < len(s); i++ {
		if s[i] >= utf8.RuneSelf {
			return false
		}
	}
	return true
}
