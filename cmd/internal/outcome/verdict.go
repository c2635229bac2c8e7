package outcome

import (
	"math"

	"loopwright/route"
	"loopwright/takeoff"
)

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
func (l Laid) OfWire() Verdict { return ofWire(l.Proof) }

func ofWire(p route.Proof) Verdict {
	switch {
	case p.Fails:
		return Fails
	case p.Judged:
		return Passes
	}
	return NotProved
}

// AsDrawn is the verdict on the circuit with what the plans show.
func (l Laid) AsDrawn() Verdict {
	return l.with(l.Proof, l.Survival.Passes && l.SegmentFits(l.Survival.Segment))
}

// SegmentFits reports whether so many devices may stand between two isolators.
func (l Laid) SegmentFits(devices int) bool {
	return l.Limits.Segment == 0 || devices <= l.Limits.Segment
}

// WithIsolators is the verdict once the isolators to add are in; that as drawn where there are none.
func (l Laid) WithIsolators() Verdict {
	p := l.Proof
	if l.With != nil {
		p = *l.With
	}
	return l.with(p, l.Survival.PassesNow && l.SegmentFits(l.Survival.SegmentWith))
}

// with joins the verdict on the wire with that on single shorts.
func (l Laid) with(p route.Proof, shorts bool) Verdict {
	if l.Kind == takeoff.SLC && len(l.Legs) > 0 && !shorts {
		return Fails
	}
	return ofWire(p)
}

// A reading is far from what was computed if it lies outside the range between
// the values at 20 C and at the job's temperature by more than this share and
// this many ohms (a judgement of ours: a 20 % longer way or a bad joint shows; the
// tolerance of resistors of 1 % and 5 %, the meter's own error and its leads do not;
// common practice, no source).
const (
	FarShare = 0.2
	FarOhm   = 0.5
)

// Band are the readings, in ohms, between which one is as computed: hot at the job's
// temperature, cold at 20 C.
func Band(hot, cold float64) (low, high float64) {
	return math.Max(0, math.Min(hot, cold)*(1-FarShare)-FarOhm), math.Max(hot, cold)*(1+FarShare) + FarOhm
}
