package sheet

import (
	"fmt"

	"codeberg.org/go-pdf/fpdf"
)

// stamp is a drawing that stands in many places and is in the file once (a form
// XObject, ISO 32000-1, 8.10).
type stamp struct {
	fpdf.Template
	id string // the library makes it of all of the drawing, each time
}

// ID names the drawing within the file.
func (s stamp) ID() string { return s.id }

// stamp puts a drawing of the given size on the page with its top left at x, y.
// What it is called says all that its look depends on: the first call for a name
// draws it. What draw lays outside of the size is cut off; form fields it may not lay.
func (p *pen) stamp(name string, x, y float64, area size, draw func()) {
	s, ok := p.stamps[name]
	if !ok {
		page, set := p.Fpdf, p.set
		t := p.CreateTemplateCustom(fpdf.PointType{}, fpdf.SizeType{Wd: area.w, Ht: area.h}, func(t *fpdf.Tpl) {
			p.Fpdf = &t.Fpdf
			p.forget()
			p.SetDrawColor(0, 0, 0) // it must not depend on what the page was set to
			p.SetFillColor(0, 0, 0)
			draw()
		})
		p.Fpdf, p.set = page, set
		s = stamp{t, fmt.Sprint(len(p.stamps) + 1)}
		p.stamps[name] = s
	}
	p.UseTemplateScaled(s, fpdf.PointType{X: x, Y: y}, fpdf.SizeType{Wd: area.w, Ht: area.h})
}
