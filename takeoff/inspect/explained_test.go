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
		c := dxf.Shape{Kind: dxf.CircleShape, EffLayer: "E-FIRE", Visible: true, Closed: true, Offset: offset}
		for a := range 16 {
			at := geom.Pt(200, 0).Turn(22.5 * float64(a))
			c.Points = append(c.Points, dxf.Vec3{X: x + at.X, Y: y + at.Y})
		}
		p.Shapes = append(p.Shapes, c)
		text(letter, x, y, 200, dxf.Align{H: dxf.Center, V: dxf.Middle})
		p.Texts[len(p.Texts)-1].EffLayer = "E-FIRE"
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

// What a legend explains is not asked about again; what it does not is, if it repeats.
func TestExplained(t *testing.T) {
	two := [][2]string{{"S", "SMOKE DETECTOR"}, {"H", "HEAT DETECTOR"}}
	tests := []struct {
		name   string
		rows   [][2]string
		placed string
		want   string
	}{
		{"two rows", two, "SHSH", ""},
		{"another letter, twice", two, "SXSX", "X 2"},
		{"another letter, once", two, "SSX", ""},
		{"a row that is shown twice", append(two[:2:2], two[0]), "XSX", "X 2"},
		{"two that do not differ", append(two[:2:2], [2]string{"S", "SPRINKLER HEAD"}), "SSHXX", "X 2"},
	}
	for _, tt := range tests {
		s := legend.Of(legendOf(tt.rows, tt.placed))
		var got []string
		for _, f := range s.Loose().Repeated(0.001, samples(s.Legends), s.InLegend) {
			got = append(got, fmt.Sprintf("%s %d", f.Letters, f.Count))
		}
		if g := strings.Join(got, "; "); g != tt.want {
			t.Errorf("%s: %s\nwant %s", tt.name, g, tt.want)
		}
	}
}
