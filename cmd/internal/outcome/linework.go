package outcome

import "loopwright/takeoff/dxf"

// Linework reads what is drawn on a drawing of the job.
func (o *Outcome) Linework(drawing string) ([]dxf.Shape, error) {
	d, err := dxf.Open(o.Job.Resolve(drawing))
	if err != nil {
		return nil, err
	}
	defer d.Close()
	shapes, _, err := d.Shapes(dxf.Options{})
	return shapes, err
}
