package units

import (
	"math"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
	"loopwright/takeoff/words"
)

// Distances in metres from one device to the next of its kind. Wide on purpose:
// common practice, no source; the usual grid of smoke detectors is 30 ft (NFPA 72 17.7.3.2.3.1).
const spacingFrom, spacingTo = 0.6, 40.0

// leastSpaced is how many of a symbol there must be for their spacing to say something,
// mostSpaced how many of a symbol are looked at.
const leastSpaced, mostSpaced = 6, 1000

// spacing is the usual distance from a symbol on an alarm layer to the next of
// its kind, in drawing units; 0 if there are too few.
func spacing(p *plan.Page, of plan.Part, aside func(geom.Point) bool) float64 {
	alarm := words.Remembered(words.IsAlarm)
	spots := map[string][]geom.Point{}
	for i := range p.Inserts {
		in := &p.Inserts[i]
		if in.Paper || !in.Visible || !alarm(in.EffLayer) || !of.Holds(in.Pos) {
			continue
		}
		at := plan.At(in.Pos)
		if aside(at) {
			continue
		}
		if ps := spots[in.Effective]; len(ps) < mostSpaced {
			spots[in.Effective] = append(ps, at)
		}
	}
	var gaps []float64
	for _, ps := range spots {
		if len(ps) < leastSpaced {
			continue
		}
		for i, a := range ps {
			least := math.Inf(1)
			for j, b := range ps {
				if d := a.Dist(b); i != j && d > 0 { // copies on the same spot do not count
					least = min(least, d)
				}
			}
			if !math.IsInf(least, 1) {
				gaps = append(gaps, least)
			}
		}
	}
	if len(gaps) < leastSpaced {
		return 0
	}
	return plan.Median(gaps)
}
