package takeoff

import (
	"fmt"
	"math"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
)

// takeDrawing takes the devices off one plan that is a drawing.
func (t *taker) takeDrawing(i int) error {
	p := t.req.Plans[i]
	d, err := t.files.open(p.Drawing)
	if err != nil {
		return err
	}
	inserts, notes, err := d.Inserts(dxf.Options{Paper: true})
	if err != nil {
		return fmt.Errorf("plan %s: %w", p.Drawing, err)
	}
	t.passOn(p.Drawing, notes)
	level, sheet := t.sheet(i)
	r := reader{t: t, plan: p, level: level, sheet: sheet, d: d}
	for k := range inserts {
		r.insert(&inserts[k])
	}
	r.unexplained()
	return r.surroundings()
}

// reader takes the symbols off one plan.
type reader struct {
	t     *taker
	plan  Plan
	level *Level
	sheet *Sheet
	d     *dxf.Drawing
	known []Device // recognised on this plan
	other []Device // unexplained candidates: kept until the layers looked at are known
}

// insert recognises one insert, if a rule explains it.
func (r *reader) insert(in *dxf.Insert) {
	s := symbolOf(in)
	if r.landmark(in, s) {
		return
	}
	d := r.device(in, s)
	d.Reason = r.exclusion(in, d)
	typ, ok := r.t.classify(s)
	if !ok {
		if d.Reason == "" {
			r.other = append(r.other, d)
		}
		return
	}
	d.Type = typ
	d.Status = Counted
	if d.Reason != "" {
		d.Status = Excluded
	}
	r.known = append(r.known, d)
	r.t.res.Devices = append(r.t.res.Devices, d)
}

// classify returns the first type with a rule that fits s.
func (t *taker) classify(s Symbol) (string, bool) {
	for i, ty := range t.req.Types {
		for k, m := range ty.Match {
			if m.Fits(s) {
				t.hits[i][k]++
				return ty.Type, true
			}
		}
	}
	return "", false
}

func symbolOf(in *dxf.Insert) Symbol {
	s := Symbol{Block: in.Effective, Layer: in.EffLayer}
	if len(in.Attribs) > 0 {
		s.Attribs = make(map[string]string, len(in.Attribs))
		for _, a := range in.Attribs {
			s.Attribs[a.Tag] = a.Value
		}
	}
	return s
}

func (r *reader) device(in *dxf.Insert, s Symbol) Device {
	at := geom.Pt(in.Pos.X, in.Pos.Y)
	return Device{
		Level: r.level.Name, Drawing: r.plan.Drawing, Handle: in.Handle.String(), Path: in.Path,
		Block: in.Effective, Layer: in.EffLayer, Attribs: s.Attribs,
		At: at, Rotation: in.Rotation, Symbol: r.symbolBox(in), Pos: r.sheet.ToBuilding.Apply(at),
	}
}

// exclusion says why a symbol does not count; "" if nothing speaks against it.
func (r *reader) exclusion(in *dxf.Insert, d Device) Reason {
	s := Symbol{Block: d.Block, Layer: d.Layer, Attribs: d.Attribs}
	switch {
	case in.Paper:
		return OnPaper
	case r.plan.Region != nil && !r.plan.Region.Contains(d.At), inAny(r.plan.Ignore, d.At):
		return OutOfRegion
	case !in.Visible && r.plan.Hidden != HiddenCount:
		return HiddenLayer
	case AnyFits(r.plan.Demolition, s):
		return Demolition
	case AnyFits(r.plan.Existing, s):
		return Existing
	case AnyFits(r.plan.Others, s):
		return ByOthers
	}
	return ""
}

func inAny(boxes []geom.Box, p geom.Point) bool {
	for _, b := range boxes {
		if b.Contains(p) {
			return true
		}
	}
	return false
}

// symbolBox is the box around an insert's block on the drawing.
func (r *reader) symbolBox(in *dxf.Insert) geom.Box {
	e := r.d.BlockExtent(in.Block)
	if e.Empty {
		return geom.BoxOf(geom.Pt(in.Pos.X, in.Pos.Y))
	}
	b := geom.EmptyBox()
	for _, x := range []float64{e.Min.X, e.Max.X} {
		for _, y := range []float64{e.Min.Y, e.Max.Y} {
			w := in.Transform.Apply(dxf.Vec3{X: x, Y: y})
			b = b.Extend(geom.Pt(w.X, w.Y))
		}
	}
	return b
}

// unexplained reports every symbol on a layer that the rules look at which no
// rule explains: a layer is looked at if a rule names it, or if a symbol that
// was recognised stands on it.
func (r *reader) unexplained() {
	looked := map[string]bool{}
	for _, d := range r.known {
		if d.Reason != InLegend && d.Reason != OutOfRegion {
			looked[d.Layer] = true
		}
	}
	for _, d := range r.other {
		if !looked[d.Layer] && !r.t.named(d.Layer) {
			continue
		}
		d.Status, d.Reason = Excluded, Unknown
		r.t.res.Devices = append(r.t.res.Devices, d)
		r.t.find(Finding{Code: CodeUnexplained, Severity: Warning,
			Message: fmt.Sprintf("block %s on layer %s is explained by no rule: give it a type, or take the layer out of the rules", d.Block, d.Layer),
			Drawing: d.Drawing, Handle: d.Handle, At: d.At, Placed: true})
	}
}

// named reports whether a rule names a layer, other than by a bare star.
func (t *taker) named(layer string) bool {
	for _, ty := range t.req.Types {
		for _, m := range ty.Match {
			if m.Layer != "" && m.Layer != "*" && NameFits(m.Layer, layer) {
				return true
			}
		}
	}
	return false
}

// dropDuplicates excludes symbols that repeat another of the same type on the
// same spot, and reports pairs that stand closer than a symbol's size.
func (t *taker) dropDuplicates() {
	byKey := map[[2]string][]int{}
	for i, d := range t.res.Devices {
		if d.Status == Counted {
			k := [2]string{d.Level, d.Type}
			byKey[k] = append(byKey[k], i)
		}
	}
	for _, is := range byKey {
		t.dropRepeats(is)
	}
}

// coincide is the distance in metres within which two symbols stand on one spot.
const coincide = 0.01

func (t *taker) dropRepeats(is []int) {
	for k, i := range is {
		for _, j := range is[:k] {
			a, b := &t.res.Devices[j], &t.res.Devices[i]
			if a.Status != Counted || math.Abs(a.Pos.X-b.Pos.X) > coincide || math.Abs(a.Pos.Y-b.Pos.Y) > coincide {
				continue
			}
			b.Status, b.Reason = Excluded, Duplicate
			if a.Drawing != b.Drawing {
				b.Reason = Overlap
			}
			break
		}
	}
}
