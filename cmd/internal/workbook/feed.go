package workbook

import (
	"loopwright/cmd/internal/outcome"
)

// step is one leg of a circuit as current flows through it: away from the end
// that feeds it.
type step struct {
	fed      string // start or return
	from, to string
	leg      int   // index of the leg in its circuit
	before   int   // step that feeds this one; -1 for the panel
	beyond   []int // steps that it feeds
	typ      string
}

// stepsOf lists the legs of a power circuit in the order in which current passes
// them: from its start, and for a loop once more from its return end.
func stepsOf(b *book, o *outcome.Outcome, c *outcome.Laid) []step {
	typ := typeOf(b, o)
	feeding := map[string]int{} // step that leads to a place
	var out []step
	add := func(fed, from, to string, leg int) {
		before, ok := feeding[from]
		if !ok || from == c.Panel {
			before = -1
		} else {
			out[before].beyond = append(out[before].beyond, len(out))
		}
		feeding[to] = len(out)
		out = append(out, step{fed: fed, from: from, to: to, leg: leg, before: before, typ: typ[to]})
	}
	n := len(c.Legs)
	looped := c.Pathway.Looped() && n > 1
	for i, l := range c.Legs {
		if !looped || i < n-1 {
			add("start", l.From, l.To, i)
		}
	}
	if looped {
		clear(feeding)
		for i := n - 1; i > 0; i-- {
			add("return", c.Legs[i].To, c.Legs[i].From, i)
		}
	}
	return out
}

// typeOf returns the type of every device by id.
func typeOf(b *book, o *outcome.Outcome) map[string]string {
	if b.types == nil {
		b.types = make(map[string]string, len(o.Devices))
		for _, d := range o.Devices {
			b.types[d.ID] = d.Type
		}
	}
	return b.types
}

// seriesOf is what a type puts in series on its circuit, in ohms.
func seriesOf(o *outcome.Outcome, typ string) float64 {
	for _, t := range o.Job.Types {
		if t.Type == typ {
			return t.Resistance
		}
	}
	return 0
}

// poweredCircuits are those on which voltage is proved.
func poweredCircuits(o *outcome.Outcome) []*outcome.Laid {
	var cs []*outcome.Laid
	for i := range o.Circuits {
		if c := &o.Circuits[i]; len(c.Proof.States) > 0 {
			cs = append(cs, c)
		}
	}
	return cs
}
