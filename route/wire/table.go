package wire

import (
	"loopwright/takeoff/measure"
)

// mark says how far a figure can be trusted.
type mark string

// The degrees of trust. No figure here rests on memory alone.
const (
	published mark = "published" // read in a copy of the named table
	computed  mark = "computed"  // arithmetic from published constants
)

// table names where a row's figure comes from and how it follows temperature.
type table struct {
	name    string
	unit    string  // of row.value
	perM    float64 // factor from unit to ohm per metre
	refTemp float64 // C
	law     string
	factor  func(tempC float64) float64 // resistance at tempC over resistance at refTemp
}

const ohmPerKft = 1 / (1000 * measure.Foot)

var (
	table8 = &table{
		name: "NEC Chapter 9 Table 8", unit: "ohm/kft", perM: ohmPerKft, refTemp: 75,
		law:    "Table 8 note 2, alpha 0.00323/K",
		factor: func(t float64) float64 { return 1 + 0.00323*(t-75) },
	}
	// IEC 60228 refers a reading at t to 20 C by kt = 250/(230+t); the way back is 1/kt.
	iec60228 = &table{
		name: "IEC 60228:2004, maximum", unit: "ohm/km", perM: 1e-3, refTemp: 20,
		law:    "IEC 60228 temperature factor kt = 250/(230+t)",
		factor: func(t float64) float64 { return (230 + t) / 250 },
	}
	awgFormula = &table{
		name: "ASTM B258 diameter with 0.017241 ohm mm2/m at 20 C", unit: "ohm/kft", perM: ohmPerKft, refTemp: 20,
		law:    "alpha 0.00393/K at 20 C",
		factor: func(t float64) float64 { return 1 + 0.00393*(t-20) },
	}
)

type row struct {
	conductor Conductor
	table     *table
	value     float64 // in table.unit at table.refTemp
	mark      mark
	note      string
}

// rows holds every table value. Families stand together, smallest size first.
// Sources row by row: testdata/reference/conductor_*.csv. For 16 AWG solid coated
// one public copy of Table 8 prints 5.05 and two print 5.08, which is used. 22 and
// 20 AWG are not in Table 8; they are computed for solid uncoated copper only.
var rows = buildRows()

func buildRows() []row {
	var out []row
	for _, g := range []int{22, 20} {
		out = append(out, row{Conductor{Gauge: g, Build: Solid}, awgFormula, formulaOhmPerKft(g), computed, "not in Table 8"})
	}
	gauges := []int{18, 16, 14, 12, 10, 8}
	awg := func(b Build, coated bool, values ...float64) {
		for i, v := range values {
			out = append(out, row{Conductor{Gauge: gauges[i], Build: b, Coated: coated}, table8, v, published, ""})
		}
	}
	awg(Solid, false, 7.77, 4.89, 3.07, 1.93, 1.21, 0.764)
	awg(Solid, true, 8.08, 5.08, 3.19, 2.01, 1.26, 0.786)
	awg(stranded, false, 7.95, 4.99, 3.14, 1.98, 1.24, 0.778)
	awg(stranded, true, 8.45, 5.29, 3.26, 2.05, 1.29, 0.809)
	areas := []float64{0.5, 0.75, 1, 1.5, 2.5, 4, 6}
	metric := func(b Build, coated bool, values ...float64) {
		for i, v := range values {
			out = append(out, row{Conductor{Area: areas[i], Build: b, Coated: coated}, iec60228, v, published, ""})
		}
	}
	for _, b := range []Build{class1, class2} {
		metric(b, false, 36.0, 24.5, 18.1, 12.1, 7.41, 4.61, 3.08)
		metric(b, true, 36.7, 24.8, 18.2, 12.2, 7.56, 4.70, 3.11)
	}
	metric(class5, false, 39.0, 26.0, 19.5, 13.3, 7.98, 4.95, 3.30)
	metric(class5, true, 40.1, 26.7, 20.0, 13.7, 8.21, 5.09, 3.39)
	return out
}

func find(c Conductor) (row, bool) {
	for _, r := range rows {
		if r.conductor == c {
			return r, true
		}
	}
	return row{}, false
}
