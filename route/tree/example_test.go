package tree_test

import (
	"fmt"

	"loopwright/route/tree"
	"loopwright/takeoff/geom"
)

// A panel below three devices in a row: one tap in the middle of the row serves all.
func ExampleSteiner() {
	t, err := tree.Steiner([]geom.Point{{X: 4, Y: 0}, {X: 0, Y: 3}, {X: 4, Y: 3}, {X: 9, Y: 3}}, 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("length", t.Length, "exact", t.Exact)
	fmt.Println("walk", t.Order)
	for _, n := range t.Nodes[1:] {
		fmt.Println(n.Path, "from the root", n.Dist)
	}
	// Output:
	// length 12 exact true
	// walk [0 2 1 3]
	// [{4 3} {0 3}] from the root 7
	// [{4 0} {4 3}] from the root 3
	// [{4 3} {9 3}] from the root 8
}

// Devices have terminals for two cables each, so that nothing can branch: the
// second device of the star goes behind the first.
func ExampleSpanningMatrix() {
	cost := [][]float64{{0, 5, 6, 8}, {0, 0, 7, 9}, {0, 0, 0, 9}, {0, 0, 0, 0}}
	t, err := tree.SpanningMatrix(4, 0, func(i, j int) float64 { return cost[i][j] }, tree.Limits{Root: 1, Other: 2})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("length", t.Length, "at least", t.LowerBound, "walk", t.Order)
	// Output:
	// length 21 at least 19 walk [0 1 2 3]
}
