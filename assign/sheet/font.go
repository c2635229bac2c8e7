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

// Check reports what keeps a font from being used: it is set and written once,
// so that a damaged one is reported before a job is drawn with it.
func (f *Font) Check() (err error) {
	defer f.blame(&err)
	p, err := newPen(Job{Font: f}, "")
	if err != nil {
		return err
	}
	p.AddPage()
	for i := range p.faces {
		p.use(i, style{size: 9})
		p.Text(9, 9, "0 A a")
	}
	_, err = p.document()
	return err
}

// blame turns a panic of the drawing library into an error about the font: it
// reads the tables of a font as they claim to be.
func (f *Font) blame(err *error) {
	if f == nil {
		return
	}
	if p := recover(); p != nil {
		*err = fmt.Errorf("font %s is damaged: %v", f.Name, p)
	}
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
	return fmt.Errorf("font %s is not a TrueType font", f.Name)
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
		return r >= firstElsewhere && unicode.In(r, unicode.Hebrew, unicode.Arabic, unicode.Syriac, unicode.Thaana)
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

// firstElsewhere is the first letter of a script that runs to the left or joins:
// Latin, Greek, Cyrillic and Armenian come before it.
const firstElsewhere = '\u0590'

// joins reports whether a letter is of a script whose letters join.
func joins(r rune) bool { return r >= firstElsewhere && unicode.In(r, joined...) }

// joined are scripts whose letters change shape beside one another, which is not done here.
var joined = []*unicode.RangeTable{unicode.Arabic, unicode.Syriac, unicode.Devanagari, unicode.Bengali, unicode.Gujarati,
	unicode.Gurmukhi, unicode.Kannada, unicode.Malayalam, unicode.Oriya, unicode.Tamil, unicode.Telugu, unicode.Sinhala, unicode.Khmer, unicode.Myanmar}
