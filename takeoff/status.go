package takeoff

import (
	"slices"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/recognize"
	"loopwright/takeoff/words"
)

// shown is how the drawing shows a symbol.
type shown struct {
	visible, paper bool
	style          dxf.Style
}

// exclusion says why a symbol does not count; "" if nothing speaks against it.
func (r *reader) exclusion(d Device, how shown) Reason {
	s := words.Symbol{Block: d.Block, Layer: d.Layer, Attribs: d.Attribs, Linetype: how.style.Linetype, Color: how.style.Color}
	switch {
	case how.paper:
		return OnPaper
	case r.s.inLegend(d.Symbol.Center()):
		return InLegend
	case !r.plan.part().Within(d.At), r.plan.part().Ignores(d.At):
		return OutOfRegion
	case len(r.plan.Ignore) == 0 && recognize.InRegion(r.regions, d.At):
		return OutOfRegion
	case !how.visible && r.plan.Hidden != HiddenCount:
		return HiddenLayer
	case r.marked(r.plan.Demolition, s):
		return Demolition
	case r.marked(r.plan.Existing, s):
		return Existing
	case r.marked(r.plan.Others, s):
		return ByOthers
	}
	return ""
}

// claims reports whether this plan, of those that show the drawing, lists a
// symbol: each lists what its region holds. What no region holds, and what is in
// paper space, is listed once, by the first plan; with several plans it is on no level.
func (r *reader) claims(d *Device, paper bool) bool {
	held, first, plans := false, r.index, 0
	for i, p := range r.t.req.Plans {
		if p.Drawing != r.plan.Drawing {
			continue
		}
		plans++
		first = min(first, i)
		held = held || !paper && p.part().Within(d.At)
	}
	if held {
		return r.plan.part().Within(d.At)
	}
	if plans > 1 {
		d.Level = ""
	}
	return r.index == first
}

// marked reports whether one of a plan's status rules fits a symbol. A rule with a
// text is about the symbol that the text stands beside: see remarks.
func (r *reader) marked(rules []words.Match, s words.Symbol) bool {
	return slices.ContainsFunc(rules, func(m words.Match) bool { return m.Text == "" && m.Fits(s) })
}

// remarks leaves out what a text beside it says is no new work. Each text is about one
// symbol: that which stands where remarks stand, or the nearest.
func (r *reader) remarks() {
	type rule struct {
		words.Match
		reason Reason
	}
	var rules []rule
	for _, list := range []struct {
		rules  []words.Match
		reason Reason
	}{{r.plan.Demolition, Demolition}, {r.plan.Existing, Existing}, {r.plan.Others, ByOthers}} {
		for _, m := range list.rules {
			if m.Text != "" {
				rules = append(rules, rule{m, list.reason})
			}
		}
	}
	var notes []recognize.Note
	var says []rule
	for i := range r.s.Texts {
		t := &r.s.Texts[i]
		if len(rules) == 0 || !t.Visible || t.Paper {
			continue
		}
		n := recognize.NoteOf(t)
		if k := slices.IndexFunc(rules, func(m rule) bool { return words.Wildcard(m.Text, n.Text) }); k >= 0 {
			notes, says = append(notes, n), append(says, rules[k])
		}
	}
	if len(notes) == 0 {
		return
	}
	var boxes []geom.Box
	var of []int
	for i := range r.out.devices {
		if d := &r.out.devices[i]; d.Type != "" && d.Reason != OnPaper && d.Reason != InLegend && d.Reason != OutOfRegion {
			boxes, of = append(boxes, d.Symbol), append(of, i)
		}
	}
	for k, j := range recognize.Belong(recognize.Ruler(r.s.Inserts, r.s.Texts)[0], notes, boxes) {
		if j < 0 {
			continue
		}
		d, rest := &r.out.devices[of[j]], says[k].Match
		rest.Text = ""
		if d.Status == Counted && (rest.Empty() || rest.Fits(words.Symbol{Block: d.Block, Layer: d.Layer, Attribs: d.Attribs})) {
			d.Status, d.Reason = Excluded, says[k].reason
		}
	}
}
