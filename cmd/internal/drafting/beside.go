package drafting

import (
	"math"

	"loopwright/takeoff/geom"
)

// sheetGap is how much emptier than the sheet the room around a group of drawn
// things must be for the group to end there, as a share of its size.
const sheetGap = 0.15

// cluster is the box around a place and all that is drawn near it: the plan
// with its frame and title block, but not a stray line a mile away.
func cluster(drawn []geom.Box, start geom.Box) geom.Box {
	b := start
	for {
		reach := b.Grow(sheetGap * max(b.Width(), b.Height()))
		next := b
		for _, d := range drawn {
			if touches(d, reach) {
				next = next.Union(d)
			}
		}
		if next == b {
			return b
		}
		b = next
	}
}

func touches(a, b geom.Box) bool {
	return a.Min.X <= b.Max.X && b.Min.X <= a.Max.X && a.Min.Y <= b.Max.Y && b.Min.Y <= a.Max.Y
}

// free reports whether nothing is drawn in a box.
func free(drawn []geom.Box, room geom.Box) bool {
	for _, d := range drawn {
		if touches(d, room) {
			return false
		}
	}
	return true
}

// beside finds room of a size next to a box, clear of everything drawn: to its
// right, else to its left, below or above it, else as far to the right as it
// takes. It returns the upper left corner.
func beside(drawn []geom.Box, b geom.Box, size geom.Point, gap float64) geom.Point {
	for _, p := range [...]geom.Point{
		{X: b.Max.X + gap, Y: b.Max.Y},
		{X: b.Min.X - gap - size.X, Y: b.Max.Y},
		{X: b.Min.X, Y: b.Min.Y - gap},
		{X: b.Min.X, Y: b.Max.Y + gap + size.Y},
	} {
		if free(drawn, spread(p, size).Grow(gap/2)) {
			return p
		}
	}
	return beyond(drawn, b, size, gap)
}

// spread is the box of a size with its upper left corner at a place.
func spread(p, size geom.Point) geom.Box {
	return geom.Box{Min: geom.Pt(p.X, p.Y-size.Y), Max: geom.Pt(p.X+size.X, p.Y)}
}

// beyond is the first free room to the right of a box, its upper edge level with the box.
func beyond(drawn []geom.Box, b geom.Box, size geom.Point, gap float64) geom.Point {
	x := b.Max.X + gap
	for {
		room := spread(geom.Pt(x, b.Max.Y), size).Grow(gap / 2)
		next := math.Inf(-1)
		for _, d := range drawn {
			if touches(d, room) {
				next = max(next, d.Max.X)
			}
		}
		if math.IsInf(next, -1) {
			return geom.Pt(x, b.Max.Y)
		}
		x = max(next, x) + gap
	}
}
