package outcome

import (
	"loopwright/cmd/internal/job"
	"loopwright/route/wire"
)

// Inputs are the input circuits that the modules of one type have of their own.
type Inputs struct {
	Type    string
	Devices int    // modules of the type that hang on a circuit
	Each    int    // input circuits of each
	Class   string // pathway class, A or B
	wire.InputCircuit
}

// Inputs lists the types with input circuits of their own that hang on circuits,
// in the order of the job file.
func (o *Outcome) Inputs() []Inputs {
	count := map[string]int{}
	for _, d := range o.Devices {
		if d.Circuit != "" {
			count[d.Type]++
		}
	}
	var out []Inputs
	for _, t := range o.Job.Types {
		if t.EndOfLine > 0 && count[t.Type] > 0 {
			out = append(out, Inputs{Type: t.Type, Devices: count[t.Type], Each: t.EndOfLine, Class: t.Inputs, InputCircuit: inputCircuit(t)})
		}
	}
	return out
}

// inputCircuit is what the job gives of a module's listing; what it leaves out stays 0, and the source says so.
func inputCircuit(t job.Type) wire.InputCircuit {
	in := wire.InputCircuit{MaxOhm: t.InputMaxOhm, EndOfLine: t.EndOfLineOhm, Source: "given in the job file"}
	switch {
	case in.MaxOhm == 0 && in.EndOfLine == 0:
		in.Source = "not given: take the resistor and the most wire from the module's listing"
	case in.MaxOhm == 0:
		in.Source = "resistor given in the job file; take the most wire from the module's listing"
	case in.EndOfLine == 0:
		in.Source = "most wire given in the job file; take the resistor from the module's listing"
	}
	return in
}
