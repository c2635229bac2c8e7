package recognize

import (
	"fmt"
	"strings"
	"testing"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/words"
)

// loosePage draws loose figures, each "KIND x y": ring and box with letters or without, tri, door; wire ends on
// the last figure from the left; wall is a long line.
func loosePage(figures string) *Page {
	p := &Page{D: &dxf.Drawing{}}
	offset := 0
	shape := func(kind dxf.ShapeKind, closed bool, at ...geom.Point) {
		offset++
		s := dxf.Shape{Kind: kind, Closed: closed, Visible: true, EffLayer: "0", Offset: offset}
		for _, q := range at {
			s.Points = append(s.Points, dxf.Vec3{X: q.X, Y: q.Y})
		}
		p.Shapes = append(p.Shapes, s)
	}
	for f := range strings.SplitSeq(figures, ";") {
		var kind string
		var x, y float64
		if _, err := fmt.Sscan(f, &kind, &x, &y); err != nil {
			panic(err)
		}
		kind, letters, _ := strings.Cut(kind, "+")
		at := func(dx, dy float64) geom.Point { return geom.Pt(x+dx, y+dy) }
		switch kind {
		case "ring":
			var ps []geom.Point
			for a := range 16 {
				ps = append(ps, at(0, 0).Add(geom.Pt(9, 0).Turn(22.5*float64(a))))
			}
			shape(dxf.CircleShape, true, ps...)
		case "box":
			shape(dxf.PolylineShape, true, at(-8, -8), at(8, -8), at(8, 8), at(-8, 8))
		case "tri":
			shape(dxf.PolylineShape, true, at(-8, -8), at(8, -8), at(0, 8))
		case "door":
			shape(dxf.LineShape, false, at(0, 0), at(0, 30))
			var ps []geom.Point
			for a := range 7 {
				ps = append(ps, at(0, 0).Add(geom.Pt(0, 30).Turn(-15*float64(a))))
			}
			shape(dxf.ArcShape, false, ps...)
		case "wire":
			shape(dxf.LineShape, false, at(-30, 0), at(-9, 0))
		case "wall":
			shape(dxf.LineShape, false, at(0, 0), at(500, 0))
		}
		if letters != "" {
			offset++
			p.Texts = append(p.Texts, dxf.Text{Text: letters, Pos: dxf.Vec3{X: x, Y: y}, Height: 6, Width: 4, Lines: 1, Visible: true, EffLayer: "0", Offset: offset,
				Align: dxf.Align{H: dxf.Center, V: dxf.Middle}})
		}
	}
	return NewPage(0, "a", p.D, nil, p.Texts, p.Shapes)
}

// Loose figures that repeat are found, whatever touches them, and nothing else is taken for one.
func TestRepeats(t *testing.T) {
	tests := []struct{ name, drawn, want string }{
		{"letters, twice", "ring+S 0 0;ring+S 100 0", `2 circle with "S", 18 wide`},
		{"letters, once", "ring+S 0 0;ring+H 100 0", ""},
		{"three without letters", "ring 0 0;ring 100 0;ring 200 0;box+A 300 0", "3 circle, 18 wide"},
		{"two without letters", "ring 0 0;ring 100 0;box+A 300 0", ""},
		{"wires on two of three", "ring+S 0 0;wire 0 0;ring+S 100 0;wire 100 0;ring+S 200 0", `3 circle with "S", 18 wide`},
		{"all of them wired, one to a wall", "ring+S 0 0;wire 0 0;ring+S 100 0;wire 100 0;ring+S 200 0;wall 200 0", `3 circle with "S", 18 wide`},
		{"two letters apart", "box+M 0 0;box+M 50 0;box+R 100 0;box+R 150 0", `2 4 lines with "M", 16 wide; 2 4 lines with "R", 16 wide`},
		{"without any text", "tri 0 0;tri 50 0;tri 100 0;wall 0 100", "3 3 lines, 16 wide"},
		{"doors", "door 0 0;door 100 0;door 200 0;ring+S 0 200", "3 line, arc, 30 wide (door)"},
		{"walls", "wall 0 0;wall 0 50;wall 0 100;box+A 0 200", ""},
	}
	for _, tt := range tests {
		found, _ := loosePage(tt.drawn).repeats(0)
		var got []string
		for _, r := range found {
			s := fmt.Sprintf("%d %s", len(r.at), r.name)
			if r.door {
				s += " (door)"
			}
			got = append(got, s)
		}
		if g := strings.Join(got, "; "); g != tt.want {
			t.Errorf("%s: %s\nwant %s", tt.name, g, tt.want)
		}
	}
}

// What is the same circle around many letters is no device: bubbles of a grid, callouts.
func TestBubbles(t *testing.T) {
	drawn := []string{"ring+A 0 0", "ring+A 0 500", "ring+B 100 0", "ring+B 100 500", "ring+C 200 0", "ring+C 200 500", "ring+D 300 0", "ring+D 300 500"}
	for more, want := range map[string]int{"": 0, ";ring+S 20 200;ring+S 80 200;ring+S 140 200;ring+S 200 200": 4} {
		p := loosePage(strings.Join(drawn, ";") + more)
		open := 0
		for _, a := range Look([]*Page{p}, words.Usual()).Account(0, nil) {
			if a.Form == "figure" && a.Unexplained() {
				open += a.Rest
			}
		}
		if open != want {
			t.Errorf("%q: %d figures are unexplained, want %d", more, open, want)
		}
	}
}
