package build

import (
	"bytes"

	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook"
)

// Workbook is an outcome as the takeoff workbook shows it.
func Workbook(o *outcome.Outcome) workbook.Input {
	in := workbook.Input{Job: o.Job, Take: o.Take, Devices: o.Devices, Findings: o.Findings, Linework: o.Linework, Changes: o.Changes()}
	for _, c := range o.Circuits {
		x := workbook.Circuit{Circuit: c.Circuit, Proof: c.Proof, Addressing: c.Addressing}
		if len(c.Survival.Legs) > 0 {
			x.Faults, x.ZoneLimit = &c.Survival, c.Limits.Zones
		}
		in.Circuits = append(in.Circuits, x)
	}
	return in
}

// takeoffBook writes the takeoff as a spreadsheet.
func takeoffBook(o *outcome.Outcome) (Output, error) {
	var b bytes.Buffer
	if err := workbook.Write(&b, Workbook(o)); err != nil {
		return Output{}, err
	}
	return Output{"takeoff.xlsx", b.Bytes()}, nil
}
