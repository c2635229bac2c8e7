package path_test

import (
	"fmt"

	"loopwright/route/path"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
)

// Two places on either side of a wall that ends at y = 4: a bend above it
// crosses nothing.
func ExampleNewWalls() {
	places := []geom.Point{{X: 0, Y: 0}, {X: 10, Y: 6}}
	walls := []path.Wall{{Segment: geom.Segment{A: geom.Pt(5, -20), B: geom.Pt(5, 4)}}}
	m, err := path.NewWalls(places, walls, path.Axes{}, path.WallOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	l := m.Leg(0, 1)
	fmt.Println(l.Points, l.Length, "m,", l.Crossings, "walls,", l.Via)
	// Output:
	// [{0 0} {0 6} {10 6}] 16 m, 0 walls, walls
}

// A wire from the panel to a device, and one that stops short of the next.
func ExampleNewWiring() {
	lines := [][]geom.Point{
		{{X: 0.3, Y: 0}, {X: 9.7, Y: 0}},
		{{X: 10.3, Y: 0}, {X: 19, Y: 0}},
	}
	symbols := []path.Symbol{
		{At: geom.Pt(0, 0), Radius: 0.3}, // the panel
		{At: geom.Pt(10, 0), Radius: 0.3},
		{At: geom.Pt(20, 0), Radius: 0.3},
	}
	w, err := path.NewWiring(lines, symbols, 0, path.WiringOptions{Units: measure.Metric})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range w.Circuits {
		fmt.Println("devices", c.Order, "on", c.Length, "m")
	}
	for _, f := range w.Findings {
		fmt.Println(f.Kind, "at", f.At, "-", f.Message)
	}
	// Output:
	// devices [1] on 10 m
	// gap at {19 0} - a wire ends 0.70 m short of a device that no wire reaches
	// not touched at {20 0} - no wire reaches this device
}
