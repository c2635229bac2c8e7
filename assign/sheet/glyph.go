package sheet

import (
	"golang.org/x/image/font/sfnt"
)

// run is a piece of text in one face; face < 0 where no font has its letters.
type run struct {
	face int
	text string
}

// glyph is how a letter is set.
type glyph struct {
	face int    // the first that has it; -1 for none
	wide [2]int // regular and bold, thousandths of the text's size
}

// glyph looks a letter up once and remembers it.
func (p *pen) glyph(r rune) glyph {
	if g, ok := p.glyphs[r]; ok {
		return g
	}
	g := glyph{face: -1, wide: [2]int{hollow, hollow}}
	var buf sfnt.Buffer
	for i, f := range p.faces {
		if n, err := f.cover.GlyphIndex(&buf, r); err != nil || n == 0 || r > 0xFFFF {
			continue
		}
		g.face = i
		for k, cut := range []string{"", "B"} {
			if f.bold || cut == "" {
				p.SetFont(f.family, cut, 1)
			}
			g.wide[k] = p.GetStringSymbolWidth(string(r))
		}
		p.forget()
		break
	}
	p.glyphs[r] = g
	return g
}

// runs splits a text by the first face that has each letter, in the order in
// which letters stand on the line.
func (p *pen) runs(s string) []run {
	s = visual(clean(s))
	var out []run
	start, face := 0, 0
	for i, r := range s {
		f := p.glyph(r).face
		if i > 0 && f != face {
			out = append(out, run{face, s[start:i]})
			start = i
		}
		face = f
	}
	if s != "" {
		out = append(out, run{face, s[start:]})
	}
	return out
}

// thousandths is how wide a text comes out, in thousandths of its size.
func (p *pen) thousandths(s string, bold bool) int {
	cut := 0
	if bold {
		cut = 1
	}
	w := 0
	for _, r := range clean(s) {
		w += p.glyph(r).wide[cut]
	}
	return w
}
