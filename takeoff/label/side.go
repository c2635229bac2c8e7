package label

import "slices"

// Side is where a text stands, seen along its reading direction.
type Side uint8

// The eight sides of a symbol.
const (
	upperRight Side = iota
	lowerRight
	upperLeft
	lowerLeft
	Right
	above
	Below
	Left
	sideCount = iota
)

// defaultSides is the order of preference used where none is given. Common
// drafting practice, no source: upper right first; the corners before the
// middles, because wiring leaves a symbol along its centre lines.
func defaultSides() []Side {
	return []Side{upperRight, lowerRight, upperLeft, lowerLeft, Right, above, Below, Left}
}

// ranks gives each side its place in the preference; -1 for a side not listed.
func ranks(own, common []Side) [sideCount]int {
	var r [sideCount]int
	for s := range r {
		r[s] = -1
	}
	n := 0
	for _, s := range slices.Concat(own, common) {
		if s < sideCount && r[s] < 0 {
			r[s] = n
			n++
		}
	}
	return r
}
