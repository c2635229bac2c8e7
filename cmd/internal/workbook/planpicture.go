package workbook

import (
	"fmt"
	"math"

	"loopwright/takeoff"
	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/words"
)

// Greys and widths of linework, in pixels.
const (
	greyLine, greyHatch, greyWall = 0xBE, 0xE4, 0x78
	widthLine, widthWall          = 0.9, 1.5
)

const (
	markSize     = 12.0 // pixels, of the letters on marks
	pictureWide  = 1600
	pictureHigh  = 1050
	pictureLimit = 400_000 // bytes
	manyMarks    = 250     // above which a picture is made larger
)

// picture is one plan being drawn.
type picture struct {
	*canvas
	window geom.Box // drawing units
	scale  float64  // pixels in a drawing unit
	high   float64  // pixels of the plan, without the legend
	font   letters
	taken  []bool // cells of marks and dots already drawn, row by row
}

func (p *picture) place(at geom.Point) geom.Point {
	return geom.Pt((at.X-p.window.Min.X)*p.scale, p.high-(at.Y-p.window.Min.Y)*p.scale)
}

// planPicture draws one plan with its devices marked, and returns its pixels as
// PNG; nil if there is nothing to draw.
func (b *book) planPicture(l takeoff.Level, sh takeoff.Sheet) (data []byte, alt string, err error) {
	devices := b.on(l, sh)
	window := b.windowOf(sh, devices)
	if window.Empty() {
		return nil, "", nil
	}
	var shapes []dxf.Shape
	if sh.Plan.Drawing != "" {
		if shapes, err = b.in.Linework(sh.Plan.Drawing); err != nil {
			return nil, "", fmt.Errorf("plan of %s: %w", l.Name, err)
		}
	}
	size := 1.0
	if len(devices) > manyMarks {
		size = 1.5
	}
	for range 4 {
		p := b.newPicture(window, size, len(b.legend(devices, window)))
		p.linework(shapes, sh.Plan)
		b.drawMarks(p, devices)
		b.drawLegend(p, devices)
		if data, err = p.png(); err != nil || len(data) < pictureLimit {
			break
		}
		size *= 0.8
	}
	return data, fmt.Sprintf("%s, %s: %d devices marked", l.Name, sh.Plan.Drawing+sh.Plan.Devices, len(devices)), err
}

const legendRow = 22.0 // pixels

func (b *book) newPicture(window geom.Box, size float64, entries int) *picture {
	scale := size * min(pictureWide/window.Width(), pictureHigh/window.Height())
	w, h := int(math.Ceil(window.Width()*scale)), math.Ceil(window.Height()*scale)
	w = max(w, 600)
	rows := math.Ceil(float64(entries) / float64(legendColumns(w)))
	c := newCanvas(w, int(h+rows*legendRow+12), b.pixels)
	b.pixels = c.pix
	return &picture{c, window, scale, h, b.letters, make([]bool, (c.w/cellSize+1)*(c.h/cellSize+1))}
}

// on lists the devices of a sheet, those that do not count included.
func (b *book) on(l takeoff.Level, sh takeoff.Sheet) []takeoff.Device {
	var out []takeoff.Device
	for _, d := range b.in.Devices {
		if d.Level != l.Name || d.Drawing != sh.Plan.Drawing+sh.Plan.Devices {
			continue
		}
		if sh.Plan.Region == nil || sh.Plan.Region.Contains(d.At) {
			out = append(out, d.Device)
		}
	}
	return out
}

// windowOf is the part of a drawing that is shown: devices that count and walls, not
// the title block, which would make everything small.
func (b *book) windowOf(sh takeoff.Sheet, devices []takeoff.Device) geom.Box {
	box := geom.EmptyBox()
	for _, d := range devices {
		if d.Status == takeoff.Counted && finite(d.At) {
			box = box.Extend(d.At)
		}
	}
	walls := geom.EmptyBox()
	if back, err := sh.ToBuilding.Inverse(); err == nil {
		for _, w := range sh.Walls {
			walls = walls.Extend(back.Apply(w.A)).Extend(back.Apply(w.B))
		}
	}
	switch {
	case box.Empty() && walls.Empty():
		box = sh.Extent
	case box.Empty():
		box = walls
	case !walls.Empty() && max(walls.Width(), walls.Height()) < 4*max(box.Width(), box.Height()):
		box = box.Union(walls)
	}
	if sh.Plan.Region != nil {
		box = geom.Box{Min: geom.Pt(max(box.Min.X, sh.Plan.Region.Min.X), max(box.Min.Y, sh.Plan.Region.Min.Y)),
			Max: geom.Pt(min(box.Max.X, sh.Plan.Region.Max.X), min(box.Max.Y, sh.Plan.Region.Max.Y))}
	}
	if box.Empty() || !finite(box.Min) || !finite(box.Max) {
		return geom.EmptyBox()
	}
	side := max(box.Width(), box.Height())
	if side == 0 {
		side = 1 / sh.MetrePer // a single place: show a metre around it
	}
	return box.Grow(0.04 * side)
}

func finite(p geom.Point) bool {
	return !math.IsNaN(p.X+p.Y) && !math.IsInf(p.X, 0) && !math.IsInf(p.Y, 0)
}

// linework draws what is on the drawing, walls darker.
func (p *picture) linework(shapes []dxf.Shape, plan takeoff.Plan) {
	wall := map[string]bool{}
	known := map[string]bool{}
	for _, s := range shapes {
		if !s.Visible || s.Paper {
			continue
		}
		if !known[s.EffLayer] {
			known[s.EffLayer] = true
			for _, w := range plan.Walls {
				wall[s.EffLayer] = wall[s.EffLayer] || words.NameFits(w, s.EffLayer)
			}
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
