// Package path measures the way between two places of one level: straight,
// rectilinear on the building's own axes, amid walls, or along drawn wiring.
//
// All lengths are metres, angles degrees. Every answer keeps the polyline that
// was measured, so that it can be drawn, and says how it was found.
//
// # Rules
//
// Axes. The building's axes are the peak of a histogram of wall directions modulo
// 90 degrees, weighted by length, if enough of the wall length stands near it; else
// the drawing's axes, and the legs say so. A second peak makes a wing where its
// walls hold the majority in squares of their own (axes.go has the shares).
//
// Walls are penalties in metres, never barriers. Lines close together are one wall,
// of which the dearest counts. Touching a wall, or running along it, is not
// crossing it. At the very end of a leg nothing counts, since a device on a wall
// sits on its line (index.go).
//
// Ways. Both L-shaped ways are tried first; one that crosses nothing is the answer.
// Else the cheapest way over a grid, on cost and bends together, proposes a detour,
// which is then drawn through the true places and measured against the true walls;
// the cheapest of the three wins. The grid depends on the extent of the places only
// and its nodes lie on fixed multiples of the cell, so that one device more shifts
// nobody else's way. Smoothing may make a Leg a little cheaper than its Cost. No
// exact method is known to us; -bench . sets the grid beside finer ones.
//
// Wiring. See [NewWiring]. Wires are followed from level to level through shafts
// (wireshaft.go), for which package route lays the levels side by side in one plane.
package path

import (
	"slices"

	"loopwright/takeoff/geom"
)

// How a leg was measured: the values of Leg.Via.
const (
	ViaRectilinear = "rectilinear"
	ViaStraight    = "straight"
	ViaWalls       = "walls"
	ViaWiring      = "wiring"
)

// Leg is the way from one place to another.
type Leg struct {
	// Points is the polyline from place to place; its first and last point are
	// the places exactly.
	Points []geom.Point
	// Length is the true length of the polyline.
	Length float64
	// Penalty is what the leg costs beyond its length, in metres: walls crossed,
	// less what corridors save. It steers the choice of the way and is no cable.
	Penalty float64
	// Crossings counts the walls crossed; the lines of one wall count once.
	Crossings int
	Via       string // one of the Via constants
	Note      string // why another way of measuring took over, or "" for none
}

// Cost is what the choice between ways compares.
func (l Leg) Cost() float64 { return l.Length + l.Penalty }

// reverse returns the leg walked the other way.
func (l Leg) reverse() Leg {
	l.Points = slices.Clone(l.Points)
	slices.Reverse(l.Points)
	return l
}

// Measurer measures between places that were given when it was made; i and j
// are their indices. Both methods are symmetric, save that Leg runs from i to j,
// and may be called from several goroutines at once.
type Measurer interface {
	// Cost returns the cost of the way from i to j in metres; 0 for i == j.
	Cost(i, j int) float64
	// Leg returns the way itself. Its Cost is Cost(i, j), or a little less where
	// smoothing the way saved some.
	Leg(i, j int) Leg
}
