package fieldpage

import (
	"cmp"
	"fmt"
	"strings"

	"loopwright/cmd/internal/outcome"
)

// end is one place to short while the panel's end is metered.
type end struct {
	ID     string  `json:"id"` // of the device; the panel's name for the return terminals
	Title  string  `json:"title"`
	Do     string  `json:"do"`
	Place  string  `json:"place,omitempty"`
	Ohm    float64 `json:"ohm"`             // at the job's temperature
	Ohm20  float64 `json:"ohm20,omitempty"` // at 20 C; 0 if not known
	Limit  float64 `json:"limit,omitempty"` // 0 for none
	Expect string  `json:"expect"`
}

// ends are the circuit's branch ends, or the return terminals of a loop.
func (w *walker) ends() []end {
	l := w.circuit
	var out []end
	for _, b := range l.Proof.Loop.Branches {
		e := end{ID: l.Proof.Nodes[b.End], Ohm: b.Ohm, Limit: l.MaxResistance}
		if ohm, ok := l.Cold(b); ok {
			e.Ohm20 = ohm
		}
		w.describe(&e, b.End == 0)
		e.Expect = expectation(e, l.Cable.Temperature)
		out = append(out, e)
	}
	return out
}

func (w *walker) describe(e *end, back bool) {
	panel := w.circuit.Panel
	if back {
		e.Title = "Return terminals of " + panel
		e.Do = fmt.Sprintf("Lift both ends at %s. Short the two conductors of the return pair there. Meter across the outgoing pair. Remove the short.", panel)
		return
	}
	e.Title = e.ID
	if d, ok := w.device[e.ID]; ok {
		e.Place = strings.TrimSpace(d.Level + " " + d.Place())
		if d.Circuit == w.circuit.Name && d.Address > 0 {
			e.Title += fmt.Sprintf(" [%d]", d.Address)
		}
	}
	e.Do = fmt.Sprintf("Lift the circuit at %s. Short the two conductors at %s, and at no other end. Meter across the pair at %s. Remove the short.", panel, e.ID, panel)
}

// expectation is what the meter should read, in words.
func expectation(e end, temperature float64) string {
	low, high := outcome.Band(e.Ohm, cmp.Or(e.Ohm20, e.Ohm))
	s := fmt.Sprintf("expected %.1f ohm, accept %.1f to %.1f", cmp.Or(e.Ohm20, e.Ohm), low, high)
	if e.Ohm20 > 0 {
		s += fmt.Sprintf(" (computed %.2f ohm at 20 °C, %.2f ohm at %.0f °C)", e.Ohm20, e.Ohm, temperature)
	}
	if e.Limit > 0 {
		return s + fmt.Sprintf("; limit %.1f ohm", e.Limit)
	}
	return s + "; no limit given"
}
