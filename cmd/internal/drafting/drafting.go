// Package drafting adds what was decided to the architect's drawing: addresses
// beside the symbols, on layers of our own, with everything else left as it was.
package drafting

import (
	"fmt"
	"strings"

	"loopwright/takeoff"
	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/label"
)

// The codes of findings about what is drawn and written.
const (
	CodeNoPlace = "F601" // a label that stands nowhere without covering something
	CodeNotOurs = "F602" // a drawing that cannot be edited safely
)

// Mark is one text to be written beside a symbol. Coordinates are drawing units.
type Mark struct {
	ID     string
	Text   string
	At     geom.Point
	Symbol geom.Box
	Handle string // of the symbol
}

// Sheet says how one drawing is to be annotated.
type Sheet struct {
	Drawing string // as named in the job
	Height  float64
	Layers  string   // pattern with {kind}
	Walls   []string // layer patterns that no text may cover
	Marks   []Mark
}

// layerLabels is the kind of layer that addresses stand on.
const layerLabels = "ADDR"

// Annotate places the marks of a sheet on its drawing and returns the drawing's
// bytes with them. A mark that finds no place without covering something is
// drawn at its least bad place and reported.
func Annotate(d *dxf.Drawing, s Sheet) ([]byte, []takeoff.Finding, error) {
	placed, err := place(d, s)
	if err != nil {
		return nil, nil, err
	}
	layer := Expand(s.Layers, map[string]string{"kind": layerLabels})
	a := dxf.Addition{Layers: []dxf.NewLayer{{Name: layer, Color: 5, Lineweight: 18}}}
	var fs []takeoff.Finding
	for i, p := range placed.Placements {
		m := s.Marks[i]
		h, _ := dxf.ParseHandle(m.Handle)
		base := dxf.EntityBase{Layer: layer, Kind: "address", Device: h}
		a.Entities = append(a.Entities, dxf.NewText{EntityBase: base, At: dxf.XY(p.Baseline), Height: s.Height, Rotation: p.Angle, Value: m.Text})
		if p.Leader != nil {
			base.Kind = "leader"
			a.Entities = append(a.Entities, dxf.NewLine{EntityBase: base, From: dxf.XY(p.Leader.A), To: dxf.XY(p.Leader.B)})
		}
		if !p.Placed {
			fs = append(fs, takeoff.Finding{Code: CodeNoPlace, Severity: takeoff.Warning, Drawing: s.Drawing, Handle: m.Handle, At: m.At, Placed: true,
				Message: fmt.Sprintf("the address of %s finds no free place: it lies on %s; move it by hand", m.ID, clashes(p))})
		}
	}
	out, err := d.Edit(a)
	if err != nil {
		return nil, nil, err
	}
	if ps := dxf.CheckWritten(d.Bytes, out.Bytes); len(ps) > 0 {
		return nil, nil, &dxf.CheckError{Path: s.Drawing, Problems: ps}
	}
	return out.Bytes, fs, nil
}

func clashes(p label.Placement) string {
	var ks []string
	for _, c := range p.Clashes {
		ks = append(ks, "a "+c.Kind.String())
	}
	if len(ks) == 0 {
		return p.Problem
	}
	return strings.Join(ks, ", ")
}

func place(d *dxf.Drawing, s Sheet) (label.Result, error) {
	own := map[string]bool{}
	labels := make([]label.Label, len(s.Marks))
	for i, m := range s.Marks {
		own[m.Handle] = true
		labels[i] = label.Label{ID: m.ID, Text: m.Text, Height: s.Height, Anchor: m.At, Symbol: label.RectOf(m.Symbol)}
	}
	hard := func(layer string) bool {
		for _, p := range s.Walls {
			if takeoff.NameFits(p, layer) {
				return true
			}
		}
		return false
	}
	obs, err := scene(d, hard, own)
	if err != nil {
		return label.Result{}, err
	}
	return label.Place(labels, obs, label.Options{}), nil
}
