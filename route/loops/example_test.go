package loops_test

import (
	"fmt"

	"loopwright/route/loops"
	"loopwright/route/tour"
	"loopwright/takeoff/geom"
)

// Eight detectors in two wings, a panel between them, and circuits of four
// addresses each: one loop for each wing.
func ExampleSolve() {
	p := loops.Problem{
		Points: []geom.Point{{X: 0, Y: 0}, // the panel
			{X: 10, Y: 0}, {X: 20, Y: 0}, {X: 20, Y: 5}, {X: 10, Y: 5},
			{X: -10, Y: 0}, {X: -20, Y: 0}, {X: -20, Y: 5}, {X: -10, Y: 5}},
		Metric:   tour.Rectilinear,
		Demand:   [][]float64{{0, 1, 1, 1, 1, 1, 1, 1, 1}}, // addresses
		Capacity: []float64{4},
	}
	res, err := loops.Solve(p)
	if err != nil {
		fmt.Println(err)
		return
	}
	for i, route := range res.Routes {
		fmt.Println("loop", i+1, route)
	}
	fmt.Println("cable", res.Length, "m, loops needed at least", res.FewestEver)
	// Output:
	// loop 1 [1 4 3 2]
	// loop 2 [5 8 7 6]
	// cable 100 m, loops needed at least 2
}
