package edit_test

import (
	"bytes"
	"fmt"
	"strings"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/dxf/verify"
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

// Put an address beside the detector. All that stood in the drawing stands
// there still, in its order and to the byte, and Strip gives the original back.
func ExampleAdd() {
	d, err := dxf.Parse("plan.dxf", []byte(drawing))
	if err != nil {
		fmt.Println(err)
		return
	}
	text := edit.Text{At: edit.XY{X: 130, Y: 100}, Height: 6, Value: "90"}
	text.Layer, text.Kind = "FA-ADDR", "label"
	edited, err := edit.Add(d, edit.Addition{
		Layers:   []edit.Layer{{Name: "FA-ADDR", Color: 5}},
		Entities: []edit.Entity{text},
	})
	if err != nil {
		fmt.Println(err)
		return
	}

	rest := edited.Bytes
	for line := range strings.Lines(drawing) {
		_, after, found := bytes.Cut(rest, []byte(line))
		if !found {
			fmt.Printf("lost: %q\n", line)
		}
		rest = after
	}
	fmt.Println("problems:", verify.Check("plan.dxf", []byte(drawing), edited.Bytes))

	again, err := dxf.Parse("plan.dxf", edited.Bytes)
	if err != nil {
		fmt.Println(err)
		return
	}
	texts, _, err := again.Texts(dxf.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, t := range texts {
		fmt.Println("text", t.Text, "on", t.Layer, "at", t.Pos.X, t.Pos.Y)
	}

	stripped, err := edit.Strip("plan.dxf", edited.Bytes)
	fmt.Println("stripped is the original:", string(stripped) == drawing, err)
	// Output:
	// problems: <nil>
	// text 90 on FA-ADDR at 130 100
	// stripped is the original: true <nil>
}
