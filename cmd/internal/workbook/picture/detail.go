package picture

import (
	"math"
	"strings"

	"loopwright/takeoff/geom"
)

// Label is one line of lettering in a detail.
type Label struct {
	Words  string
	At     geom.Point // its middle, drawing units
	Height float64    // drawing units
}

// The size of a detail and of its lettering, in pixels.
const (
	DetailSide              = 112
	leastLetter, mostLetter = 5, 60
)

// Detail draws a square part of a drawing small, as a PNG of DetailSide pixels: the
// lines and the lettering in a window.
func (p *Painter) Detail(window geom.Box, lines [][]geom.Point, labels []Label) ([]byte, error) {
	c := newCanvas(DetailSide, DetailSide, p.pixels)
	p.pixels = c.pix
	scale := DetailSide / max(window.Width(), window.Height())
	x := picture{canvas: c, window: window, scale: scale, high: DetailSide}
	for _, l := range lines {
		for i := 1; i < len(l); i++ {
			x.line(x.place(l[i-1]), x.place(l[i]), 1.3, 0x20)
		}
	}
	for _, l := range labels {
		size := int(math.Round(l.Height * scale * capitals))
		if size < leastLetter || size > mostLetter {
			continue
		}
		font, err := p.sized(size)
		if err != nil {
			return nil, err
		}
		words, _, _ := strings.Cut(l.Words, "\n")
		at := x.place(l.At)
		x.write(font, words, at.Add(geom.Pt(-font.width(words)/2, float64(size)/capitals/2)), Black)
	}
	return x.png()
}

// capitals is the size of a font as a multiple of the height of its capitals.
const capitals = 1.38

// sized is the plain lettering of a size in pixels, made when first asked for.
func (p *Painter) sized(size int) (*lettering, error) {
	if l := p.sizes[size]; l != nil {
		return l, nil
	}
	font, err := newLetters(float64(size))
	if err != nil {
		return nil, err
	}
	if p.sizes == nil {
		p.sizes = map[int]*lettering{}
	}
	p.sizes[size] = font.plain
	return font.plain, nil
}
