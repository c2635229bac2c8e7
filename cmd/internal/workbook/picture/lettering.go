package picture

import (
	"image"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"

	"loopwright/takeoff/geom"
)

// lettering is a font of one size whose letters are drawn once and kept: a
// building has thousands of marks and some forty different letters.
type lettering struct {
	face   font.Face
	glyphs map[rune]glyph
}

// glyph is one letter in pixels from its origin on the baseline.
type glyph struct {
	box     image.Rectangle
	cover   []uint8 // row by row
	advance fixed.Int26_6
}

// letters are the fonts of pictures.
type letters struct{ bold, plain *lettering }

func newLetters(size float64) (letters, error) {
	face := func(ttf []byte) (*lettering, error) {
		f, err := opentype.Parse(ttf)
		if err != nil {
			return nil, err
		}
		x, err := opentype.NewFace(f, &opentype.FaceOptions{Size: size, DPI: 72, Hinting: font.HintingFull})
		return &lettering{x, map[rune]glyph{}}, err
	}
	bold, err := face(gobold.TTF)
	if err != nil {
		return letters{}, err
	}
	plain, err := face(goregular.TTF)
	return letters{bold, plain}, err
}

func (l *lettering) glyph(r rune) glyph {
	if g, ok := l.glyphs[r]; ok {
		return g
	}
	box, mask, from, advance, _ := l.face.Glyph(fixed.Point26_6{}, r) // a letter that the font lacks is its empty box
	g := glyph{box: box, advance: advance}
	for y := range box.Dy() {
		for x := range box.Dx() {
			_, _, _, a := mask.At(from.X+x, from.Y+y).RGBA()
			g.cover = append(g.cover, uint8(a>>8))
		}
	}
	l.glyphs[r] = g
	return g
}

// width is how wide words are set, in pixels.
func (l *lettering) width(words string) float64 {
	var w fixed.Int26_6
	for _, r := range words {
		w += l.glyph(r).advance
	}
	return float64(w) / 64
}

// write sets a text with its baseline starting at a point.
func (c *canvas) write(l *lettering, words string, at geom.Point, k Ink) {
	pen := fixed.I(int(at.X + 0.5))
	base := int(at.Y + 0.5)
	for _, r := range words {
		g := l.glyph(r)
		wide := g.box.Dx()
		for i, cover := range g.cover {
			if cover > 0 {
				c.blend(pen.Round()+g.box.Min.X+i%wide, base+g.box.Min.Y+i/wide, k, float64(cover)/255)
			}
		}
		pen += g.advance
	}
}
