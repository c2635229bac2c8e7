package figures

import (
	"slices"

	"loopwright/takeoff/geom"
)

// explained lists where the figures that stand at samples stand again, as they would
// be counted, and nothing is set aside.
func (b *Board) explained(metre float64, samples []geom.Point, aside func(geom.Point) bool) []geom.Point {
	var known []Figure
	var hits []geom.Point
	for _, at := range samples {
		f, ok := b.Sample(at, metre, "")
		if !ok || slices.ContainsFunc(known, func(k Figure) bool { return b.stands(k, at, f.size, metre) }) { // shown twice
			continue
		}
		known = append(known, f)
		hits = append(hits, b.sightings(f, metre, aside)...)
	}
	return hits
}

// stands reports whether a figure, of the size given, stands at a place.
func (b *Board) stands(f Figure, at geom.Point, size, metre float64) bool {
	h := hunt{b: b, f: f, metres: metre, used: map[int]bool{}}
	return slices.ContainsFunc(b.near(at, size/metre), func(i int) bool {
		found, _, ok := h.at(i)
		return ok && found.to.Apply(geom.Point{}).Dist(at) < 0.25*size/metre
	})
}

// sightings lists where a figure stands and nothing is set aside, as it would be counted.
func (b *Board) sightings(f Figure, metre float64, aside func(geom.Point) bool) []geom.Point {
	h := hunt{b: b, f: f, metres: metre, used: map[int]bool{}}
	var places []geom.Point
	for i := range b.strokes {
		found, _, ok := h.at(i)
		if !ok {
			continue
		}
		for _, j := range found.strokes {
			h.used[j] = true
		}
		if at := found.to.Apply(geom.Point{}); b.strokes[i].visible && !aside(at) {
			places = append(places, at)
		}
	}
	return places
}
