package plan

import (
	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
)

// Part is the part of a drawing that somebody asks about: all of it if nothing is given.
type Part struct {
	Region *geom.Box  // drawing units
	Ignore []geom.Box // drawing units
	Walls  []string   // patterns of the layers of walls; none: those that sound like it
}

// Within reports whether a place lies in the region.
func (p Part) Within(at geom.Point) bool { return p.Region == nil || p.Region.Contains(at) }

// Ignores reports whether a place lies in what is to be ignored.
func (p Part) Ignores(at geom.Point) bool {
	for _, b := range p.Ignore {
		if b.Contains(at) {
			return true
		}
	}
	return false
}

// Holds reports whether all places lie in the region and outside what is ignored.
func (p Part) Holds(places ...dxf.Vec3) bool {
	for _, v := range places {
		if at := At(v); !p.Within(at) || p.Ignores(at) {
			return false
		}
	}
	return true
}
