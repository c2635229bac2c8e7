package workbook

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"

	"loopwright/takeoff/geom"
)

// canvas is a picture in pixels, y downward.
type canvas struct {
	*image.RGBA
	w, h int
}

func newCanvas(w, h int) *canvas {
	c := &canvas{image.NewRGBA(image.Rect(0, 0, w, h)), w, h}
	for i := range c.Pix {
		c.Pix[i] = 0xFF
	}
	return c
}

// blend lays a colour over a pixel with the given cover, 0 to 1.
func (c *canvas) blend(x, y int, ink color.RGBA, cover float64) {
	if x < 0 || y < 0 || x >= c.w || y >= c.h || cover <= 0 {
		return
	}
	cover = min(1, cover)
	p := c.Pix[c.PixOffset(x, y):]
	p[0] = mix(p[0], ink.R, cover)
	p[1] = mix(p[1], ink.G, cover)
	p[2] = mix(p[2], ink.B, cover)
}

// darken is blend for linework: where lines cross, the darker one shows and
// they do not add up, so that hatches stay light.
func (c *canvas) darken(x, y int, grey uint8, cover float64) {
	if x < 0 || y < 0 || x >= c.w || y >= c.h || cover <= 0 {
		return
	}
	p := c.Pix[c.PixOffset(x, y):]
	v := mix(0xFF, grey, min(1, cover))
	if v < p[0] {
		p[0], p[1], p[2] = v, v, v
	}
}

func mix(under, over uint8, cover float64) uint8 {
	return uint8(float64(under) + (float64(over)-float64(under))*cover + 0.5)
}

// line draws a straight line of a width in pixels.
func (c *canvas) line(a, b geom.Point, width float64, grey uint8) {
	box := geom.Box{Min: geom.Pt(-width, -width), Max: geom.Pt(float64(c.w)+width, float64(c.h)+width)}
	a, b, ok := clip(a, b, box)
	if !ok {
		return
	}
	d := b.Sub(a)
	length := d.Len()
	if length < 1e-9 {
		c.darken(int(a.X), int(a.Y), grey, width)
		return
	}
	// Walk along the longer axis; across it, cover falls off with the distance from the line.
	steep := math.Abs(d.Y) > math.Abs(d.X)
	from, to := a, b
	if steep {
		from, to = geom.Pt(a.Y, a.X), geom.Pt(b.Y, b.X)
	}
	if from.X > to.X {
		from, to = to, from
	}
	slope := 0.0
	if to.X > from.X {
		slope = (to.Y - from.Y) / (to.X - from.X)
	}
	lean := math.Sqrt(1 + slope*slope)
	reach := int(math.Ceil(width/2*lean)) + 1
	for x := int(math.Floor(from.X)); x <= int(math.Floor(to.X)); x++ {
		y := from.Y + slope*(min(max(float64(x)+0.5, from.X), to.X)-from.X)
		for k := int(math.Floor(y)) - reach; k <= int(math.Floor(y))+reach; k++ {
			cover := width/2 + 0.5 - math.Abs(float64(k)+0.5-y)/lean
			if steep {
				c.darken(k, x, grey, cover)
			} else {
				c.darken(x, k, grey, cover)
			}
		}
	}
}

// clip cuts a line to a box (Liang and Barsky's way), and reports whether any of it is left.
func clip(a, b geom.Point, box geom.Box) (geom.Point, geom.Point, bool) {
	d := b.Sub(a)
	from, to := 0.0, 1.0
	for _, e := range [4][2]float64{{-d.X, a.X - box.Min.X}, {d.X, box.Max.X - a.X}, {-d.Y, a.Y - box.Min.Y}, {d.Y, box.Max.Y - a.Y}} {
		switch p, q := e[0], e[1]; {
		case p == 0 && q < 0:
			return a, b, false
		case p < 0:
			from = max(from, q/p)
		case p > 0:
			to = min(to, q/p)
		}
	}
	if !(from <= to) { // also where a coordinate is no number
		return a, b, false
	}
	return a.Add(d.Mul(from)), a.Add(d.Mul(to)), true
}

// dot draws a filled circle.
func (c *canvas) dot(at geom.Point, radius float64, ink color.RGBA) {
	r := int(radius) + 2
	for y := int(at.Y) - r; y <= int(at.Y)+r; y++ {
		for x := int(at.X) - r; x <= int(at.X)+r; x++ {
			c.blend(x, y, ink, radius+0.5-geom.Pt(float64(x)+0.5, float64(y)+0.5).Sub(at).Len())
		}
	}
}

// pill draws a filled rectangle with round ends.
func (c *canvas) pill(box geom.Box, ink color.RGBA) {
	radius := box.Height() / 2
	left, right := box.Min.X+radius, max(box.Min.X+radius, box.Max.X-radius)
	for y := int(box.Min.Y) - 1; y <= int(box.Max.Y)+1; y++ {
		for x := int(box.Min.X) - 1; x <= int(box.Max.X)+1; x++ {
			p := geom.Pt(float64(x)+0.5, float64(y)+0.5)
			near := geom.Pt(min(max(p.X, left), right), box.Center().Y)
			c.blend(x, y, ink, radius+0.5-p.Sub(near).Len())
		}
	}
}

// letters are the fonts of pictures.
type letters struct{ bold, plain font.Face }

func newLetters(size float64) (letters, error) {
	face := func(ttf []byte) (font.Face, error) {
		f, err := opentype.Parse(ttf)
		if err != nil {
			return nil, err
		}
		return opentype.NewFace(f, &opentype.FaceOptions{Size: size, DPI: 72, Hinting: font.HintingFull})
	}
	bold, err := face(gobold.TTF)
	if err != nil {
		return letters{}, err
	}
	plain, err := face(goregular.TTF)
	return letters{bold, plain}, err
}

// write sets a text with its baseline starting at a point.
func (c *canvas) write(f font.Face, words string, at geom.Point, ink color.RGBA) {
	d := font.Drawer{Dst: c.RGBA, Src: image.NewUniform(ink), Face: f, Dot: fixed.P(int(at.X+0.5), int(at.Y+0.5))}
	d.DrawString(words)
}

func widthOf(f font.Face, words string) float64 { return float64(font.MeasureString(f, words)) / 64 }

// png encodes the picture in a palette of greys and of the given inks, with the
// steps between an ink and white: a quarter of the bytes of true colour.
func (c *canvas) png(inks []color.RGBA) ([]byte, error) {
	var pal color.Palette
	for v := 0; v < 32; v++ {
		g := uint8(v * 255 / 31)
		pal = append(pal, color.RGBA{g, g, g, 0xFF})
	}
	for _, k := range inks {
		for _, cover := range []float64{1, 0.75, 0.5, 0.25} {
			pal = append(pal, color.RGBA{mix(0xFF, k.R, cover), mix(0xFF, k.G, cover), mix(0xFF, k.B, cover), 0xFF})
		}
	}
	out := image.NewPaletted(c.Bounds(), pal)
	index := map[[3]uint8]uint8{}
	for i := range out.Pix {
		p := c.Pix[4*i:]
		if p[0] == p[1] && p[1] == p[2] { // nearly all of a plan
			out.Pix[i] = uint8((int(p[0])*31 + 127) / 255)
			continue
		}
		k := [3]uint8{p[0], p[1], p[2]}
		v, ok := index[k]
		if !ok {
			v = uint8(pal.Index(color.RGBA{k[0], k[1], k[2], 0xFF}))
			index[k] = v
		}
		out.Pix[i] = v
	}
	var b bytes.Buffer
	err := png.Encode(&b, out)
	return b.Bytes(), err
}
