package tags

import (
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/japanese"
	"golang.org/x/text/encoding/korean"
	"golang.org/x/text/encoding/simplifiedchinese"
	"golang.org/x/text/encoding/traditionalchinese"
)

// textDecoder turns the bytes of a string value into text.
type textDecoder struct {
	utf8     bool              // R2007 and later: UTF-8, table only for what is not
	guess    bool              // no code page is declared: UTF-8 where it is valid
	table    encoding.Encoding // code page
	fallback bool              // the declared code page is unknown and another one was taken
}

// codePages holds the code pages that $DWGCODEPAGE names, by number.
var codePages = map[string]encoding.Encoding{
	"437": charmap.CodePage437, "850": charmap.CodePage850, "852": charmap.CodePage852,
	"855": charmap.CodePage855, "858": charmap.CodePage858, "860": charmap.CodePage860,
	"862": charmap.CodePage862, "863": charmap.CodePage863, "865": charmap.CodePage865,
	"866": charmap.CodePage866, "874": charmap.Windows874,
	"932": japanese.ShiftJIS, "936": simplifiedchinese.GBK, "949": korean.EUCKR,
	"950": traditionalchinese.Big5, "54936": simplifiedchinese.GB18030,
	"1250": charmap.Windows1250, "1251": charmap.Windows1251, "1252": charmap.Windows1252,
	"1253": charmap.Windows1253, "1254": charmap.Windows1254, "1255": charmap.Windows1255,
	"1256": charmap.Windows1256, "1257": charmap.Windows1257, "1258": charmap.Windows1258,
	"8859-1": charmap.ISO8859_1, "8859-2": charmap.ISO8859_2, "8859-3": charmap.ISO8859_3,
	"8859-4": charmap.ISO8859_4, "8859-5": charmap.ISO8859_5, "8859-6": charmap.ISO8859_6,
	"8859-7": charmap.ISO8859_7, "8859-8": charmap.ISO8859_8, "8859-9": charmap.ISO8859_9,
	"big5": traditionalchinese.Big5, "gb2312": simplifiedchinese.GBK, "ksc5601": korean.EUCKR,
	"mac-roman": charmap.Macintosh, "ascii": charmap.Windows1252, "koi8-r": charmap.KOI8R,
}

// newTextDecoder picks the encoding: UTF-8 from R2007 (AC1021) on, before that
// the declared code page, and Windows 1252 where there is none.
func newTextDecoder(version, codePage string) textDecoder {
	d := textDecoder{table: charmap.Windows1252}
	name := strings.ToLower(strings.TrimSpace(codePage))
	for _, prefix := range []string{"ansi_", "ansi-", "ansi", "dos", "cp", "iso"} {
		if rest, ok := strings.CutPrefix(name, prefix); ok {
			name = strings.TrimLeft(rest, "_- ")
			break
		}
	}
	switch table := codePages[name]; {
	case table != nil:
		d.table = table
	case name == "utf8" || name == "utf-8" || name == "65001":
		d.utf8 = true
	case name == "":
		d.guess = true
	default:
		d.fallback = true
	}
	if isUTF8(version) {
		d.utf8 = true
	}
	return d
}

// isUTF8 reports whether a version ($ACADVER) stores strings as UTF-8: from
// R2007 on.
func isUTF8(version string) bool { return isVersion(version) && version >= "AC1021" }

func isVersion(v string) bool {
	return len(v) == 6 && strings.HasPrefix(v, "AC1") && isCode([]byte(v[2:]))
}

func (d textDecoder) decode(raw []byte) string {
	plain := true
	for _, c := range raw {
		if c >= 0x80 || c == '\\' {
			plain = false
			break
		}
	}
	if plain {
		return string(raw)
	}
	var s string
	switch {
	case (d.utf8 || d.guess) && utf8.Valid(raw) || d.table == nil:
		s = strings.ToValidUTF8(string(raw), "\uFFFD")
	default:
		if out, err := d.table.NewDecoder().Bytes(raw); err == nil {
			s = string(out)
		} else {
			s = strings.ToValidUTF8(string(raw), "\uFFFD")
		}
	}
	if strings.IndexByte(s, '\\') >= 0 {
		s = decodeEscapes(s)
	}
	return s
}

// mifPages are the code pages of \M+nXXXX by n.
var mifPages = [...]encoding.Encoding{'1' - '0': japanese.ShiftJIS, '2' - '0': traditionalchinese.Big5,
	'3' - '0': korean.EUCKR, '5' - '0': simplifiedchinese.GBK}

// decodeEscapes resolves \U+XXXX (UTF-16 units) and \M+nXXXX (a double byte in
// code page n). What is not well formed stays as it is.
func decodeEscapes(s string) string {
	if !strings.Contains(s, `\U+`) && !strings.Contains(s, `\M+`) && !strings.Contains(s, `\u+`) {
		return s
	}
	var out strings.Builder
	out.Grow(len(s))
	for i := 0; i < len(s); {
		if s[i] != '\\' {
			out.WriteByte(s[i])
			i++
			continue
		}
		r, n := escapeAt(s[i:])
		if n == 0 {
			out.WriteByte(s[i])
			i++
			continue
		}
		if utf16.IsSurrogate(r) {
			low, m := escapeAt(s[i+n:])
			if pair := utf16.DecodeRune(r, low); m > 0 && pair != utf8.RuneError {
				r, n = pair, n+m
			}
		}
		out.WriteRune(r)
		i += n
	}
	return out.String()
}

// escapeAt reads one \U+XXXX or \M+nXXXX at the start of s; n is its length, 0
// if there is none.
func escapeAt(s string) (r rune, n int) {
	switch {
	case len(s) >= 7 && (s[:3] == `\U+` || s[:3] == `\u+`):
		v, err := strconv.ParseUint(s[3:7], 16, 16)
		if err != nil {
			return 0, 0
		}
		return rune(v), 7
	case len(s) >= 8 && s[:3] == `\M+`:
		page := int(s[3] - '0')
		v, err := strconv.ParseUint(s[4:8], 16, 16)
		if err != nil || page < 0 || page >= len(mifPages) || mifPages[page] == nil {
			return 0, 0
		}
		pair := []byte{byte(v >> 8), byte(v)}
		if pair[0] == 0 {
			pair = pair[1:]
		}
		out, err := mifPages[page].NewDecoder().Bytes(pair)
		if err != nil {
			return 0, 0
		}
		r, _ = utf8.DecodeRune(out)
		return r, 8
	}
	return 0, 0
}
