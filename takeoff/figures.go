package takeoff

import (
	"cmp"
	"fmt"
	"loopwright/takeoff/figures"
	"loopwright/takeoff/recognize"
)

// sampled is a figure that a rule shows a sample of.
type sampled struct {
	figure figures.Figure
	rule   int
}

// sampleFigures learns the figures that the rules show a sample of. A sample is
// a place in the drawing units of a plan: the first plan with a loose figure
// there, in the job's order, is the one meant.
func (t *taker) sampleFigures() ([]sampled, []Finding) {
	var out []sampled
	var notes []Finding
	for ri, ru := range t.rules {
		if ru.Sample == nil {
			continue
		}
		f, ok := t.sampleOf(ru, func(p Plan) bool { return p.part().Within(*ru.Sample) })
		if !ok { // a legend stands beside the plans, so outside their regions
			f, ok = t.sampleOf(ru, func(Plan) bool { return true })
		}
		if ok {
			out = append(out, sampled{f, ri})
		} else {
			notes = append(notes, Finding{Code: codeFigure, Severity: Warning, At: *ru.Sample, Placed: true, Message: fmt.Sprintf(
				"type %s: nothing loose is drawn at the sample %g, %g of rule %d on any plan: pick a point on one symbol, and give its layer if other lines cross it; match a block by block and bare text by text",
				t.req.Types[ru.typ].Type, ru.Sample.X, ru.Sample.Y, ru.number)})
		}
	}
	return out, notes
}

// sampleOf learns the figure of a rule from the drawing that the rule names, or from
// the first plan that is asked and has one there.
func (t *taker) sampleOf(ru rule, ask func(Plan) bool) (figures.Figure, bool) {
	scale := ru.Scale
	if scale == 0 {
		scale = 1
	}
	for i, p := range t.req.Plans {
		if p.Drawing == "" || ru.Drawing == "" && !ask(p) {
			continue
		}
		_, s := t.sheet(i)
		sc := t.files.byName[cmp.Or(ru.Drawing, p.Drawing)]
		b := sc.loose
		if ru.Paper {
			b = sc.paper
		}
		if f, ok := b().Sample(*ru.Sample, s.MetrePer*scale, ru.Size, ru.Layer); ok {
			return f, true
		}
	}
	return figures.Figure{}, false
}

// takeFigures looks for the figures that were learnt from samples.
func (r *reader) takeFigures() {
	if len(r.figures) == 0 {
		return
	}
	all := make([]figures.Sought, len(r.figures))
	for k, f := range r.figures {
		all[k] = figures.Sought{Figure: f.figure, Layer: r.t.rules[f.rule].Layer}
	}
	found, misses := r.s.loose().Search(all, r.sheet.MetrePer)
	for _, s := range found {
		r.sighted(s)
	}
	told := 0
	for _, m := range misses {
		if !r.plan.part().Within(m.At) || told >= tellEach {
			continue
		}
		told++
		ty := r.t.req.Types[r.t.rules[r.figures[m.Sought].rule].typ].Type
		r.find(Finding{Code: codeFigure, Severity: Note, Drawing: r.plan.Drawing, Handle: m.Handle.String(), At: m.At, Placed: true,
			Message: fmt.Sprintf("a figure resembles the sample of %s but does not count: %s", ty, m.Why)})
	}
}

// sighted makes a device of a figure.
func (r *reader) sighted(s figures.Sighting) {
	rule := r.figures[s.Sought].rule
	r.rules.tallies[rule].fits++
	r.rules.tallies[rule].wins++
	d := Device{
		Type: r.t.req.Types[r.t.rules[rule].typ].Type, Status: Counted, Level: r.level.Name, Drawing: r.plan.Drawing,
		Handle: s.Handle.String(), Layer: s.Layer, At: s.At, Symbol: s.Box, Pos: r.sheet.ToBuilding.Apply(s.At),
		Rotation: s.Rotation, form: recognize.Loose,
	}
	if !r.claims(&d, false) {
		return
	}
	if d.Reason = r.exclusion(d, shown{s.Visible, false, s.Style}); d.Reason != "" {
		d.Status = Excluded
	}
	r.out.devices = append(r.out.devices, d)
}
