package dxf

import (
	"testing"

	"pgregory.net/rapid"
)

func TestEscapeLine(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"1-023", "1-023"},
		{"50%", "50%"},
		{"50%d", "50%d"},
		{"100%%", "100%%%%%%"},
		{"%%c", "%%%%%%c"},
		{"a^b", "a^ b"},
		{`C:\U+0041`, `C:\U+005CU+0041`},
		{`\P {x}`, `\P {x}`},
	} {
		if got := escapeLine(c.in); got != c.want {
			t.Errorf("escapeLine(%q) = %q, want %q", c.in, got, c.want)
		}
	}
}

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
		rel, err := releaseOf(c.version, true)
		if err != nil {
			t.Fatal(err)
		}
		if got := newTextEncoder(rel, c.version, c.page).encode(c.in); got != c.want {
			t.Errorf("%s %s: %q, want %q", c.version, c.page, got, c.want)
		}
	}
}

// TestTextReadsBack: what is written as text reads back as it was given, in
// every version and code page.
func TestTextReadsBack(t *testing.T) {
	runes := []rune(`aZ09 -_/%^\UuM+PA{};°±Ωéß√Яя漢` + "\U0001F514")
	rapid.Check(t, func(t *rapid.T) {
		version := rapid.SampledFrom(fixtureVersions[1:]).Draw(t, "version")
		page := rapid.SampledFrom([]string{"ANSI_1252", "ANSI_1251", "dos850", "ANSI_936", "ASCII"}).Draw(t, "page")
		value := rapid.StringOfN(rapid.SampledFrom(runes), 1, 20, -1).Draw(t, "value")
		enc := newTextEncoder(releases[version], version, page)
		dec := newTextDecoder(version, page)
		if got := PlainText(dec.decode([]byte(enc.encode(escapeLine(value))))); got != value {
			t.Fatalf("TEXT %q is stored as %q and reads %q", value, enc.encode(escapeLine(value)), got)
		}
	})
}

func TestFormatReal(t *testing.T) {
	for _, c := range []struct {
		in   float64
		want string
	}{{0, "0.0"}, {1, "1.0"}, {-2.5, "-2.5"}, {0.1, "0.1"}, {1234567.125, "1234567.125"}, {1e20, "1E+20"}, {1e-9, "1E-09"}, {1.0 / 3, "0.3333333333333333"}} {
		if got := formatReal(c.in); got != c.want {
			t.Errorf("formatReal(%v) = %q, want %q", c.in, got, c.want)
		}
	}
	negativeZero := 0.0
	negativeZero *= -1
	if got := formatReal(negativeZero); got != "0.0" {
		t.Errorf("negative zero is written %q", got)
	}
}
