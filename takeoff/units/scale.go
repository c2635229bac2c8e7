package units

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"loopwright/takeoff/measure"
	"loopwright/takeoff/plan"
)

// unitScale is a scale by which inserts bring blocks drawn in one unit into a
// drawing made in another.
type unitScale struct {
	scale float64
	unit  string  // that the blocks are drawn in, in words
	metre float64 // of that unit
}

// unitScales are the scales that nothing else explains. Those that are scales of
// plotting too (12, 48, 96, 100) say nothing. Exact by definition: the inch is 25.4 mm.
var unitScales = [...]unitScale{
	{1000 * measure.Inch, "an inch", measure.Inch}, {100 * measure.Inch, "an inch", measure.Inch}, {measure.Inch, "an inch", measure.Inch},
	{1000 * measure.Foot, "a foot", measure.Foot}, {100 * measure.Foot, "a foot", measure.Foot}, {measure.Foot, "a foot", measure.Foot},
	{1e-3 / measure.Inch, "a millimetre", 0.001}, {1e-3 / measure.Foot, "a millimetre", 0.001}, {0.001, "a millimetre", 0.001},
	{1e-2 / measure.Inch, "a centimetre", 0.01}, {1e-2 / measure.Foot, "a centimetre", 0.01},
	{1 / measure.Inch, "a metre", 1}, {1 / measure.Foot, "a metre", 1}, {1000, "a metre", 1},
}

// leastScaled is how many inserts must be scaled alike: one may be by chance.
const leastScaled = 2

// insertScale finds the units by the scale of inserts: what a unit of the blocks
// measures in the drawing. False if no scale stands out.
func insertScale(p *plan.Page, of plan.Part) (Measure, bool) {
	var n [len(unitScales)]int
	for i := range p.Inserts {
		in := &p.Inserts[i]
		if in.Paper || !of.Holds(in.Pos) || math.Abs(math.Abs(in.YScale)-in.XScale) > 1e-4*in.XScale {
			continue
		}
		for k, u := range unitScales {
			if math.Abs(in.XScale-u.scale) <= 2e-4*u.scale {
				n[k]++
			}
		}
	}
	best, tie := 0, false
	for k := range n[1:] {
		switch {
		case n[k+1] > n[best]:
			best, tie = k+1, false
		case n[k+1] == n[best]:
			tie = true
		}
	}
	if n[best] < leastScaled || tie {
		return Measure{}, false
	}
	u := unitScales[best]
	what := fmt.Sprintf("%s (%d inserts scaled by %.4g)", u.unit, n[best], u.scale)
	return Measure{what: what, size: u.scale, from: u.metre / exactly, to: u.metre * exactly}, true
}

// exactly is the spread of what is known to the digit.
const exactly = 1.005

// height is a text that reads a height.
var height = regexp.MustCompile(`^[+-]?\d{1,4}[.,]\d{1,3}$`)

// leastHeights is how many texts must read the height that they stand at.
const leastHeights = 10

// spotHeights finds the units of a survey: where texts read, to the hundredth, the
// height at which they or what is inserted beside them stand, a unit of the
// drawing is what heights are written in: a metre or a foot.
func spotHeights(p *plan.Page, of plan.Part) (Measure, bool) {
	n := 0
	for i := range p.Texts {
		t := &p.Texts[i]
		text := strings.TrimSpace(t.Text)
		if t.Paper || math.Abs(t.Pos.Z) < 1 || !height.MatchString(text) || !of.Holds(t.Pos) {
			continue
		}
		if v, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64); err == nil && math.Abs(v-t.Pos.Z) < 0.006 {
			n++
		}
	}
	if n < leastHeights {
		return Measure{}, false
	}
	what := fmt.Sprintf("a unit of height (%d texts read the height they are at)", n)
	return Measure{what: what, size: 1, from: measure.Foot / exactly, to: exactly}, true
}
