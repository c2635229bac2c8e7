package takeoff

import (
	"fmt"
	"slices"
	"strings"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
	"loopwright/takeoff/words"
)

// aside is the symbol of a panel or riser that is left out, and why.
type aside struct {
	name string
	Device
	why  Reason
	plan int
}

// missing is a panel that was not found, and the finding that says why.
type missing struct {
	panel string
	Finding
}

// Missing is the finding that says why a panel was not found; false if it was.
func (r Result) Missing(panel string) (Finding, bool) {
	for _, m := range r.missing {
		if m.panel == panel {
			return m.Finding, true
		}
	}
	return Finding{}, false
}

// whyMissing says why the k-th panel was not found: where its symbol is left out, or that
// none fits.
func (t *taker) whyMissing(k int) missing {
	name := t.req.Panels[k].Name
	f := Finding{Code: codeLandmark, Severity: Error, Key: fmt.Sprintf("panels[%d].match", k)}
	order := []Reason{OutOfRegion, HiddenLayer, Demolition, Existing, ByOthers, OnPaper, InLegend}
	var best *aside
	for i := range t.aside {
		if a := &t.aside[i]; a.name == name && (best == nil || slices.Index(order, a.why) < slices.Index(order, best.why)) {
			best = a
		}
	}
	if best == nil {
		f.Message = fmt.Sprintf("panel %s was not found on any plan: check its match rule, or give its place with at", name)
		return missing{name, f}
	}
	f.Drawing, f.Handle, f.At, f.Placed = best.Drawing, best.Handle, best.At, true
	p := t.req.Plans[best.plan]
	symbol := fmt.Sprintf("panel %s: its symbol at %.6g, %.6g on %s", name, best.At.X, best.At.Y, best.Drawing)
	switch {
	case best.why == OutOfRegion && !p.part().Within(best.At):
		f.Key = planKey(best.plan, "region")
		f.Message = fmt.Sprintf("%s is outside the region of %s: widen the region, or give the panel's place with at", symbol, p.Level)
	case best.why == OutOfRegion && p.part().Ignores(best.At):
		f.Key = planKey(best.plan, "ignore")
		f.Message = fmt.Sprintf("%s is in a part to ignore: leave it out of there, or give the panel's place with at", symbol)
	default:
		f.Message = fmt.Sprintf("%s is left out %s: give the panel's place with at", symbol, reasonWords[best.why])
	}
	return missing{name, f}
}

// How far in metres a place may be from what is drawn. Common practice, no source.
const (
	besidePlan   = 5.0  // a panel stands in the building
	besideList   = 30.0 // of a list of devices, which shows no building
	besideSymbol = 3.0  // a place that is meant to be a symbol's
)

// doubtPlaces reports panels that are set down where none can stand, or away from their
// symbol, and risers of which no symbol is found.
func (t *taker) doubtPlaces() {
	for k, m := range t.req.Panels {
		if m.At != nil {
			t.doubtPlace(k, m)
		}
	}
	for k, m := range t.req.Risers {
		found := slices.ContainsFunc(t.res.Risers, func(s Spot) bool { return s.Name == m.Name })
		if m.At == nil && !found {
			t.find(Finding{Code: codeLandmark, Severity: Warning, Key: fmt.Sprintf("risers[%d].match", k),
				Message: fmt.Sprintf("riser %s was not found on any plan, so no cable goes through it: check its match rule, or give its place with at", m.Name)})
		}
	}
}

func (t *taker) doubtPlace(k int, m Landmark) {
	i := slices.IndexFunc(t.req.Plans, func(p Plan) bool { return p.Level == m.Level })
	if i < 0 {
		return
	}
	p := t.req.Plans[i]
	_, s := t.sheet(i)
	f := Finding{Code: codeLandmark, Severity: Warning, Drawing: p.Drawing, At: *m.At, Placed: true, Key: fmt.Sprintf("panels[%d].at", k)}
	at := fmt.Sprintf("panel %s is set down at %.6g, %.6g on %s", m.Name, m.At.X, m.At.Y, m.Level)
	var box geom.Box
	if p.Drawing == "" {
		box = s.Extent.Grow(max(besideList/s.MetrePer, s.Extent.Width(), s.Extent.Height()))
	} else {
		box = t.files.byName[p.Drawing].Storey(p.part()).Grow(besidePlan / s.MetrePer)
		if !t.holdsDevices(i, box) { // what is taken for walls is not the plan
			box = geom.EmptyBox()
		}
	}
	switch {
	case !p.part().Within(*m.At):
		f.Message = at + ", outside the region of that level: correct the place, or the region"
	case p.part().Ignores(*m.At):
		f.Message = at + ", in a part of the drawing to ignore: correct the place, or that part"
	case !box.Empty() && !box.Contains(*m.At):
		f.Message = fmt.Sprintf("%s, outside the plan, which lies between %.6g, %.6g and %.6g, %.6g: every run to it is measured from there",
			at, box.Min.X, box.Min.Y, box.Max.X, box.Max.Y)
	default:
		sym, level, ok := t.symbolOfPanel(m)
		if !ok {
			return
		}
		f.Message = fmt.Sprintf("%s, but block %s stands on %s at %.6g, %.6g of %s: correct the place, or write match: [{block: %s}] in place of at",
			at, sym.Block, level, sym.At.X, sym.At.Y, sym.Drawing, sym.Block)
	}
	t.find(f)
}

// holdsDevices reports whether most devices that count on a plan stand in a box.
func (t *taker) holdsDevices(plan int, box geom.Box) bool {
	n, in := 0, 0
	for k := range t.res.Devices {
		if d := &t.res.Devices[k]; d.Status == Counted && d.plan == plan {
			n++
			if box.Contains(d.At) {
				in++
			}
		}
	}
	return n > 0 && 2*in > n
}

// symbolOfPanel looks for the symbol of a panel that is set down and stands elsewhere: a
// block called as the panel is, or as panels are, that no rule takes for a device. False
// if one stands at the place, or none anywhere.
func (t *taker) symbolOfPanel(m Landmark) (found Device, level string, ok bool) {
	called := words.Remembered(func(block string) bool {
		if strings.EqualFold(words.Unbound(block), m.Name) {
			return true
		}
		r, read := words.Usual().DeviceName(block, nil)
		return read && r.Concept == "device.panel" && r.Evidence != words.Partly
	})
	type place struct {
		drawing string
		at      geom.Point
	}
	typed := map[place]bool{}
	for k := range t.res.Devices {
		if d := &t.res.Devices[k]; d.Type != "" {
			typed[place{d.Drawing, d.At}] = true
		}
	}
	here := false
	for j, p := range t.req.Plans {
		if p.Drawing == "" {
			continue
		}
		page := t.files.byName[p.Drawing]
		l, s := t.sheet(j)
		for n := range page.Inserts {
			in := &page.Inserts[n]
			at := plan.At(in.Pos)
			if len(in.Path) > 0 || in.Paper || !in.Visible || !called(in.Effective) || !p.part().Holds(in.Pos) || page.inLegend(at) || typed[place{p.Drawing, at}] {
				continue
			}
			pos := s.ToBuilding.Apply(at)
			if slices.ContainsFunc(t.res.Panels, func(o Spot) bool { return o.Level == l.Name && o.Pos.Dist(pos) <= besideSymbol }) {
				if p.Level == m.Level {
					return Device{}, "", false // it is where it is set down, or another panel's
				}
				continue
			}
			if same := p.Level == m.Level; !ok || same && !here {
				found, level, ok, here = Device{Block: in.Effective, Drawing: p.Drawing, At: at}, p.Level, true, same
			}
		}
	}
	return found, level, ok
}
