package build

import (
	"bytes"

	"loopwright/cmd/internal/workbook"
	"loopwright/takeoff/dxf"
)

// Workbook is the outcome as the takeoff workbook shows it.
func (o *Outcome) Workbook() workbook.Input {
	in := workbook.Input{Job: o.Job, Take: o.Take, Devices: o.Devices, Findings: o.Findings, Linework: o.linework, Changes: o.changes()}
	for _, c := range o.Circuits {
		x := workbook.Circuit{Circuit: c.Circuit, Proof: c.Proof, Addressing: c.Addressing}
		if len(c.Survival.Legs) > 0 {
			x.Faults, x.ZoneLimit = &c.Survival, o.faultLimits(c.Circuit).Zones
		}
		in.Circuits = append(in.Circuits, x)
	}
	return in
}

// workbook writes the takeoff as a spreadsheet.
func (o *Outcome) workbook() (Output, error) {
	var b bytes.Buffer
	if err := workbook.Write(&b, o.Workbook()); err != nil {
		return Output{}, err
	}
	return Output{"takeoff.xlsx", b.Bytes()}, nil
}

// linework reads what is drawn on a drawing of the job.
func (o *Outcome) linework(drawing string) ([]dxf.Shape, error) {
	d, err := dxf.Open(o.Job.Resolve(drawing))
	if err != nil {
		return nil, err
	}
	defer d.Close()
	shapes, _, err := d.Shapes(dxf.Options{})
	return shapes, err
}
