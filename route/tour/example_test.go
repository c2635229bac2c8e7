package tour_test

import (
	"fmt"

	"loopwright/route/tour"
	"loopwright/takeoff/geom"
)

// Five devices around a courtyard of 30 m by 20 m, the panel in a corner: as a
// loop that comes home, and as a chain whose far end is free.
func ExampleSolve() {
	p := tour.Problem{
		Points: []geom.Point{{X: 0, Y: 0}, // the panel
			{X: 30, Y: 20}, {X: 15, Y: 0}, {X: 0, Y: 20}, {X: 30, Y: 0}, {X: 15, Y: 20}},
		Metric: tour.Rectilinear,
	}
	for _, open := range []bool{false, true} {
		p.Open = open
		res, err := tour.Solve(p)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Println("open", open, "order", res.Order, "length", res.Length, "exact", res.Exact)
	}
	// Output:
	// open false order [0 2 4 1 5 3] length 100 exact true
	// open true order [0 2 4 1 5 3] length 80 exact true
}

// A revision adds a device. The earlier order is kept as long as that costs no
// more than a tenth of the shortest way.
func ExampleProblem_prefer() {
	p := tour.Problem{
		Points: []geom.Point{{X: 0, Y: 0}, {X: 10, Y: 0}, {X: 10, Y: 10}, {X: 0, Y: 10}, {X: 5, Y: 10.5}},
		Near:   0.1,
		Prefer: []int{0, 3, 2, 1}, // as installed; place 4 is new
	}
	res, err := tour.Solve(p)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(res.Order, "kept", res.Kept)
	// Output:
	// [0 3 4 2 1] kept true
}
