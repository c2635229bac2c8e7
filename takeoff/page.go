package takeoff

import (
	"fmt"
	"slices"
	"strings"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
)

// page is what stands on one drawing, read once however many plans show it.
type page struct {
	drawing *dxf.Drawing
	inserts []dxf.Insert
	symbols []geom.Box // box around each insert's symbol, drawing units
	texts   []dxf.Text
	shapes  []dxf.Shape
	notes   []dxf.Finding
	// byBlock lists the inserts of model space by block as stored, outermost ones only.
	byBlock map[string][]int
}

// openPage opens a drawing and lists what is on it.
func openPage(name, path string) (*page, error) {
	d, err := dxf.Open(path)
	if err != nil {
		return nil, fmt.Errorf("plan %w", err) // it begins with the name
	}
	p, err := newPage(d)
	if err != nil {
		d.Close()
		return nil, fmt.Errorf("plan %w", err)
	}
	return p, nil
}

// pageOf makes a page of inserts and texts that were read already.
func pageOf(d *dxf.Drawing, inserts []dxf.Insert, texts []dxf.Text) *page {
	p := &page{drawing: d, inserts: inserts, texts: texts, symbols: make([]geom.Box, len(inserts))}
	for i := range inserts {
		p.symbols[i] = symbolBox(d, &inserts[i])
	}
	return p
}

// newPage lists what is on a drawing that is open.
func newPage(d *dxf.Drawing) (*page, error) {
	inserts, notes, err := d.Inserts(dxf.Options{Paper: true})
	if err != nil {
		return nil, err
	}
	texts, more, err := d.Texts(dxf.Options{Paper: true})
	if err != nil {
		return nil, err
	}
	p := pageOf(d, inserts, texts)
	var shapeNotes []dxf.Finding
	if p.shapes, shapeNotes, err = d.Shapes(dxf.Options{Keep: lineWork}); err != nil {
		return nil, err
	}
	p.notes = slices.Clone(d.Findings)
	for _, f := range slices.Concat(notes, more, shapeNotes) { // the three lists report the same faults of the inserts around them
		if !slices.Contains(p.notes, f) {
			p.notes = append(p.notes, f)
		}
	}
	p.byBlock = map[string][]int{}
	for i := range p.inserts {
		if in := &p.inserts[i]; len(in.Path) == 0 && !in.Paper {
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

func plane(v dxf.Vec3) geom.Point { return geom.Pt(v.X, v.Y) }

// symbolBox is the box around an insert's block on the drawing.
func symbolBox(d *dxf.Drawing, in *dxf.Insert) geom.Box {
	e := d.BlockExtent(in.Block)
	if e.Empty {
		return geom.BoxOf(plane(in.Pos))
	}
	b := geom.EmptyBox()
	for _, x := range []float64{e.Min.X, e.Max.X} {
		for _, y := range []float64{e.Min.Y, e.Max.Y} {
			b = b.Extend(plane(in.Transform.Apply(dxf.Vec3{X: x, Y: y})))
		}
	}
	return b
}

// textCorners are the corners of a text. It wraps between words only, however
// narrow its column: a letter in a bubble is one line.
func textCorners(t *dxf.Text) [4]dxf.Vec3 {
	u := *t
	u.Lines = max(1+strings.Count(t.Text, "\n"), min(t.Lines, len(strings.Fields(t.Text))))
	return u.Box()
}

// textBox is the box around a text.
func textBox(t *dxf.Text) geom.Box {
	b := geom.EmptyBox()
	for _, v := range textCorners(t) {
		b = b.Extend(plane(v))
	}
	return b
}

// outermost returns the handle that a person can pick for something drawn
// inside blocks: that of the insert in model space around it.
func (p *page) outermost(path []string, own dxf.Handle, at geom.Point) dxf.Handle {
	if len(path) == 0 {
		return own
	}
	var best dxf.Handle
	size := 0.0
	for _, i := range p.byBlock[path[0]] {
		if b := p.symbols[i]; b.Contains(at) && (best == 0 || b.Area() < size) {
			best, size = p.inserts[i].Handle, b.Area()
		}
	}
	if best == 0 {
		return own
	}
	return best
}
