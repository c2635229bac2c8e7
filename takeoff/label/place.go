package label

import (
	"fmt"
	"math"
	"slices"
)

// Place finds a place for every label. It never fails: a label that cannot be
// read (a text height that is not positive, a coordinate that is not finite)
// or for which there is no free place is returned with Placed false and a Problem.
func Place(labels []Label, obstacles Obstacles, opt Options) Result {
	opt = opt.withDefaults()
	res := Result{Placements: make([]Placement, len(labels))}
	ok := make([]bool, len(labels))
	for i := range labels {
		p := &res.Placements[i]
		p.Index, p.ID = i, labels[i].ID
		p.Problem = problem(&labels[i])
		ok[i] = p.Problem == ""
	}
	f := newFrame(labels, ok)
	var items []item
	for i := range labels {
		if ok[i] {
			items = append(items, newItem(f, &labels[i], i, &opt))
		}
	}
	if len(items) == 0 {
		return res
	}
	sortItems(items, labels)
	s := newScene(f, items, &obstacles)
	for i := range items {
		s.findStarts(&items[i])
	}
	m := newModel(items, s, &opt)
	m.solve()
	for i := range items {
		m.report(int32(i), &res)
	}
	return res
}

// withDefaults fills in what the zero value means.
func (o Options) withDefaults() Options {
	def := func(v *float64, d float64) {
		if *v == 0 || math.IsNaN(*v) {
			*v = d
		}
		*v = max(0, *v)
	}
	def(&o.Gap, 0.35)
	def(&o.Clearance, 0.2)
	def(&o.Reach, 1)
	def(&o.MaxLeader, 14)
	def(&o.Effort, 1)
	o.Sides = slices.DeleteFunc(slices.Clone(o.Sides), func(s Side) bool { return s >= sideCount })
	if len(o.Sides) == 0 || !o.Fixed {
		o.Sides = slices.Concat(o.Sides, defaultSides())
	}
	if o.Fixed {
		o.Reach, o.MaxLeader = 0, 0
	}
	return o
}

// problem says what about l cannot be worked with; empty if nothing.
func problem(l *Label) string {
	switch {
	case !(l.Height > 0) || math.IsInf(l.Height, 0):
		return fmt.Sprintf("text height %v: it must be greater than 0", l.Height)
	case !l.Anchor.IsFinite() || !l.Symbol.valid():
		return "the anchor or the symbol has a coordinate or size that is not a number"
	case math.IsNaN(l.Angle) || math.IsInf(l.Angle, 0):
		return "the reading direction is not a number"
	case !(l.Width >= 0) || !(l.BoxHeight >= 0) || math.IsInf(l.Width, 0) || math.IsInf(l.BoxHeight, 0):
		return "the measured text box has a size that is negative or not a number"
	case l.Width == 0 && EstimateWidth(l.Text, l.Height) == 0:
		return "there is no text to place"
	}
	return ""
}
