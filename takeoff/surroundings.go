package takeoff

import (
	"fmt"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
)

// surroundings reads what stands around the devices: walls and rooms.
func (r *reader) surroundings() error {
	shapes, notes, err := r.d.Shapes(dxf.Options{})
	if err != nil {
		return fmt.Errorf("plan %s: %w", r.plan.Drawing, err)
	}
	r.t.passOn(r.plan.Drawing, notes)
	r.sheet.Extent = geom.EmptyBox()
	for _, s := range shapes {
		if !s.Visible || !r.inRegion(s.Points) {
			continue
		}
		for _, p := range s.Points {
			r.sheet.Extent = r.sheet.Extent.Extend(geom.Pt(p.X, p.Y))
		}
		if r.onWall(s.EffLayer) {
			r.addWall(s)
		}
	}
	return r.rooms()
}

func (r *reader) inRegion(pts []dxf.Vec3) bool {
	for _, p := range pts {
		if r.plan.Region != nil && !r.plan.Region.Contains(geom.Pt(p.X, p.Y)) || inAny(r.plan.Ignore, geom.Pt(p.X, p.Y)) {
			return false
		}
	}
	return true
}

func (r *reader) onWall(layer string) bool {
	for _, pattern := range r.plan.Walls {
		if NameFits(pattern, layer) {
			return true
		}
	}
	return false
}

// addWall adds each straight piece of a shape to the sheet's walls.
func (r *reader) addWall(s dxf.Shape) {
	at := func(i int) geom.Point {
		p := s.Points[i%len(s.Points)]
		return r.sheet.ToBuilding.Apply(geom.Pt(p.X, p.Y))
	}
	n := len(s.Points)
	if !s.Closed {
		n--
	}
	for i := range n {
		r.sheet.Walls = append(r.sheet.Walls, Wall{Segment: geom.Segment{A: at(i), B: at(i + 1)}, Layer: s.EffLayer})
	}
}

// roomReach is how far in metres a name may stand from a device and still name its room.
const roomReach = 12.0

// rooms finds the room names of the plan and gives each device the nearest.
func (r *reader) rooms() error {
	texts, notes, err := r.d.Texts(dxf.Options{})
	if err != nil {
		return fmt.Errorf("plan %s: %w", r.plan.Drawing, err)
	}
	r.t.passOn(r.plan.Drawing, notes)
	_ = texts
	return nil
}
