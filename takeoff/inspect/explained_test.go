package inspect

import (
	"fmt"
	"strings"
	"testing"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/legend"
	"loopwright/takeoff/plan"
)

// legendOf makes a page in millimetres: circles of radius 200 with a letter each,
// in a legend under a heading and, from x = 5000 on, in the plan.
func legendOf(rows [][2]string, placed string) *plan.Page {
	p := &plan.Page{}
	offset := 0
	text := func(words string, x, y, h float64, at dxf.Align) {
		offset++
		p.Texts = append(p.Texts, dxf.Text{Text: words, Pos: dxf.Vec3{X: x, Y: y}, Height: h, Width: 0.8 * h * float64(len(words)),
			Align: at, Lines: 1, Visible: true, Offset: offset})
	}
	ring := func(letter string, x, y float64) {
		offset++
		c := dxf.Shape{Kind: dxf.CircleShape, Visible: true, Closed: true, Offset: offset}
		for a := range 16 {
			at := geom.Pt(200, 0).Turn(22.5 * float64(a))
			c.Points = append(c.Points, dxf.Vec3{X: x + at.X, Y: y + at.Y})
		}
		p.Shapes = append(p.Shapes, c)
		text(letter, x, y, 200, dxf.Align{H: dxf.Center, V: dxf.Middle})
	}
	text("SYMBOLS", 0, 1500, 300, dxf.Align{})
	for i, r := range rows {
		y := -1000 * float64(i)
		ring(r[0], 0, y)
		text(r[1], 500, y, 200, dxf.Align{V: dxf.Middle})
	}
	for i, letter := range placed {
		ring(string(letter), 5000+1000*float64(i), -2000)
	}
	return p
}

// What a legend says about loose figures: by row the text, how many stand in the
// plan, and whether figures that do not differ are said to be two things.
func TestExplained(t *testing.T) {
	tests := []struct {
		name   string
		rows   [][2]string
		placed string
		want   string
	}{
		{"two rows", [][2]string{{"S", "SMOKE DETECTOR"}, {"H", "HEAT DETECTOR"}}, "SHS", "SMOKE DETECTOR 2; HEAT DETECTOR 1"},
		{"one not placed", [][2]string{{"S", "SMOKE DETECTOR"}, {"H", "HEAT DETECTOR"}}, "HX", "SMOKE DETECTOR 0; HEAT DETECTOR 1"},
		{"two that do not differ", [][2]string{{"S", "SMOKE DETECTOR"}, {"H", "HEAT DETECTOR"}, {"S", "SPRINKLER HEAD"}}, "SSH",
			"SMOKE DETECTOR / SPRINKLER HEAD 2 unclear; HEAT DETECTOR 1"},
		{"one shown twice", [][2]string{{"S", "SMOKE DETECTOR"}, {"H", "HEAT DETECTOR"}, {"S", "SMOKE DETECTOR"}}, "S", "SMOKE DETECTOR 1; HEAT DETECTOR 0"},
	}
	for _, tt := range tests {
		s := legend.Of(legendOf(tt.rows, tt.placed))
		found := s.Loose().Repeated(0.001, figureSamples(s.Legends), s.InLegend)
		var got []string
		for _, f := range found {
			g := fmt.Sprintf("%s %d", f.Legend, f.Count)
			if f.Unclear {
				g += " unclear"
			}
			got = append(got, g)
		}
		if g := strings.Join(got, "; "); g != tt.want {
			t.Errorf("%s: %s\nwant %s", tt.name, g, tt.want)
		}
	}
}
