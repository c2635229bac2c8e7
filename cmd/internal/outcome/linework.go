package outcome

import (
	"math"

	"loopwright/takeoff"
	"loopwright/takeoff/dxf"
	"loopwright/takeoff/dxf/edit"
)

// Linework reads what is drawn on a drawing of the job.
func (o *Outcome) Linework(drawing string) ([]dxf.Shape, error) {
	d, err := edit.Open(o.Job.Resolve(drawing))
	if err != nil {
		return nil, err
	}
	defer d.Close()
	shapes, _, err := d.Shapes(dxf.Options{})
	return shapes, err
}

// Upright is by how much a level is turned back so that its walls run along a
// page, between -45 and 45 degrees.
func Upright(l takeoff.Level) float64 {
	if len(l.Sheets) == 0 {
		return 0
	}
	a := l.Sheets[0].Axis
	return a - 90*math.Round(a/90)
}
