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
	Conductor   string  // "16 AWG solid"
	Coating     string  // "uncoated copper", "coated copper", "plain copper", "tinned copper"
	Table       string  // "NEC Chapter 9 Table 8 (4.89 ohm/kft at 75 C)"
	Correction  string  // law by which the temperature was changed; empty where it was not
	Temperature float64 // C
	Mark        Mark
	Note        string // what a reader should know about the figure; may be empty
}

// String is the basis on one line, for a report.
func (b Basis) String() string {
	s := fmt.Sprintf("%s, %s, at %s C, %s", b.Conductor, b.Coating, short(b.Temperature), b.Table)
	if b.Correction != "" {
		s += ", corrected by " + b.Correction
	}
	if b.Note != "" {
		s += "; " + b.Note
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
		Conductor:   r.conductor.String(),
		Coating:     coating(r.conductor),
		Table:       fmt.Sprintf("%s (%s %s at %s C)", r.table.name, short(r.value), r.table.unit, short(r.table.refTemp)),
		Temperature: tempC,
		Mark:        r.mark,
		Note:        r.note,
	}
	factor := 1.0
	if tempC != r.table.refTemp {
		factor = r.table.factor(tempC)
		b.Correction = r.table.law
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

// AWGDiameter returns the nominal diameter in metres of a solid AWG conductor
// (ASTM B258: 0.005 in x 92^((36-n)/39)).
func AWGDiameter(gauge int) float64 {
	return 0.005 * measure.Inch * math.Pow(92, float64(36-gauge)/39)
}

// AWGArea returns the nominal cross-section in mm2 of a solid AWG conductor.
func AWGArea(gauge int) float64 {
	d := AWGDiameter(gauge) * 1e3
	return math.Pi / 4 * d * d
}

// iacsResistivity is that of standard annealed copper at 20 C in ohm mm2/m (NBS Handbook 100).
const iacsResistivity = 0.017241

func formulaOhmPerKft(gauge int) float64 {
	return iacsResistivity / AWGArea(gauge) / ohmPerKft
}

// MaxOneWay returns the longest one-way cable in metres whose loop of two
// conductors, plus series ohms, reaches limit ohms. It is negative where the
// series resistance alone is over the limit.
func (r Rate) MaxOneWay(limit, series float64) float64 {
	return (limit - series) / (2 * r.OhmPerMetre)
}

// short prints a number with at most six significant digits.
func short(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }
