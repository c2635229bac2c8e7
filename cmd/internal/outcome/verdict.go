package outcome

import "loopwright/takeoff"

// Verdict is what the proofs of a circuit come to, in the words that every
// output uses.
type Verdict string

// The verdicts. What breaks a limit that was given fails, be the rest judged or not.
const (
	Passes    Verdict = "passes"
	Fails     Verdict = "FAILS"
	NotProved Verdict = "not proved"
)

// OfWire is the verdict on what the wire does: resistance and capacitance, or
// current and voltage.
func (l Laid) OfWire() Verdict {
	switch {
	case l.Proof.Fails:
		return Fails
	case l.Proof.Judged:
		return Passes
	}
	return NotProved
}

// AsDrawn is the verdict on the circuit with what the plans show.
func (l Laid) AsDrawn() Verdict { return l.with(l.Survival.Passes) }

// WithIsolators is the verdict once the isolators to add are in; that as drawn where there are none.
func (l Laid) WithIsolators() Verdict { return l.with(l.Survival.PassesNow) }

// with joins the verdict on the wire with that on single shorts.
func (l Laid) with(shorts bool) Verdict {
	if l.Kind == takeoff.SLC && len(l.Legs) > 0 && !shorts {
		return Fails
	}
	return l.OfWire()
}
