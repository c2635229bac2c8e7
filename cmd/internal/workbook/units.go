package workbook

import (
	"math"

	"loopwright/takeoff/measure"
)

// units are those in which the job's people read lengths.
type units struct {
	length string  // ft or m
	per    float64 // units of length in a metre
	rate   string  // what a conductor's resistance is given for: 1000 ft or km
	bulk   string  // what pulling cable is priced by: 100 ft or 100 m
	small  string  // in or mm
	fine   float64 // small units in a metre
	area   string
}

func unitsFor(s measure.System) units {
	if s == measure.Metric {
		return units{"m", 1, "km", "100 m", "mm", 1000, "mm²"}
	}
	return units{"ft", 1 / measure.Foot, "1000 ft", "100 ft", "in", 1 / measure.Inch, "in²"}
}

// lengthIn turns metres into the job's unit. Four decimals are a hundredth of a
// millimetre and keep what stands in a cell readable.
func (u units) lengthIn(m float64) float64 { return rounded(m*u.per, 4) }

// rateIn turns ohms per metre into ohms per 1000 units of length.
func (u units) rateIn(ohmPerMetre float64) float64 { return rounded(ohmPerMetre/u.per*1000, 6) }

func (u units) smallIn(m float64) float64 { return rounded(m*u.fine, 4) }

func (u units) pricePer(perMetre float64) float64 { return rounded(perMetre/u.per, 6) }

func rounded(v float64, places int) float64 {
	p := math.Pow(10, float64(places))
	return math.Round(v*p) / p
}
