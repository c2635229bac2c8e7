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

// beside finds room of a size to the right of a box, its upper edge level with
// the box, clear of everything drawn. It returns the upper left corner.
func beside(drawn []geom.Box, b geom.Box, size geom.Point, gap float64) geom.Point {
	x := b.Max.X + gap
	for {
		room := geom.Box{Min: geom.Pt(x, b.Max.Y-size.Y), Max: geom.Pt(x+size.X, b.Max.Y)}.Grow(gap / 2)
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
