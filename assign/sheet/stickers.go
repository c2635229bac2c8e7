package sheet

import (
	"fmt"
	"strings"

	"codeberg.org/go-pdf/fpdf"

	"loopwright/assign"
	"loopwright/takeoff/geom"
)

// Grid is a sheet of adhesive labels, in metres.
type Grid struct {
	A4            bool // otherwise letter
	Columns, Rows int
	Size          geom.Point // of one: across, down
	Margins       geom.Point // left, top
	Pitch         geom.Point // from one to the next: across, down
	Start         int        // first place that is still free, from 1, row by row; 0 counts as 1
}

// Sticker is what the label of one device says.
type Sticker struct {
	Circuit string
	Order   int
	ID      string
	Type    string // its name
	Level   string
	Room    string
	Address int // 0 for none
	Span    int
	Points  []assign.NumberedPoint
}

const pointsPerMetre = 1000 * pointsPerMM

// validate sees that the grid holds something and that its start lies on it.
func (g Grid) validate() error {
	if g.Columns < 1 || g.Rows < 1 || g.Size.X <= 0 || g.Size.Y <= 0 {
		return fmt.Errorf("a sheet of %d x %d labels of %g x %g metres holds nothing", g.Columns, g.Rows, g.Size.X, g.Size.Y)
	}
	if n := g.Columns * g.Rows; g.Start < 0 || g.Start > n {
		return fmt.Errorf("start %d: the sheet has places 1 to %d", g.Start, n)
	}
	return nil
}

// place returns where label n of the document lies: page from 0, and its box.
func (g Grid) place(n int) (page int, at box) {
	n += max(0, g.Start-1)
	each := g.Columns * g.Rows
	page, n = n/each, n%each
	x := g.Margins.X + float64(n%g.Columns)*g.Pitch.X
	y := g.Margins.Y + float64(n/g.Columns)*g.Pitch.Y
	return page, box{x * pointsPerMetre, y * pointsPerMetre, g.Size.X * pointsPerMetre, g.Size.Y * pointsPerMetre}
}

// Labels draws one adhesive label per device, row by row over the grid, without
// any frame: print at full size.
func Labels(j Job, g Grid, stickers []Sticker) (Document, error) {
	if err := g.validate(); err != nil {
		return Document{}, err
	}
	p, err := newPen(j, "labels")
	if err != nil {
		return Document{}, err
	}
	paper := letter
	if g.A4 {
		paper = a4
	}
	circuit := ""
	for i, s := range stickers {
		page, at := g.place(i)
		for p.PageCount() <= page {
			p.AddPageFormat("P", fpdf.SizeType{Wd: paper.w, Ht: paper.h})
		}
		if s.Circuit != circuit {
			circuit = s.Circuit
			p.Bookmark(circuit, 0, at.y)
		}
		p.sticker(at, s)
	}
	if len(stickers) == 0 {
		p.AddPageFormat("P", fpdf.SizeType{Wd: paper.w, Ht: paper.h})
	}
	return p.document()
}

// usualSticker is the size for which the texts of a label are set; on others
// they grow or shrink with it.
var usualSticker = size{2.625 * 72, 72}

func (p *pen) sticker(at box, s Sticker) {
	k := min(at.w/usualSticker.w, at.h/usualSticker.h)
	pad := 6 * k
	left, top, w := at.x+pad, at.y+(at.h-60*k)/2, at.w-2*pad
	big, note := s.large()
	first := w * 0.42
	face := style{size: 36 * k, bold: true}
	if s.Address == 0 {
		face = face.at(19 * k)
	}
	p.fit(left, top+32*k, first, big, face)
	p.fit(left, top+45*k, first, note, style{size: 8.5 * k, bold: true})
	x := left + first + 6*k
	rest := w - first - 6*k
	p.fit(x, top+9*k, rest, fmt.Sprintf("%s · %d", s.Circuit, s.Order), style{size: 9.5 * k, bold: true})
	p.fit(x, top+19*k, rest, s.Type, style{size: 8 * k})
	y := top + 29*k
	for _, l := range p.wrap(s.Room, rest, 2, style{size: 8 * k, bold: true}) {
		p.fit(x, y, rest, l, style{size: 8 * k, bold: true})
		y += 9 * k
	}
	p.fit(x, y, rest, strings.Trim(s.Level+" · "+s.ID, " ·"), style{size: 7 * k})
	p.fit(left, top+58*k, w, pointsLine(s.Points), style{size: 7.5 * k})
}

// large is the text to be read from afar, and what stands under it.
func (s Sticker) large() (big, note string) {
	switch {
	case s.Address == 0:
		return s.ID, "no address"
	case s.Span > 1:
		return fmt.Sprint(s.Address), fmt.Sprintf("to %d", s.Address+s.Span-1)
	}
	return fmt.Sprint(s.Address), ""
}

func pointsLine(ps []assign.NumberedPoint) string {
	var parts []string
	for _, pt := range ps {
		parts = append(parts, strings.TrimSpace(pt.Point+" "+pt.Function+" "+pt.Event))
	}
	return strings.Join(parts, "; ")
}
