package label_test

import (
	"fmt"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/label"
)

// Three detectors along a corridor, their symbols 0.4 m wide. The second stands
// under a wall, so that the drafter's first choice, upper right, is taken there.
func ExamplePlace() {
	var labels []label.Label
	for i, text := range []string{"88", "89", "90"} {
		at := geom.Pt(float64(3*i), 0)
		labels = append(labels, label.Label{
			ID: text, Text: text, Height: 0.2,
			Anchor: at, Symbol: label.RectOf(geom.Around(at, 0.4, 0.4)),
		})
	}
	wall := geom.Segment{A: geom.Pt(2, 0.25), B: geom.Pt(4, 0.25)}

	res := label.Place(labels, label.Obstacles{Segments: []label.SegmentObstacle{{Segment: wall}}}, label.Options{})
	for _, p := range res.Placements {
		fmt.Printf("%s: %s, text begins at (%.2f, %.2f)\n", p.ID, p.Side, p.Baseline.X, p.Baseline.Y)
	}
	fmt.Println("placed", res.Placed, "with a leader", res.WithLeader, "left over", len(res.Unplaced()))
	// Output:
	// 88: upper right, text begins at (0.27, 0.10)
	// 89: lower right, text begins at (3.27, -0.30)
	// 90: upper right, text begins at (6.27, 0.10)
	// placed 3 with a leader 0 left over 0
}
