package takeoff

import (
	"strings"

	"github.com/tidwall/rtree"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
	"loopwright/takeoff/words"
)

// shown is how the drawing shows a symbol.
type shown struct{ visible, paper bool }

// exclusion says why a symbol does not count; "" if nothing speaks against it.
func (r *reader) exclusion(d Device, how shown) Reason {
	s := words.Symbol{Block: d.Block, Layer: d.Layer, Attribs: d.Attribs}
	switch {
	case how.paper:
		return OnPaper
	case r.s.inLegend(d.Symbol.Center()):
		return InLegend
	case !r.plan.part().Within(d.At), r.plan.part().Ignores(d.At):
		return OutOfRegion
	case len(r.plan.Ignore) == 0 && inFound(r.regions, d.At):
		return OutOfRegion
	case !how.visible && r.plan.Hidden != HiddenCount:
		return HiddenLayer
	case r.marked(r.plan.Demolition, s, d):
		return Demolition
	case r.marked(r.plan.Existing, s, d):
		return Existing
	case r.marked(r.plan.Others, s, d):
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

// marked reports whether one of a plan's status rules fits a symbol. A rule with
// a text fits a symbol beside which the text stands.
func (r *reader) marked(rules []words.Match, s words.Symbol, d Device) bool {
	for _, m := range rules {
		if m.Text == "" {
			if m.Fits(s) {
				return true
			}
			continue
		}
		rest := m
		rest.Text = ""
		if (rest.Empty() || rest.Fits(s)) && r.notes.beside(d.Symbol, m.Text) {
			return true
		}
	}
	return false
}

// noteIndex finds texts near a symbol.
type noteIndex struct {
	tree rtree.RTreeG[string]
	used bool
}

// newNoteIndex indexes the texts that the plan's status rules ask for.
func newNoteIndex(s *scene, p Plan) noteIndex {
	var n noteIndex
	var patterns []string
	for _, rules := range [][]words.Match{p.Demolition, p.Existing, p.Others} {
		for _, m := range rules {
			if m.Text != "" {
				patterns = append(patterns, m.Text)
			}
		}
	}
	if len(patterns) == 0 || s == nil {
		return n
	}
	for i := range s.Texts {
		t := &s.Texts[i]
		text := strings.Join(strings.Fields(t.Text), " ")
		for _, pattern := range patterns {
			if t.Visible && !t.Paper && words.Wildcard(pattern, text) {
				b := plan.TextBox(t)
				n.tree.Insert([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, text)
				n.used = true
				break
			}
		}
	}
	return n
}

// beside reports whether a text that fits the pattern stands within a symbol's size of the symbol.
func (n *noteIndex) beside(symbol geom.Box, pattern string) bool {
	if !n.used {
		return false
	}
	b := symbol.Grow(max(symbol.Width(), symbol.Height()))
	found := false
	n.tree.Search([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, func(_, _ [2]float64, text string) bool {
		found = words.Wildcard(pattern, text)
		return !found
	})
	return found
}
