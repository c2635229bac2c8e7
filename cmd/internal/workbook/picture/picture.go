// Package picture draws a plan in pixels for the workbook: what the architect drew in
// greys, a dot and a mark for every device, a cross for every symbol that does not
// count, and a legend below. Same plan, same bytes.
package picture

import (
	"math"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
)

// Plan is what one picture shows. Places are drawing units, y upward.
type Plan struct {
	Window geom.Box // the part of the drawing that is shown
	Shapes []dxf.Shape
	Wall   func(layer string) bool // whether a layer holds walls, which are drawn darker
	Spots  []Spot
	Legend []Entry
}

// Spot is a place with its mark: a dot and the mark beside it.
type Spot struct {
	At   geom.Point
	Mark string // "" for what does not count: it gets a cross
	Ink  Ink
}

// Entry is one line of the legend.
type Entry struct {
	Mark  string // as that of Spot
	Words string
	Ink   Ink
}

// Greys and widths of linework, in pixels.
const (
	greyLine, greyHatch, greyWall = 0xBE, 0xE4, 0x78
	widthLine, widthWall          = 0.9, 1.5
)

const (
	markSize  = 12.0 // pixels, of the letters on marks
	mostWide  = 1600
	mostHigh  = 1050
	mostBytes = 400_000
	manySpots = 250 // above which a picture is made larger
)

// Painter draws one picture after the other. It is not safe for concurrent use.
type Painter struct {
	font   letters
	pixels []uint8            // of the last picture, to be used again
	sizes  map[int]*lettering // of details, by size in pixels
}

// NewPainter makes a painter with its letters.
func NewPainter() (*Painter, error) {
	font, err := newLetters(markSize)
	return &Painter{font: font}, err
}

// PNG draws a plan. One that would take too many bytes is drawn smaller.
func (p *Painter) PNG(plan Plan) (data []byte, wide int, err error) {
	size := 1.0
	if len(plan.Spots) > manySpots {
		size = 1.5
	}
	for range 4 {
		x := p.begin(plan.Window, size, len(plan.Legend))
		x.linework(plan.Shapes, plan.Wall)
		x.spots(plan.Spots)
		x.legend(plan.Legend)
		wide = x.w
		if data, err = x.png(); err != nil || len(data) < mostBytes {
			break
		}
		size *= 0.8
	}
	return data, wide, err
}

// picture is one plan being drawn.
type picture struct {
	*canvas
	window geom.Box // drawing units
	scale  float64  // pixels in a drawing unit
	high   float64  // pixels of the plan, without the legend
	font   letters
	taken  []bool // cells of marks and dots already drawn, row by row
}

func (p *Painter) begin(window geom.Box, size float64, entries int) *picture {
	scale := size * min(mostWide/window.Width(), mostHigh/window.Height())
	w, h := int(math.Ceil(window.Width()*scale)), math.Ceil(window.Height()*scale)
	w = max(w, 600)
	rows := math.Ceil(float64(entries) / float64(legendColumns(w)))
	c := newCanvas(w, int(h+rows*legendRow+12), p.pixels)
	p.pixels = c.pix
	return &picture{c, window, scale, h, p.font, make([]bool, (c.w/cellSize+1)*(c.h/cellSize+1))}
}

func (p *picture) place(at geom.Point) geom.Point {
	return geom.Pt((at.X-p.window.Min.X)*p.scale, p.high-(at.Y-p.window.Min.Y)*p.scale)
}

// linework draws what is on the drawing, walls darker.
func (p *picture) linework(shapes []dxf.Shape, isWall func(layer string) bool) {
	wall := map[string]bool{}
	for _, s := range shapes {
		if !s.Visible || s.Paper {
			continue
		}
		if _, known := wall[s.EffLayer]; !known {
			wall[s.EffLayer] = isWall(s.EffLayer)
		}
		grey, width := uint8(greyLine), widthLine
		switch {
		case s.Kind == dxf.HatchShape:
			grey = greyHatch
		case wall[s.EffLayer]:
			grey, width = greyWall, widthWall
		}
		n := len(s.Points)
		last := n - 1
		if s.Closed {
			last = n
		}
		for i := range last {
			q, r := s.Points[i], s.Points[(i+1)%n]
			p.line(p.place(geom.Pt(q.X, q.Y)), p.place(geom.Pt(r.X, r.Y)), width, grey)
		}
	}
	// The legend's place stays free of what is drawn below the window.
	clear(p.pix[min(p.h, int(p.high))*p.w:])
}
