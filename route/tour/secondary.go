package tour

import "loopwright/takeoff/geom"

// Secondary is what makes one of two near-equal tours the better one to install: fewer turns, fewer crossings.
type Secondary struct {
	// Turns is the cost of passing from place prev through at to next. It must not depend on the direction. It is
	// not asked at the start, nor at the end of a chain.
	Turns func(prev, at, next int) float64
	// Crossing is the cost of each pair of legs that cross as straight lines in plan; it needs Problem.Points.
	Crossing float64
}

func sign(v float64) int {
	switch {
	case v > 0:
		return 1
	case v < 0:
		return -1
	}
	return 0
}

// cross reports whether the segments ab and cd cross inside both; touching at an end is no crossing.
func cross(a, b, c, d geom.Point) bool {
	if max(a.X, b.X) < min(c.X, d.X) || max(c.X, d.X) < min(a.X, b.X) {
		return false
	}
	return side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0
}

func side(a, b, c geom.Point) int {
	return sign(float64((b.X-a.X)*(c.Y-a.Y)) - float64((b.Y-a.Y)*(c.X-a.X)))
}
