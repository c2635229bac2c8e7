package takeoff

import (
	"fmt"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
)

// files keeps the drawings of a job open, each once however many plans it shows.
type files struct {
	folder string
	byName map[string]*dxf.Drawing
	told   map[string]bool // drawings whose own findings were reported
}

func newFiles(folder string) *files {
	return &files{folder: folder, byName: map[string]*dxf.Drawing{}, told: map[string]bool{}}
}

func (f *files) open(name string) (*dxf.Drawing, error) {
	if d, ok := f.byName[name]; ok {
		return d, nil
	}
	d, err := dxf.Open(f.path(name))
	if err != nil {
		return nil, fmt.Errorf("plan %s: %w", name, err)
	}
	f.byName[name] = d
	return d, nil
}

func (f *files) close() {
	for _, d := range f.byName {
		d.Close()
	}
}

// fileFindings passes on what reading a drawing reported, once for each drawing.
func (t *taker) fileFindings(name string, d *dxf.Drawing) {
	if t.files.told[name] {
		return
	}
	t.files.told[name] = true
	t.passOn(name, d.Findings)
}

// passOn turns findings of the reader into findings of the takeoff: code Dnnn becomes Fnnn.
func (t *taker) passOn(name string, fs []dxf.Finding) {
	for _, f := range fs {
		t.find(FromDrawing(name, f))
	}
}

// FromDrawing turns a finding of the reader into a Finding: code D101 becomes F101.
func FromDrawing(name string, f dxf.Finding) Finding {
	g := Finding{Code: "F" + f.Code[1:], Message: f.Message, Drawing: name, Handle: f.Handle, At: geom.Pt(f.X, f.Y), Placed: f.HasPlace}
	switch f.Severity {
	case dxf.Error:
		g.Severity = Error
	case dxf.Warning:
		g.Severity = Warning
	}
	if f.Line > 0 {
		g.Message += fmt.Sprintf(" (line %d)", f.Line)
	}
	return g
}
