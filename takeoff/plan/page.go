package plan

import (
	"fmt"
	"slices"
	"strings"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/geom"
)

// Page is what stands on one drawing, read once however many plans show it.
type Page struct {
	Drawing *dxf.Drawing
	Inserts []dxf.Insert
	Symbols []geom.Box // box around each insert's symbol, drawing units
	Texts   []dxf.Text
	Shapes  []dxf.Shape
	Notes   []dxf.Finding
	// byBlock lists the inserts of model space by block as stored, outermost ones only.
	byBlock map[string][]int
}

// Open opens a drawing and lists what is on it.
func Open(path string) (*Page, error) {
	d, err := edit.Open(path)
	if err != nil {
		return nil, fmt.Errorf("plan %w", err) // it begins with the name
	}
	p, err := New(d)
	if err != nil {
		d.Close()
		return nil, fmt.Errorf("plan %w", err)
	}
	return p, nil
}

// Of makes a page of inserts and texts that were read already.
func Of(d *dxf.Drawing, inserts []dxf.Insert, texts []dxf.Text) *Page {
	p := &Page{Drawing: d, Inserts: inserts, Texts: texts, Symbols: make([]geom.Box, len(inserts))}
	for i := range inserts {
		p.Symbols[i] = symbolBox(d, &inserts[i])
	}
	return p
}

// New lists what is on a drawing that is open.
func New(d *dxf.Drawing) (*Page, error) {
	inserts, notes, err := d.Inserts(dxf.Options{Paper: true})
	if err != nil {
		return nil, err
	}
	texts, more, err := d.Texts(dxf.Options{Paper: true})
	if err != nil {
		return nil, err
	}
	p := Of(d, inserts, texts)
	var shapeNotes []dxf.Finding
	if p.Shapes, shapeNotes, err = d.Shapes(dxf.Options{Keep: lineWork}); err != nil {
		return nil, err
	}
	p.Notes = slices.Clone(d.Findings)
	for _, f := range slices.Concat(notes, more, shapeNotes) { // the three lists report the same faults of the inserts around them
		if !slices.Contains(p.Notes, f) {
			p.Notes = append(p.Notes, f)
		}
	}
	p.byBlock = map[string][]int{}
	for i := range p.Inserts {
		if in := &p.Inserts[i]; len(in.Path) == 0 && !in.Paper {
			p.byBlock[in.Block] = append(p.byBlock[in.Block], i)
		}
	}
	return p, nil
}

// lineWork leaves out what neither bounds a room nor makes a symbol: fills and free-form curves.
func lineWork(_ string, k dxf.ShapeKind) bool {
	switch k {
	case dxf.LineShape, dxf.PolylineShape, dxf.ArcShape, dxf.CircleShape:
		return true
	}
	return false
}

func At(v dxf.Vec3) geom.Point { return geom.Pt(v.X, v.Y) }

// symbolBox is the box around an insert's block on the drawing.
func symbolBox(d *dxf.Drawing, in *dxf.Insert) geom.Box {
	e := d.BlockExtent(in.Block)
	if e.Empty {
		return geom.BoxOf(At(in.Pos))
	}
	b := geom.EmptyBox()
	for _, x := range []float64{e.Min.X, e.Max.X} {
		for _, y := range []float64{e.Min.Y, e.Max.Y} {
			at := in.Transform.Apply(dxf.Vec3{X: x, Y: y})
			if !at.Drawable() { // a scale that no symbol has
				return geom.BoxOf(At(in.Pos))
			}
			b = b.Extend(At(at))
		}
	}
	return b
}

// TextCorners are the corners of a text. It wraps between words only, however
// narrow its column: a letter in a bubble is one line.
func TextCorners(t *dxf.Text) [4]dxf.Vec3 {
	u := *t
	u.Lines = max(1+strings.Count(t.Text, "\n"), min(t.Lines, len(strings.Fields(t.Text))))
	return u.Box()
}

// TextBox is the box around a text.
func TextBox(t *dxf.Text) geom.Box {
	b := geom.EmptyBox()
	for _, v := range TextCorners(t) {
		b = b.Extend(At(v))
	}
	return b
}

// Outermost returns the handle that a person can pick for something drawn
// inside blocks: that of the insert in model space around it.
func (p *Page) Outermost(path []string, own dxf.Handle, at geom.Point) dxf.Handle {
	if len(path) == 0 {
		return own
	}
	var best dxf.Handle
	size := 0.0
	for _, i := range p.byBlock[path[0]] {
		if b := p.Symbols[i]; b.Contains(at) && (best == 0 || b.Area() < size) {
			best, size = p.Inserts[i].Handle, b.Area()
		}
	}
	if best == 0 {
		return own
	}
	return best
}

// PaperShapes lists the linework of paper space. Where that is more than can be listed it lists none.
func (p *Page) PaperShapes() []dxf.Shape {
	shapes, _, err := p.Drawing.Shapes(dxf.Options{Paper: true, Keep: lineWork})
	if err != nil {
		return nil
	}
	return slices.DeleteFunc(shapes, func(s dxf.Shape) bool { return !s.Paper })
}

// Fills lists the visible filled areas of model space: hatches and solids. Where that is more than can be listed it lists none.
func (p *Page) Fills() []dxf.Shape {
	shapes, _, err := p.Drawing.Shapes(dxf.Options{Keep: func(_ string, k dxf.ShapeKind) bool {
		return k == dxf.HatchShape || k == dxf.SolidShape || k == dxf.FaceShape
	}})
	if err != nil {
		return nil
	}
	return slices.DeleteFunc(shapes, func(s dxf.Shape) bool { return !s.Visible || !s.Closed })
}
