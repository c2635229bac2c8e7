package dxf

import (
	"fmt"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
)

// textEncoder turns Go strings into the bytes that a drawing stores: UTF-8
// from R2007 on; before that the drawing's code page, and \U+XXXX (UTF-16
// units) for what the code page lacks.
type textEncoder struct {
	utf8 bool
	page *charmap.Charmap // nil: ASCII only
}

// newTextEncoder takes the code page that strings of the drawing are read
// with, if it is declared and every byte of it stands alone. In the multi-byte
// ones a second byte may equal a backslash, which older readers take for an
// escape, so there everything outside ASCII is escaped.
func newTextEncoder(rel release, version, codepage string) textEncoder {
	if rel.utf8() {
		return textEncoder{utf8: true}
	}
	d := newTextDecoder(version, codepage)
	if d.guess || d.Fallback || d.utf8 || strings.EqualFold(strings.TrimSpace(codepage), "ascii") {
		return textEncoder{}
	}
	page, _ := d.table.(*charmap.Charmap)
	return textEncoder{page: page}
}

func (t textEncoder) encode(s string) string {
	if t.utf8 || isASCII(s) {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		b.WriteString(t.encodeRune(r))
	}
	return b.String()
}

func (t textEncoder) encodeRune(r rune) string {
	if t.utf8 || r < utf8.RuneSelf {
		return string(r)
	}
	// A byte 80-9F that the page maps to a control character is no letter.
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

// escapeLine writes plain text as the value of a TEXT or ATTRIB: %% starts a
// code there, ^ a control character and \U+ a Unicode escape, so a literal
// one of each is spelled out.
func escapeLine(s string) string {
	s = strings.ReplaceAll(s, "^", "^ ")
	if strings.Contains(s, "%%") {
		s = escapePercents(s)
	}
	return escapeUnicodeEscapes(s)
}

// escapePercents triples each percent sign of a run of two or more: %%% is
// how one percent sign is written where it would start a code.
func escapePercents(s string) string {
	var b strings.Builder
	for i := 0; i < len(s); {
		n := i
		for n < len(s) && s[n] == '%' {
			n++
		}
		if run := n - i; run >= 2 {
			b.WriteString(strings.Repeat("%%%", run))
			i = n
			continue
		}
		b.WriteByte(s[i])
		i++
	}
	return b.String()
}

func escapeUnicodeEscapes(s string) string {
	for _, p := range []string{"U+", "u+", "M+", "m+"} {
		s = strings.ReplaceAll(s, `\`+p, `\U+005C`+p)
	}
	return s
}

// checkPlain refuses what cannot stand in a string of a drawing.
func checkPlain(s, what string) error {
	if !utf8.ValidString(s) {
		return fmt.Errorf("%s %q is not valid UTF-8", what, s)
	}
	for _, r := range s {
		if r < ' ' || r >= 0x7F && r < 0xA0 || r == 0x2028 || r == 0x2029 {
			return fmt.Errorf("%s %q holds the control character %U", what, s, r)
		}
	}
	return nil
}

func isASCII(s string) bool {
	for i := 0; i < len(s); i++ {
		if s[i] >= utf8.RuneSelf {
			return false
		}
	}
	return true
}
