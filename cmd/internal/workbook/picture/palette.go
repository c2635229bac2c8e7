package picture

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
)

// Ink is what a mark is drawn in: an index into inks, or one of those below.
type Ink uint8

const (
	paper Ink = 0xFF
	Black Ink = 0xFE
)

// inks tell the types apart beside their letters; all are dark enough for white
// letters and for a black-and-white printer. Further types begin again.
var inks = []color.RGBA{
	{0x1F, 0x4E, 0x79, 0xFF}, {0x8A, 0x1C, 0x1C, 0xFF}, {0x2E, 0x6B, 0x34, 0xFF}, {0x6B, 0x3F, 0x87, 0xFF}, {0x8F, 0x52, 0x00, 0xFF}, {0x0F, 0x6E, 0x6E, 0xFF},
	{0x5A, 0x46, 0x32, 0xFF}, {0x9C, 0x2F, 0x6B, 0xFF}, {0x3D, 0x4A, 0x57, 0xFF}, {0x5B, 0x6B, 0x00, 0xFF}, {0x2A, 0x2A, 0x72, 0xFF}, {0x7A, 0x3B, 0x10, 0xFF},
}

// The palette: greys from paper to Black, then each Ink in so many tints.
const (
	greys = 32
	tints = 4
)

// Nth is the ink of the i-th kind of mark, counted from 0.
func Nth(i int) Ink { return Ink(i % len(inks)) }

// palette lists the colours of the indices.
func palette() color.Palette {
	var p color.Palette
	for i := range greys {
		v := uint8(255 - i*255/(greys-1))
		p = append(p, color.RGBA{v, v, v, 0xFF})
	}
	for _, k := range inks {
		for t := 1; t <= tints; t++ {
			toward := func(v uint8) uint8 { return uint8(255 - (255-int(v))*t/tints) }
			p = append(p, color.RGBA{toward(k.R), toward(k.G), toward(k.B), 0xFF})
		}
	}
	return p
}

// greyIndex is the index of a grey laid on paper with a cover.
func greyIndex(grey uint8, cover float64) uint8 {
	return uint8((255-float64(grey))/255*(greys-1)*min(1, cover) + 0.5)
}

// shade is the index of an Ink in a strength from 0 to 1.
func shade(k Ink, strength float64) uint8 {
	if k == paper {
		return 0
	}
	if k == Black {
		return greyIndex(0x1F, strength)
	}
	n := uint8(strength*tints + 0.5)
	if n == 0 {
		return 0
	}
	return greys + tints*uint8(k) + n - 1
}

// shadeOf is the Ink of an index and its strength.
func shadeOf(index uint8) (Ink, float64) {
	if index < greys {
		return Black, min(1, float64(index)/float64(greyIndex(0x1F, 1)))
	}
	index -= greys
	return Ink(index / tints), float64(index%tints+1) / tints
}

// over is what a pixel becomes when an Ink is laid over it with a cover.
func over(under uint8, k Ink, cover float64) uint8 {
	if cover >= 1 || under == 0 {
		return shade(k, min(1, cover))
	}
	below, strength := shadeOf(under)
	switch {
	case k == paper:
		return shade(below, strength*(1-cover))
	case k == below:
		return shade(k, cover+(1-cover)*strength)
	case cover >= 0.5:
		return shade(k, cover)
	}
	return under // no colour stands for a mixture of two inks
}

// png encodes the picture. The fastest level of compression is the right one: on
// plans, which are nearly all paper, the next saves 2 % and takes three times as long.
func (c *canvas) png() ([]byte, error) {
	img := &image.Paletted{Pix: c.pix, Stride: c.w, Rect: image.Rect(0, 0, c.w, c.h), Palette: palette()}
	var b bytes.Buffer
	e := png.Encoder{CompressionLevel: png.BestSpeed}
	err := e.Encode(&b, img)
	return b.Bytes(), err
}
