package dxf_test

import (
	"fmt"
	"strings"

	"loopwright/takeoff/dxf"
)

// drawing is a small R12 drawing as somebody else's program wrote it: numbers
// with as many digits as it liked, and one detector.
var drawing = strings.Join([]string{
	"0", "SECTION", "2", "HEADER", "9", "$ACADVER", "1", "AC1009", "0", "ENDSEC",
	"0", "SECTION", "2", "BLOCKS",
	"0", "BLOCK", "8", "0", "2", "SMK", "70", "0", "10", "0.0", "20", "0.0", "3", "SMK",
	"0", "CIRCLE", "8", "0", "10", "0.0", "20", "0.0", "40", "6.0",
	"0", "ENDBLK", "8", "0", "0", "ENDSEC",
	"0", "SECTION", "2", "ENTITIES",
	"0", "INSERT", "8", "E-FIRE", "2", "SMK", "10", "120.500", "20", "+96.0", "50", "90.0",
	"0", "ENDSEC", "0", "EOF", "",
}, "\n")

// Read the inserts of a drawing.
func ExampleDrawing_Inserts() {
	d, err := dxf.Parse("plan.dxf", []byte(drawing))
	if err != nil {
		fmt.Println(err)
		return
	}
	inserts, findings, err := d.Inserts(dxf.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, in := range inserts {
		fmt.Println(in.Effective, "on", in.Layer, "at", in.Pos.X, in.Pos.Y, "turned", in.Rotation, "visible", in.Visible)
	}
	fmt.Println("findings", len(findings)+len(d.Findings))
	// Output:
	// SMK on E-FIRE at 120.5 96 turned 90 visible true
	// findings 0
}
