package job

import (
	"fmt"
	"strings"

	"loopwright/takeoff"
)

// Ask is a key for listing data, which has no default.
type Ask struct {
	Key      string // max_resistance
	Unit     string // that people write: "ohm"; "" for a number
	Help     string // as in the reference
	Unjudged string // while it is blank: "loop resistance"
	Whose    string // listing has it: "panel"
}

// AsksOfCircuit are the figures that a circuit of the kind needs from listings.
func AsksOfCircuit(kind takeoff.CircuitKind) []Ask { return circuitTable.asks(&Circuit{Kind: kind}) }

// AsksOfInputs are the figures that a type with input circuits of its own needs from listings.
func AsksOfInputs() []Ask { return typeTable.asks(&Type{DeviceType: takeoff.DeviceType{EndOfLine: 1}}) }

func (t *table[T]) asks(row *T) []Ask {
	var out []Ask
	for _, k := range t.keys {
		if k.left.unjudged != "" && k.only(row) {
			_, unit, _ := strings.Cut(k.sample, " ")
			out = append(out, Ask{k.name, unit, k.help, k.left.unjudged, k.left.whose})
		}
	}
	return out
}

// BlankOfCircuit are the figures that row i of the circuits leaves out.
func (j *Job) BlankOfCircuit(i int) []Ask {
	return j.blank(fmt.Sprintf("circuits[%d]", i), AsksOfCircuit(j.Circuits[i].Kind))
}

// BlankOfInputs are the figures that row i of the types leaves out.
func (j *Job) BlankOfInputs(i int) []Ask {
	if j.Types[i].EndOfLine == 0 {
		return nil
	}
	return j.blank(fmt.Sprintf("types[%d]", i), AsksOfInputs())
}

func (j *Job) blank(row string, asks []Ask) []Ask {
	var out []Ask
	for _, a := range asks {
		if !j.Given(row + "." + a.Key) {
			out = append(out, a)
		}
	}
	return out
}
