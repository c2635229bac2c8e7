package tags

import (
	"testing"
	"unicode/utf8"
)

// TestEncode: bytes of the code pages are those that the Unicode Consortium's
// mapping tables list for Windows-1252, Windows-1251 and IBM 437.
func TestEncode(t *testing.T) {
	for _, c := range []struct{ version, page, in, want string }{
		{"AC1015", "ANSI_1252", "é", "\xe9"},
		{"AC1015", "ansi_1251", "Я", "\xdf"},
		{"AC1009", "dos437", "é", "\x82"},
		{"AC1015", "ANSI_1252", "Ω", `\U+03A9`},
		{"AC1015", "ANSI_936", "é", `\U+00E9`}, // multi-byte pages: ASCII and escapes
		{"AC1009", "", "é", `\U+00E9`},
		{"AC1009", "ASCII", "é", `\U+00E9`},
		{"AC1009", "no such page", "é", `\U+00E9`},
		{"AC1015", "ANSI_1252", "\U0001F514", `\U+D83D\U+DD14`},
		{"AC1021", "ANSI_1252", "Ωé\U0001F514", "Ωé\U0001F514"},
	} {
		if got := newTextEncoder(c.version, c.page).Encode(c.in); got != c.want {
			t.Errorf("%s %s: %q, want %q", c.version, c.page, got, c.want)
		}
	}
}

// FuzzDecode: whatever bytes a string value has, in whatever code page, the text
// is valid and not out of proportion.
func FuzzDecode(f *testing.F) {
	f.Add("AC1015", "ANSI_1252", []byte(`\U+D83D\U+DD25 \M+1836E \U+12`))
	f.Add("AC1032", "", []byte("caf\xe9"))
	f.Add("AC1009", "ANSI_932", []byte("\x95\x5c"))
	f.Fuzz(func(t *testing.T, version, page string, raw []byte) {
		out := newTextDecoder(version, page).decode(raw)
		if !utf8.ValidString(out) {
			t.Errorf("%q becomes %q", raw, out)
		}
		if len(out) > 4*len(raw)+16 {
			t.Errorf("%d bytes become %d", len(raw), len(out))
		}
	})
}
