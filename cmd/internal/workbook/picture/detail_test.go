package picture

import (
	"bytes"
	"image/color"
	"image/png"
	"testing"

	"loopwright/takeoff/geom"
)

// A detail shows lines and lettering where they stand in the window, and nothing else.
func TestDetail(t *testing.T) {
	p, err := NewPainter()
	if err != nil {
		t.Fatal(err)
	}
	window := geom.BoxOf(geom.Pt(100, 100), geom.Pt(110, 110))
	tests := []struct {
		name   string
		lines  [][]geom.Point
		labels []Label
		dark   func(x, y int) bool // of the quarters: whether anything stands there
	}{
		{"nothing", nil, nil, func(_, _ int) bool { return false }},
		{"a line at the lower left", [][]geom.Point{{{X: 101, Y: 102}, {X: 104, Y: 102}}}, nil, func(x, y int) bool { return x == 0 && y == 1 }},
		{"a letter at the upper right", nil, []Label{{"S", geom.Pt(107.5, 107.5), 2}}, func(x, y int) bool { return x == 1 && y == 0 }},
		{"a line outside the window", [][]geom.Point{{{X: 200, Y: 200}, {X: 300, Y: 200}}}, nil, func(_, _ int) bool { return false }},
	}
	for _, tt := range tests {
		data, err := p.Detail(window, tt.lines, tt.labels)
		if err != nil {
			t.Fatal(err)
		}
		img, err := png.Decode(bytes.NewReader(data))
		if err != nil || img.Bounds().Dx() != DetailSide || img.Bounds().Dy() != DetailSide {
			t.Fatalf("%s: %v, %v", tt.name, img.Bounds(), err)
		}
		var dark [2][2]bool
		for y := range DetailSide {
			for x := range DetailSide {
				if g := color.GrayModel.Convert(img.At(x, y)).(color.Gray); g.Y < 128 {
					dark[2*x/DetailSide][2*y/DetailSide] = true
				}
			}
		}
		for x := range 2 {
			for y := range 2 {
				if dark[x][y] != tt.dark(x, y) {
					t.Errorf("%s: in quarter %d,%d: %v", tt.name, x, y, dark[x][y])
				}
			}
		}
	}
}
