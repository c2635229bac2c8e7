package edit

import (
	"testing"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/dxf/tags"

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

// TestTextReadsBack: what is written as text reads back as it was given, in
// every version and code page.
func TestTextReadsBack(t *testing.T) {
	runes := []rune(`aZ09 -_/%^\UuM+PA{};°±Ωéß√Яя漢` + "\U0001F514")
	rapid.Check(t, func(t *rapid.T) {
		version := rapid.SampledFrom([]string{"AC1004", "AC1006", "AC1009", "AC1012", "AC1014", "AC1015", "AC1018", "AC1021", "AC1024", "AC1027", "AC1032"}).Draw(t, "version")
		page := rapid.SampledFrom([]string{"ANSI_1252", "ANSI_1251", "dos850", "ANSI_936", "ASCII"}).Draw(t, "page")
		value := rapid.StringOfN(rapid.SampledFrom(runes), 1, 20, -1).Draw(t, "value")
		head := "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\n" + version + "\n9\n$DWGCODEPAGE\n3\n" + page + "\n0\nENDSEC\n"
		stored := tags.NewSource("x", []byte(head)).Encoder().Encode(escapeLine(value))
		d, err := dxf.Parse("x", []byte(head+"0\nSECTION\n2\nENTITIES\n0\nTEXT\n1\n"+stored+"\n0\nENDSEC\n0\nEOF\n"))
		if err != nil {
			t.Fatal(err)
		}
		texts, _, err := d.Texts(dxf.Options{})
		if err != nil || len(texts) != 1 {
			t.Fatal(err, len(texts))
		}
		if got := texts[0].Text; got != value {
			t.Fatalf("TEXT %q is stored as %q and reads %q", value, stored, got)
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
