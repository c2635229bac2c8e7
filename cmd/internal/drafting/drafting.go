// Package drafting adds what was decided to the architect's drawing: labels
// beside the symbols, circuits as laid, a device schedule and a riser diagram,
// all on layers of our own, with everything else left as it was.
//
// compose gathers what a drawing is to show as plain values in drawing units;
// annotate draws them and has the result checked against the original. A drawing
// that cannot be edited safely is a finding (F602) and costs only its own copy.
//
// # What is in the way
//
// Hard obstacles are texts and attributes, walls by the plan's layer patterns,
// panels, every insert no larger than 5 text heights, and our own isolator
// squares. All other lines have a price; hatches are free. A device whose block is
// larger than 15 text heights is labeled at its insertion point. What an earlier
// run drew is taken off first: a labeled copy gives the same places again.
//
// # Cable
//
// A run alone stays on its line. Where runs share a line they part by 0.7 text
// heights; those that end at a symbol choose first. A text may stand across our
// own cable, which then stops at the text: that costs more than another side of
// the symbol, less than a leader, and grows with length, so that no text lies
// along a run. Homeruns are named where they reach their first or last device,
// not at the panel, where all would crowd; circuits that change level share
// one note at the shaft.
//
// # Labels
//
// All labels are placed at once. One that finds no free place is drawn at its least
// bad one and reported (F601). Devices of appliance and 24 V circuits and isolators
// have patterns of their own. A device without an address on a signaling line
// circuit gets no label otherwise: a plain number there would be read as an address.
// Class B circuits end in EOL, on signaling lines, which end without a part, in END.
//
// # Tests
//
// One of everything is drawn on each drawing of the project, taken off again
// (same bytes) and drawn twice (same bytes). The dense plans count overlaps by
// separating axes and share no code with the placing. To see those plans:
//
//	LOOPWRIGHT_KEEP=DIR go test -run Dense ./cmd/internal/drafting
package drafting

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strings"

	"loopwright/takeoff"
	"loopwright/takeoff/dxf"
	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/dxf/verify"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/label"
)

// The codes of findings about what is drawn and written.
const (
	codeNoPlace   = "F601" // a label that stands nowhere without covering something
	codeNotOurs   = "F602" // a drawing that cannot be edited safely
	codeAttribute = "F603" // an attribute of the architect's symbol that was changed
	codeLayerHad  = "F604" // a layer name that the drawing has already
	codeNoAttrib  = "F605" // attributes that could not be changed; texts were placed instead
)

// Annotated is a labeled drawing and how it came out.
type Annotated struct {
	Bytes      []byte
	Labels     int // texts that looked for a place
	WithLeader int
	Unplaced   int
	Findings   []takeoff.Finding
}

// annotate draws a sheet on a copy of its drawing. A label that finds no place
// without covering something is drawn at its least bad place and reported. An
// error means that the drawing cannot be edited safely; Refused makes a finding
// of it. What an earlier run added to the drawing is replaced.
func annotate(d *dxf.Drawing, s sheet) (Annotated, error) {
	base, err := pristine(d)
	if err != nil {
		return Annotated{}, err
	}
	sc, err := look(base, &s)
	if err != nil {
		return Annotated{}, err
	}
	into := attributesOf(base, &s)
	out, err := annotateInto(d, &s, sc, into)
	if err != nil && len(into) > 0 {
		why := err
		if out, err = annotateInto(d, &s, sc, nil); err == nil {
			out.Findings = append(out.Findings, takeoff.Finding{Code: codeNoAttrib, Severity: takeoff.Warning, Drawing: s.drawing,
				Message: fmt.Sprintf("the labels cannot be written into attribute %s and are placed beside the symbols: %v", s.attribute, why)})
		}
	}
	return out, err
}

// Refused is the finding about a drawing that cannot be annotated.
func Refused(drawing string, err error) takeoff.Finding {
	return takeoff.Finding{Code: codeNotOurs, Severity: takeoff.Error, Drawing: drawing,
		Message: fmt.Sprintf("no labeled copy of this drawing was written; everything else was: %v", err)}
}

// pristine is the drawing without what an earlier run added.
func pristine(d *dxf.Drawing) (*dxf.Drawing, error) {
	b, err := edit.Strip(d.Name, d.Bytes)
	if err != nil {
		return nil, err
	}
	if bytes.Equal(b, d.Bytes) {
		return d, nil
	}
	return dxf.Parse(d.Name, b)
}

// annotateInto draws everything; the marks named in into go into attributes.
func annotateInto(d *dxf.Drawing, s *sheet, sc *scene, into map[int]bool) (Annotated, error) {
	dr := newDraft(s, sc)
	dr.routes()
	dr.marks(into)
	res := dr.place()
	dr.aside()
	e, err := edit.Add(d, edit.Addition{Layers: dr.layers.used, Entities: dr.entities, Attribs: dr.attribs})
	if err != nil {
		return Annotated{}, err
	}
	if err := verify.Check(s.drawing, d.Bytes, e.Bytes); err != nil {
		return Annotated{}, err
	}
	out := Annotated{Bytes: e.Bytes, Labels: len(res.Placements), WithLeader: res.WithLeader, Unplaced: len(res.Placements) - res.Placed}
	out.Findings = slices.Concat(dr.unplaced(res), attributeFindings(s, e), layerFindings(s, e))
	return out, nil
}

// aside draws schedule and riser diagram beside the sheet.
func (d *draft) aside() {
	h := d.sheet.height
	drawn := slices.Clip(d.scene.drawn)
	sheet := cluster(drawn, d.middle())
	place := func(size geom.Point) geom.Point {
		p := beside(drawn, sheet, size, blockGap*h)
		drawn = append(drawn, spread(p, size))
		sheet = sheet.Union(spread(p, size))
		return p
	}
	if d.sheet.schedule != nil {
		t := d.sheet.schedule.layOut(h, sheet.Height())
		d.add(t.draw(d.base(kindTable, "", ""), place(t.measure))...)
	}
	if d.sheet.riser != nil {
		l := d.sheet.riser.layOut(h)
		d.add(l.draw(d.base(kindDiagram, "", ""), place(l.measure))...)
	}
}

// middle is the box around the devices; without any, around all that is drawn.
func (d *draft) middle() geom.Box {
	b := geom.EmptyBox()
	for _, m := range d.sheet.marks {
		b = b.Extend(m.at)
	}
	for _, p := range d.sheet.panels {
		b = b.Extend(p.at)
	}
	if b.Empty() {
		for _, o := range d.scene.drawn {
			b = b.Union(o)
		}
	}
	if b.Empty() {
		return geom.BoxOf(geom.Point{})
	}
	return b
}

func (d *draft) unplaced(res label.Result) []takeoff.Finding {
	var fs []takeoff.Finding
	for _, p := range res.Unplaced() {
		l := d.labels[p.Index]
		fs = append(fs, takeoff.Finding{Code: codeNoPlace, Severity: takeoff.Warning, Drawing: d.sheet.drawing, Handle: l.handle, At: p.Box.Center, Placed: true,
			Message: fmt.Sprintf("%s has no free space: it covers %s; move it by hand", l.what, clashes(p))})
	}
	return fs
}

func clashes(p label.Placement) string {
	n := map[label.Kind]int{}
	for _, c := range p.Clashes {
		n[c.Kind]++
	}
	var ks []string
	for k := label.WithBox; k <= label.WithText; k++ {
		if n[k] > 0 {
			ks = append(ks, fmt.Sprintf("%s (%d)", clashWords[k], n[k]))
		}
	}
	if len(ks) == 0 {
		return p.Problem
	}
	return strings.Join(ks, ", ")
}

var clashWords = map[label.Kind]string{
	label.WithBox: "a text or symbol", label.WithSegment: "a wall or cable", label.WithSymbol: "a device", label.WithText: "another label",
}

func layerFindings(s *sheet, e *edit.Result) []takeoff.Finding {
	var fs []takeoff.Finding
	for _, asked := range slices.Sorted(maps.Keys(e.Layers)) {
		written := e.Layers[asked]
		if !strings.EqualFold(asked, written) {
			fs = append(fs, takeoff.Finding{Code: codeLayerHad, Severity: takeoff.Note, Drawing: s.drawing,
				Message: fmt.Sprintf("the drawing already has a layer %s: ours is named %s; for other names change label: layers", asked, written)})
		}
	}
	return fs
}

// Codes lists the findings about what is drawn into the plans.
func Codes() []takeoff.Code {
	return []takeoff.Code{
		{Code: codeNoPlace, Meaning: "a label covers something, as there is no free place for it", Remedy: "move it in a CAD program"},
		{Code: codeNotOurs, Meaning: "a drawing cannot be edited safely, so nothing was added to it", Remedy: "do what the message says, save the drawing and build again"},
		{Code: codeAttribute, Meaning: "an attribute of the architect's symbol was changed", Remedy: "nothing; the message names the old value"},
		{Code: codeLayerHad, Meaning: "the drawing has a layer of the name already", Remedy: "name other layers with label: layers, if they are not to mix"},
		{Code: codeNoAttrib, Meaning: "attributes could not be changed, so texts were placed instead", Remedy: "check the texts on the labeled drawing"},
	}
}
