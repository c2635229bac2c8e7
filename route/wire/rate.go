package wire

import (
	"fmt"
	"math"
	"strconv"

	"loopwright/takeoff/measure"
)

// DefaultTemperature is the conductor temperature in C when a job names none:
// that of NEC Table 8, which gives longer drops than 20 C and so is the safe side.
const DefaultTemperature = 75.0

// The range of conductor temperature, in C, over which the linear laws are used.
const (
	MinTemperature = -60.0
	MaxTemperature = 200.0
)

// Basis says what a resistance rests on. Print it beside every result.
type Basis struct {
	conductor   string  // "16 AWG solid"
	coating     string  // "uncoated copper", "coated copper", "plain copper", "tinned copper"
	table       string  // "NEC Chapter 9 Table 8 (4.89 ohm/kft at 75 C)"
	correction  string  // law by which the temperature was changed; empty where it was not
	temperature float64 // C
	mark        mark
	note        string // what a reader should know about the figure; may be empty
}

// String is the basis on one line, for a report.
func (b Basis) String() string {
	s := fmt.Sprintf("%s, %s, at %s C, %s", b.conductor, b.coating, short(b.temperature), b.table)
	if b.correction != "" {
		s += ", corrected by " + b.correction
	}
	if b.note != "" {
		s += "; " + b.note
	}
	return s
}

// Rate is the DC resistance of one conductor per metre, with its basis.
type Rate struct {
	OhmPerMetre float64
	Basis       Basis
}

// Rate returns the resistance per metre at the conductor temperature tempC.
// AWG sizes follow NEC Chapter 9 Table 8 and its note 2, metric sizes IEC 60228.
func (c Conductor) Rate(tempC float64) (Rate, error) {
	r, ok := find(c)
	if !ok {
		return Rate{}, fmt.Errorf("conductor %s: no table value; allowed are %s", c, allowed(c))
	}
	return r.rate(tempC)
}

func (r row) rate(tempC float64) (Rate, error) {
	if !(tempC >= MinTemperature && tempC <= MaxTemperature) {
		return Rate{}, fmt.Errorf("conductor temperature %v C: give one from %v to %v C", tempC, MinTemperature, MaxTemperature)
	}
	b := Basis{
		conductor:   r.conductor.String(),
		coating:     coating(r.conductor),
		table:       fmt.Sprintf("%s (%s %s at %s C)", r.table.name, short(r.value), r.table.unit, short(r.table.refTemp)),
		temperature: tempC,
		mark:        r.mark,
		note:        r.note,
	}
	factor := 1.0
	if tempC != r.table.refTemp {
		factor = r.table.factor(tempC)
		b.correction = r.table.law
	}
	return Rate{r.value * r.table.perM * factor, b}, nil
}

func coating(c Conductor) string {
	switch {
	case c.Area != 0 && c.Coated:
		return "tinned copper"
	case c.Area != 0:
		return "plain copper"
	case c.Coated:
		return "coated copper"
	}
	return "uncoated copper"
}

// awgDiameter returns the nominal diameter in metres of a solid AWG conductor
// (ASTM B258: 0.005 in x 92^((36-n)/39)).
func awgDiameter(gauge int) float64 {
	return 0.005 * measure.Inch * math.Pow(92, float64(36-gauge)/39)
}

// awgArea returns the nominal cross-section in mm2 of a solid AWG conductor.
func awgArea(gauge int) float64 {
	d := awgDiameter(gauge) * 1e3
	return math.Pi / 4 * d * d
}

// iacsResistivity is that of standard annealed copper at 20 C in ohm mm2/m (NBS Handbook 100).
const iacsResistivity = 0.017241

func formulaOhmPerKft(gauge int) float64 {
	return iacsResistivity / awgArea(gauge) / ohmPerKft
}

// maxOneWay returns the longest one-way cable in metres whose loop of two
// conductors, plus series ohms, reaches limit ohms. It is negative where the
// series resistance alone is over the limit.
func (r Rate) maxOneWay(limit, series float64) float64 {
	return (limit - series) / (2 * r.OhmPerMetre)
}

// short prints a number with at most six significant digits.
func short(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }
