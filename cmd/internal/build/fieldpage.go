package build

import (
	"bytes"

	"loopwright/cmd/internal/fieldpage"
)

// FieldPage is the outcome as the page for site shows it.
func (o *Outcome) FieldPage() fieldpage.Input {
	in := fieldpage.Input{Job: o.Job, Take: o.Take, Devices: o.Devices, Findings: o.Findings, Linework: o.linework}
	for _, c := range o.Circuits {
		in.Circuits = append(in.Circuits, fieldpage.Circuit{Circuit: c.Circuit, Proof: c.Proof, Addressing: c.Addressing})
	}
	return in
}

// fieldPage writes the page for site.
func (o *Outcome) fieldPage() (Output, error) {
	var b bytes.Buffer
	if err := fieldpage.Write(&b, o.FieldPage()); err != nil {
		return Output{}, err
	}
	return Output{"field.html", b.Bytes()}, nil
}
