package paper

import (
	"strings"

	"loopwright/assign/sheet"
	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/route/wire"
	"loopwright/takeoff"
)

// moduleInputs are the supervised circuits of the modules that a circuit
// numbers, in walking order.
func (b *binder) moduleInputs(l outcome.Laid) []sheet.InputCircuit {
	if l.Kind != takeoff.SLC {
		return nil
	}
	var out []sheet.InputCircuit
	for _, id := range l.Devices {
		d := b.device[id]
		t := b.types[d.Type]
		if d.Circuit != l.Name {
			continue
		}
		for n := range t.EndOfLine {
			in := sheet.InputCircuit{ID: id, N: n + 1, Of: t.EndOfLine, Module: b.typeName(d.Type), Place: strings.Trim(d.Level+" "+d.Room, " "),
				Address: d.Address, Points: d.Points, Class: t.Inputs, Resistor: t.EndOfLineOhm, Wire: t.InputMaxOhm, Source: inputSource(t)}
			if len(d.Points) == t.EndOfLine {
				in.Points = d.Points[n : n+1] // a circuit to each point
			}
			out = append(out, in)
		}
	}
	return out
}

// inputSource says where the resistor's value and the wire's limit come from.
func inputSource(t job.Type) string {
	usual := wire.CommonInputCircuit
	if t.InputMaxOhm == usual.MaxOhm && t.EndOfLineOhm == usual.EndOfLine {
		return usual.Source
	}
	return "given in the job file"
}
