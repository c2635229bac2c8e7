package takeoff

import (
	"fmt"
	"strings"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
)

// fileFindings passes on what reading the drawings reported, once for each
// drawing, in the job's order.
func (t *taker) fileFindings() {
	told := map[string]bool{}
	for _, p := range t.req.Plans {
		if p.Drawing == "" || told[p.Drawing] {
			continue
		}
		told[p.Drawing] = true
		for _, f := range t.files.byName[p.Drawing].Notes {
			t.find(FromDrawing(p.Drawing, f))
		}
	}
}

// FromDrawing turns a finding of the reader into a Finding: code D101 becomes
// F101. What is more than a note says what to do.
func FromDrawing(name string, f dxf.Finding) Finding {
	g := Finding{Code: fromDrawing(f.Code), Severity: f.Severity, Message: f.Message, Drawing: name, Handle: f.Handle, At: geom.Pt(f.X, f.Y), Placed: f.HasPlace}
	if do := dxf.Advice(f.Code); f.Severity != Note && !strings.Contains(f.Message, do) {
		g.Message += ": " + do
	}
	if f.Line > 0 {
		g.Message += fmt.Sprintf(" (line %d)", f.Line)
	}
	return g
}

// fromDrawing is the code under which a finding of the reader is told.
func fromDrawing(code string) string { return "F" + code[1:] }
