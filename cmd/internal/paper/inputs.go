package paper

import (
	"strings"

	"loopwright/assign/sheet"
	"loopwright/cmd/internal/outcome"
	"loopwright/takeoff"
)

// moduleInputs are the supervised circuits of the modules that a circuit
// numbers, in walking order.
func (b *binder) moduleInputs(l outcome.Laid) []sheet.InputCircuit {
	if l.Kind != takeoff.SLC {
		return nil
	}
	own := map[string]outcome.Inputs{}
	for _, in := range b.Inputs() {
		own[in.Type] = in
	}
	var out []sheet.InputCircuit
	for _, id := range l.Devices {
		d := b.device[id]
		if d.Circuit != l.Name {
			continue
		}
		of := own[d.Type]
		for n := range of.Each {
			in := sheet.InputCircuit{ID: id, N: n + 1, Of: of.Each, Module: b.typeName(d.Type), Place: strings.Trim(d.Level+" "+d.Place(), " "),
				Address: d.Address, Points: d.Points, Class: of.Class, Resistor: of.EndOfLine, Wire: of.MaxOhm, Source: of.Source}
			if of.EndOfLine > 0 && of.MaxOhm > 0 {
				in.Low, in.High = outcome.Band(of.EndOfLine+of.MaxOhm, of.EndOfLine)
			}
			if len(d.Points) == of.Each {
				in.Points = d.Points[n : n+1] // a circuit to each point
			}
			out = append(out, in)
		}
	}
	return out
}
