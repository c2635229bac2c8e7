package sheet

import (
	"fmt"
	"unicode/utf8"

	"golang.org/x/text/encoding/unicode"
)

// decodeText reads a text string of a PDF: UTF-16 with a byte-order mark, UTF-8
// with one (PDF 2.0), otherwise PDFDocEncoding (ISO 32000-1, 7.9.2 and annex D).
func decodeText(b []byte) (string, error) {
	switch {
	case len(b) >= 2 && (b[0] == 0xFE && b[1] == 0xFF || b[0] == 0xFF && b[1] == 0xFE):
		s, err := unicode.UTF16(unicode.BigEndian, unicode.ExpectBOM).NewDecoder().Bytes(b)
		return string(s), err
	case len(b) >= 3 && b[0] == 0xEF && b[1] == 0xBB && b[2] == 0xBF:
		if !utf8.Valid(b[3:]) {
			return "", fmt.Errorf("a text that is marked as UTF-8 and is not")
		}
		return string(b[3:]), nil
	}
	out := make([]rune, len(b))
	for i, c := range b {
		out[i] = docEncoding(c)
	}
	return string(out), nil
}

// docHigh are the letters of PDFDocEncoding from 0x80 to 0xA0, docLow those from
// 0x18 to 0x1F; the rest is as in Latin-1 (ISO 32000-1, table D.2).
var (
	docLow  = []rune("\u02D8\u02C7\u02C6\u02D9\u02DD\u02DB\u02DA\u02DC")
	docHigh = []rune("\u2022\u2020\u2021\u2026\u2014\u2013\u0192\u2044\u2039\u203A\u2212\u2030\u201E\u201C\u201D\u2018" +
		"\u2019\u201A\u2122\uFB01\uFB02\u0141\u0152\u0160\u0178\u017D\u0131\u0142\u0153\u0161\u017E\uFFFD\u20AC")
)

func docEncoding(c byte) rune {
	switch {
	case c >= 0x18 && c <= 0x1F:
		return docLow[c-0x18]
	case c >= 0x80 && c <= 0xA0:
		return docHigh[c-0x80]
	}
	return rune(c)
}
