package picture

import (
	"math"
	"slices"

	"loopwright/takeoff/geom"
)

// canvas is a picture in pixels, y downward. A pixel is an index into the
// palette (palette.go), a byte: a plan has millions.
type canvas struct {
	pix  []uint8
	w, h int
}

// newCanvas is an empty picture, in the memory of an earlier one if that is large enough.
func newCanvas(w, h int, earlier []uint8) *canvas {
	pix := slices.Grow(earlier[:0], w*h)[:w*h]
	clear(pix) // index 0 is paper
	return &canvas{pix, w, h}
}

// blend lays an Ink over a pixel with the given cover, 0 to 1.
func (c *canvas) blend(x, y int, k Ink, cover float64) {
	if x < 0 || y < 0 || x >= c.w || y >= c.h || cover <= 0 {
		return
	}
	p := &c.pix[y*c.w+x]
	*p = over(*p, k, cover)
}

// darken is blend for linework: where lines cross, the darker one shows and
// they do not add up, so that hatches stay light.
func (c *canvas) darken(x, y int, grey uint8, cover float64) {
	if x < 0 || y < 0 || x >= c.w || y >= c.h || cover <= 0 {
		return
	}
	v := greyIndex(grey, cover)
	if p := &c.pix[y*c.w+x]; *p < greys && v > *p {
		*p = v
	}
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
func (c *canvas) dot(at geom.Point, radius float64, k Ink) {
	r := int(radius) + 2
	for y := int(at.Y) - r; y <= int(at.Y)+r; y++ {
		for x := int(at.X) - r; x <= int(at.X)+r; x++ {
			c.blend(x, y, k, radius+0.5-geom.Pt(float64(x)+0.5, float64(y)+0.5).Sub(at).Len())
		}
	}
}

// pill draws a filled rectangle with round ends.
func (c *canvas) pill(box geom.Box, k Ink) {
	radius := box.Height() / 2
	left, right := box.Min.X+radius, max(box.Min.X+radius, box.Max.X-radius)
	middle := box.Center().Y
	from, to := int(math.Ceil(left-0.5)), int(math.Floor(right-0.5)) // columns between the ends
	for y := max(0, int(box.Min.Y)-1); y <= min(c.h-1, int(box.Max.Y)+1); y++ {
		dy := math.Abs(float64(y) + 0.5 - middle)
		if cover := radius + 0.5 - dy; cover >= 1 && from <= to {
			row := c.pix[y*c.w+min(max(from, 0), c.w) : y*c.w+max(0, min(to+1, c.w))]
			for i := range row {
				row[i] = shade(k, 1)
			}
		} else {
			for x := from; x <= to; x++ {
				c.blend(x, y, k, cover)
			}
		}
		for x := int(box.Min.X) - 1; x < from; x++ {
			c.blend(x, y, k, radius+0.5-math.Hypot(left-float64(x)-0.5, dy))
		}
		for x := max(from, to+1); x <= int(box.Max.X)+1; x++ {
			c.blend(x, y, k, radius+0.5-math.Hypot(float64(x)+0.5-right, dy))
		}
	}
}
