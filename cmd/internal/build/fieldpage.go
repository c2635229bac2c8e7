package build

import (
	"bytes"

	"loopwright/cmd/internal/fieldpage"
	"loopwright/cmd/internal/outcome"
)

// FieldPage is an outcome as the page for site shows it.
func FieldPage(o *outcome.Outcome) fieldpage.Input {
	in := fieldpage.Input{Job: o.Job, Take: o.Take, Devices: o.Devices, Findings: o.Findings, Linework: o.Linework}
	for _, c := range o.Circuits {
		in.Circuits = append(in.Circuits, fieldpage.Circuit{Circuit: c.Circuit, Proof: c.Proof, Addressing: c.Addressing})
	}
	return in
}

// fieldPage writes the page for site.
func fieldPage(o *outcome.Outcome) (Output, error) {
	var b bytes.Buffer
	if err := fieldpage.Write(&b, FieldPage(o)); err != nil {
		return Output{}, err
	}
	return Output{"field.html", b.Bytes()}, nil
}
