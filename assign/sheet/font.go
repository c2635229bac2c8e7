package sheet

import (
	"fmt"
	"strings"
	"unicode"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/text/unicode/bidi"
)

// face is a font family as registered with a document, and what it covers.
type face struct {
	family string
	cover  *sfnt.Font
	bold   bool // has a bold cut of its own
}

// builtin is the family that every document starts with: Latin, Greek and Cyrillic.
const builtin = "go"

// faces lists the fonts of a job in order of preference, with the bytes to register.
func faces(extra *Font) ([]face, map[string][2][]byte, error) {
	base, err := sfnt.Parse(goregular.TTF)
	if err != nil {
		return nil, nil, fmt.Errorf("built-in font: %w", err)
	}
	fs := []face{{builtin, base, true}}
	data := map[string][2][]byte{builtin: {goregular.TTF, gobold.TTF}}
	if extra == nil {
		return fs, data, nil
	}
	if err := usable(extra); err != nil {
		return nil, nil, err
	}
	f, err := sfnt.Parse(extra.Data)
	if err != nil {
		return nil, nil, fmt.Errorf("font %s: %w", extra.Name, err)
	}
	const family = "job"
	data[family] = [2][]byte{extra.Data, extra.Data}
	return append(fs, face{family, f, false}), data, nil
}

// usable refuses what cannot be embedded, by the first four bytes (OpenType
// specification, "Font file structure").
func usable(f *Font) error {
	if len(f.Data) < 4 {
		return fmt.Errorf("font %s: the file is too short to be a font", f.Name)
	}
	switch string(f.Data[:4]) {
	case "\x00\x01\x00\x00", "true":
		return nil
	case "ttcf":
		return fmt.Errorf("font %s is a collection: name a single TTF file", f.Name)
	case "OTTO":
		return fmt.Errorf("font %s has CFF outlines: name a TTF with TrueType outlines", f.Name)
	}
	return fmt.Errorf("font %s is no TrueType font", f.Name)
}

// run is a piece of text in one face; face < 0 where no font has its letters.
type run struct {
	face int
	text string
}

// runs splits a text by the first face that has each letter, in the order in
// which letters stand on the line.
func runs(fs []face, s string) []run {
	var out []run
	var buf sfnt.Buffer
	for _, r := range visual(clean(s)) {
		f := -1
		for i := range fs {
			if g, err := fs[i].cover.GlyphIndex(&buf, r); err == nil && g != 0 && r <= 0xFFFF {
				f = i
				break
			}
		}
		if n := len(out); n > 0 && out[n-1].face == f {
			out[n-1].text += string(r)
			continue
		}
		out = append(out, run{f, string(r)})
	}
	return out
}

// clean turns line ends and other control characters into blanks.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, s)
}

// visual puts right-to-left stretches into the order in which they are drawn.
func visual(s string) string {
	if !strings.ContainsFunc(s, func(r rune) bool {
		return unicode.In(r, unicode.Hebrew, unicode.Arabic, unicode.Syriac, unicode.Thaana)
	}) {
		return s
	}
	var p bidi.Paragraph
	if _, err := p.SetString(s); err != nil {
		return s
	}
	o, err := p.Order()
	if err != nil {
		return s
	}
	var b strings.Builder
	for i := range o.NumRuns() {
		r := o.Run(i)
		if r.Direction() == bidi.RightToLeft {
			b.WriteString(bidi.ReverseString(r.String()))
		} else {
			b.WriteString(r.String())
		}
	}
	return b.String()
}

// joined are scripts whose letters change shape beside one another, which is not done here.
var joined = []*unicode.RangeTable{unicode.Arabic, unicode.Syriac, unicode.Devanagari, unicode.Bengali, unicode.Gujarati,
	unicode.Gurmukhi, unicode.Kannada, unicode.Malayalam, unicode.Oriya, unicode.Tamil, unicode.Telugu, unicode.Sinhala, unicode.Khmer, unicode.Myanmar}
