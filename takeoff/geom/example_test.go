package geom_test

import (
	"fmt"

	"loopwright/takeoff/geom"
)

// A plan is drawn in inches and turned by a quarter against the building. One
// transform takes its places to metres in the building's frame, and its inverse
// brings a place back to the drawing.
func ExampleAffine_Then() {
	datum := geom.Pt(120, 80) // stands above itself on all levels
	toBuilding := geom.Shift(datum.Mul(-1)).
		Then(geom.Scaling(0.0254, 0.0254)).
		Then(geom.Rotation(90))

	detector := geom.Pt(1120, 580)
	p := toBuilding.Apply(detector)
	fmt.Printf("in the building: %.1f m, %.1f m\n", p.X, p.Y)

	back, err := toBuilding.Inverse()
	if err != nil {
		fmt.Println(err)
		return
	}
	q := back.Apply(p)
	fmt.Printf("on the drawing: %.0f in, %.0f in\n", q.X, q.Y)
	// Output:
	// in the building: -12.7 m, 25.4 m
	// on the drawing: 1120 in, 580 in
}

// Which of two rooms holds a device, and how far it is from the wall between them.
func ExampleRing_Contains() {
	hall := geom.Ring{{X: 0, Y: 0}, {X: 6, Y: 0}, {X: 6, Y: 4}, {X: 0, Y: 4}}
	office := geom.Ring{{X: 6, Y: 0}, {X: 10, Y: 0}, {X: 10, Y: 4}, {X: 6, Y: 4}}
	wall := geom.Segment{A: geom.Pt(6, 0), B: geom.Pt(6, 4)}

	device := geom.Pt(7.5, 1)
	fmt.Println("hall", hall.Contains(device), "office", office.Contains(device))
	fmt.Println("office of", office.Area(), "m2, wall", wall.Dist(device), "m away")
	// Output:
	// hall false office true
	// office of 16 m2, wall 1.5 m away
}
