package route

import (
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// atDevice gives a finding the place of a device, by its id, so that a person
// finds it on the drawing. Branch points, risers and panels have none.
func atDevice(f takeoff.Finding, devices []takeoff.Device, ids ...string) takeoff.Finding {
	for _, id := range ids {
		for _, d := range devices {
			if d.ID == id {
				f.Drawing, f.Handle, f.At, f.Placed = d.Drawing, d.Handle, d.At, true
				return f
			}
		}
	}
	return f
}

// onLevel gives a finding a place in the building's frame, on the first sheet of a level.
func onLevel(f takeoff.Finding, b Building, level string, at geom.Point) takeoff.Finding {
	i, err := b.level(level)
	if err != nil {
		return f
	}
	return onSheet(f, b.Levels[i], at)
}

func onSheet(f takeoff.Finding, level takeoff.Level, at geom.Point) takeoff.Finding {
	if len(level.Sheets) == 0 {
		return f
	}
	sheet := level.Sheets[0]
	if back, err := sheet.ToBuilding.Inverse(); err == nil {
		f.Drawing, f.At, f.Placed = sheet.Plan.Drawing, back.Apply(at), true
	}
	return f
}
