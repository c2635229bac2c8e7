package drafting

import (
	"math"

	"loopwright/takeoff/geom"
)

// reading knows in which directions the texts of a drawing run, so that labels
// run along with them.
type reading struct {
	at    []geom.Point
	angle []float64 // readable, rounded
}

func (r *reading) add(at geom.Point, angle float64) {
	r.at = append(r.at, at)
	r.angle = append(r.angle, roundTo(readable(angle)))
}

// roundTo drops the noise of angles worked out from coordinates.
func roundTo(deg float64) float64 { return math.Round(deg*1e4) / 1e4 }

// readable brings an angle into (-90, 90], where text is not upside down.
func readable(deg float64) float64 {
	a := geom.Norm360(deg)
	switch {
	case a > 270+1e-6:
		return a - 360
	case a > 90+1e-6:
		return a - 180
	}
	return a
}

// main is the direction in which most texts of a window run; along the
// building's axis where there are none.
func (r *reading) main(window *geom.Box, axis float64) float64 {
	n := map[float64]int{}
	best, most := 0.0, 0
	for i, p := range r.at {
		if window != nil && !window.Contains(p) {
			continue
		}
		a := r.angle[i]
		n[a]++
		if n[a] > most || n[a] == most && math.Abs(a) < math.Abs(best) {
			best, most = a, n[a]
		}
	}
	if most == 0 {
		// An axis is one of a pair at right angles: the flatter one is read along.
		return roundTo(axis - 90*math.Round(axis/90))
	}
	return best
}

// near is the direction in which to write at a place: that of the texts around
// it where they agree, as in a wing that is turned against the rest.
func (r *reading) near(p geom.Point, reach, main float64) float64 {
	const neighbours, agree = 3, 3
	var dist [neighbours]float64
	var angle [neighbours]float64
	n := 0
	for i, q := range r.at {
		d := p.Dist(q)
		if d > reach || n == neighbours && d >= dist[n-1] {
			continue
		}
		k := min(n, neighbours-1)
		for ; k > 0 && dist[k-1] > d; k-- {
			dist[k], angle[k] = dist[k-1], angle[k-1]
		}
		dist[k], angle[k] = d, r.angle[i]
		n = min(n+1, neighbours)
	}
	for _, a := range angle[:n] {
		if a != angle[0] {
			return main
		}
	}
	// Texts along a wall that stands across the main direction are dimensions
	// and door numbers: no reason to turn the label.
	if n < agree || math.Abs(math.Abs(angle[0]-main)-90) < 1 {
		return main
	}
	return angle[0]
}
