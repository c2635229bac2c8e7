package takeoff

import (
	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
)

// part is the part of a drawing that somebody asks about: all of it if nothing is given.
type part struct {
	Region *geom.Box  // drawing units
	Ignore []geom.Box // drawing units
	Walls  []string   // patterns of the layers of walls; none: those that sound like it
}

// within reports whether a place lies in the region.
func (p part) within(at geom.Point) bool { return p.Region == nil || p.Region.Contains(at) }

// ignores reports whether a place lies in what is to be ignored.
func (p part) ignores(at geom.Point) bool {
	for _, b := range p.Ignore {
		if b.Contains(at) {
			return true
		}
	}
	return false
}

// holds reports whether all places lie in the region and outside what is ignored.
func (p part) holds(places ...dxf.Vec3) bool {
	for _, v := range places {
		if at := plane(v); !p.within(at) || p.ignores(at) {
			return false
		}
	}
	return true
}
