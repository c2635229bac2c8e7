package wire

import (
	"fmt"
	"math"
)

// InputCircuit is what a module's listing allows on its own input (initiating
// device) circuit.
type InputCircuit struct {
	MaxOhm    float64 // of the loop, both conductors, without the end-of-line resistor
	EndOfLine float64 // ohms of the end-of-line resistor
	Source    string  // where the two values come from; printed beside the result
}

// InputResult is a module's input circuit held against its limit.
type InputResult struct {
	LoopOhm  float64 // both conductors
	MeterOhm float64 // what a meter at the module reads with the resistor in place
	Left     float64 // one-way cable that may still be added, metres
	Passes   bool
	Rate     Rate
}

// Input checks an input circuit of the given one-way cable length in metres.
func Input(oneWay float64, rate Rate, in InputCircuit) (InputResult, error) {
	if err := rate.check(); err != nil {
		return InputResult{}, err
	}
	switch {
	case !(oneWay >= 0) || math.IsInf(oneWay, 0):
		return InputResult{}, fmt.Errorf("input circuit: length %v m; give zero or more", oneWay)
	case !(in.MaxOhm > 0) || math.IsInf(in.MaxOhm, 0):
		return InputResult{}, fmt.Errorf("input circuit: wire limit %v ohm; give one above zero", in.MaxOhm)
	case !(in.EndOfLine >= 0) || math.IsInf(in.EndOfLine, 0):
		return InputResult{}, fmt.Errorf("input circuit: end-of-line resistor %v ohm; give zero or more", in.EndOfLine)
	}
	loop := 2 * oneWay * rate.OhmPerMetre
	return InputResult{
		LoopOhm:  loop,
		MeterOhm: loop + in.EndOfLine,
		Left:     rate.maxOneWay(in.MaxOhm, loop),
		Passes:   within(loop, in.MaxOhm),
		Rate:     rate,
	}, nil
}
