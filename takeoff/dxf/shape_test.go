package dxf

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

func showShapes(shapes []Shape) string {
	var out []string
	for _, s := range shapes {
		line := s.Kind.String()
		if s.Closed {
			line += " closed"
		}
		for _, p := range s.Points {
			line += fmt.Sprintf(" %.4g,%.4g,%.4g", round(p.X), round(p.Y), round(p.Z))
		}
		if !s.Visible {
			line += " hidden"
		}
		out = append(out, line)
	}
	return strings.Join(out, "\n")
}

func round(f float64) float64 { return math.Round(f*1e6)/1e6 + 0 }

var shapeCases = []struct{ name, blocks, entities, want string }{
	{"line", "", "0 LINE\n8 0\n10 1\n20 2\n30 3\n11 4\n21 5\n31 6", "line 1,2,3 4,5,6"},
	{"polyline", "", "0 LWPOLYLINE\n8 0\n90 3\n70 0\n38 5\n10 0\n20 0\n10 1\n20 0\n10 1\n20 1", "polyline 0,0,5 1,0,5 1,1,5"},
	{"closed polyline that repeats its first point", "", "0 LWPOLYLINE\n8 0\n70 1\n10 0\n20 0\n10 1\n20 0\n10 1\n20 1\n10 0\n20 0", "polyline closed 0,0,0 1,0,0 1,1,0"},
	{"R12 polyline", "", "0 POLYLINE\n8 0\n66 1\n70 1\n30 2\n0 VERTEX\n8 0\n10 0\n20 0\n0 VERTEX\n8 0\n10 1\n20 1\n0 VERTEX\n10 9\n20 9\n70 16\n0 SEQEND", "polyline closed 0,0,2 1,1,2"},
	{"3D polyline", "", "0 POLYLINE\n8 0\n70 8\n0 VERTEX\n10 0\n20 0\n30 1\n70 32\n0 VERTEX\n10 1\n20 1\n30 2\n70 32\n0 SEQEND", "polyline 0,0,1 1,1,2"},
	{"meshes are left out", "", "0 POLYLINE\n8 0\n70 64\n0 VERTEX\n10 0\n20 0\n70 192\n0 SEQEND\n0 POLYLINE\n70 16\n0 VERTEX\n10 0\n20 0\n0 SEQEND", ""},
	{"polyline with extrusion", "", "0 LWPOLYLINE\n8 0\n10 1\n20 0\n10 2\n20 0\n210 0\n220 0\n230 -1", "polyline -1,0,0 -2,0,0"},
	{"solid: its corners cross over", "", "0 SOLID\n8 0\n10 0\n20 0\n11 1\n21 0\n12 0\n22 1\n13 1\n23 1", "solid closed 0,0,0 1,0,0 1,1,0 0,1,0"},
	{"triangle", "", "0 TRACE\n8 0\n10 0\n20 0\n11 1\n21 0\n12 0\n22 1\n13 0\n23 1", "solid closed 0,0,0 1,0,0 0,1,0"},
	{"face", "", "0 3DFACE\n8 0\n10 0\n20 0\n11 1\n21 0\n12 1\n22 1\n13 0\n23 1", "face closed 0,0,0 1,0,0 1,1,0 0,1,0"},
	{"spline of degree 1", "", "0 SPLINE\n8 0\n70 8\n71 1\n40 0\n40 0\n40 1\n40 2\n40 2\n10 0\n20 0\n10 1\n20 0\n10 1\n20 1", "spline 0,0,0 0.5,0,0 1,0,0 1,0.5,0 1,1,0"},
	{"spline with fit points only", "", "0 SPLINE\n8 0\n71 3\n74 2\n11 0\n21 0\n11 3\n21 4", "spline 0,0,0 3,4,0"},
	{"spline whose knots do not fit", "", "0 SPLINE\n8 0\n71 3\n40 0\n40 1\n10 0\n20 0\n10 1\n20 1", ""},
	{"hatch bounded by a polyline", "", "0 HATCH\n8 0\n10 0\n20 0\n30 2\n210 0\n220 0\n230 1\n2 SOLID\n70 1\n71 0\n91 1\n92 2\n72 0\n73 1\n93 3\n10 0\n20 0\n10 4\n20 0\n10 4\n20 4\n97 0\n75 0\n76 1\n98 1\n10 9\n20 9", "hatch closed 0,0,2 4,0,2 4,4,2"},
	{"hatch bounded by edges, two loops", "", "0 HATCH\n8 0\n91 2\n92 1\n93 3\n72 1\n10 0\n20 0\n11 4\n21 0\n72 1\n10 4\n20 0\n11 4\n21 4\n72 1\n10 4\n20 4\n11 0\n21 0\n97 0\n92 0\n93 1\n72 1\n10 1\n20 1\n11 2\n21 1\n97 1\n330 A\n75 0",
		"hatch closed 0,0,0 4,0,0 4,4,0\nhatch closed 1,1,0 2,1,0"},
	{"in a block, moved", block("B", "0 LINE\n8 0\n10 0\n20 0\n11 1\n21 0"), "0 INSERT\n8 0\n2 B\n10 5\n20 5\n50 90\n41 2\n42 2", "line 5,5,0 5,7,0"},
	{"a number that is none", "", "0 LINE\n8 0\n10 x\n20 0\n11 1\n21 0", ""},
	{"a point at infinity", "", "0 CIRCLE\n8 0\n10 1e308\n20 0\n40 1e308", ""},
}

func TestShapes(t *testing.T) {
	for _, c := range shapeCases {
		t.Run(c.name, func(t *testing.T) {
			if got := showShapes(mustShapes(t, mustParse(t, drawingOf("", "", c.blocks, c.entities)), Options{})); got != c.want {
				t.Errorf("\n got %s\nwant %s", got, c.want)
			}
		})
	}
}

// TestCurves checks that every point of a flattened curve is on it and that no
// chord is farther from it than relativeChord.
func TestCurves(t *testing.T) {
	for _, c := range []struct {
		name, entity   string
		cx, cy, radius float64
		first, last    Vec3
		closed         bool
	}{
		{"arc over the start", "0 ARC\n8 0\n10 1\n20 2\n40 5\n50 270\n51 90", 1, 2, 5, Vec3{1, -3, 0}, Vec3{1, 7, 0}, false},
		{"circle", "0 CIRCLE\n8 0\n10 0\n20 0\n40 5", 0, 0, 5, Vec3{5, 0, 0}, Vec3{}, true},
		// DXF reference, LWPOLYLINE: a bulge of 1 is a half circle, to the right of the chord if positive
		{"half circle by its bulge", "0 LWPOLYLINE\n8 0\n10 0\n20 0\n42 1\n10 10\n20 0", 5, 0, 5, Vec3{0, 0, 0}, Vec3{10, 0, 0}, false},
		// tan(90°/4): a quarter circle, clockwise, center on the left of the far side
		{"quarter circle clockwise", "0 LWPOLYLINE\n8 0\n10 0\n20 0\n42 -0.41421356237309503\n10 5\n20 5", 5, 0, 5, Vec3{0, 0, 0}, Vec3{5, 5, 0}, false},
		{"round ellipse", "0 ELLIPSE\n8 0\n10 0\n20 0\n11 0\n21 5\n40 1\n41 0\n42 3.141592653589793", 0, 0, 5, Vec3{0, 5, 0}, Vec3{0, -5, 0}, false},
		// a quarter circle is a rational spline of degree 2 with weights 1, √½, 1
		{"quarter circle as a spline", "0 SPLINE\n8 0\n70 4\n71 2\n40 0\n40 0\n40 0\n40 1\n40 1\n40 1\n41 1\n41 0.7071067811865476\n41 1\n10 5\n20 0\n10 5\n20 5\n10 0\n20 5", 0, 0, 5, Vec3{5, 0, 0}, Vec3{0, 5, 0}, false},
		{"clockwise arc of a hatch", "0 HATCH\n8 0\n91 1\n92 1\n93 1\n72 2\n10 0\n20 0\n40 5\n50 270\n51 360\n73 0\n97 0\n75 0", 0, 0, 5, Vec3{0, 5, 0}, Vec3{5, 0, 0}, true},
		{"arc with extrusion", "0 ARC\n8 0\n10 0\n20 0\n40 5\n50 0\n51 90\n210 0\n220 0\n230 -1", 0, 0, 5, Vec3{-5, 0, 0}, Vec3{0, 5, 0}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := mustShapes(t, mustParse(t, drawingOf("", "", "", c.entity)), Options{})
			if len(s) != 1 || s[0].Closed != c.closed {
				t.Fatalf("shapes %+v", s)
			}
			p := s[0].Points
			for i, q := range p {
				if r := math.Hypot(q.X-c.cx, q.Y-c.cy); math.Abs(r-c.radius) > 1e-9 {
					t.Errorf("point %v is %v from the center", q, r)
				}
				if i == 0 {
					continue
				}
				mid := math.Hypot((q.X+p[i-1].X)/2-c.cx, (q.Y+p[i-1].Y)/2-c.cy)
				if limit := c.radius * relativeChord; c.radius-mid > limit*1.0001 {
					t.Errorf("chord error %v, want at most %v", c.radius-mid, limit)
				}
			}
			if p[0].sub(c.first).length() > 1e-9 || !(c.closed && c.last == Vec3{}) && p[len(p)-1].sub(c.last).length() > 1e-9 {
				t.Errorf("from %v to %v, want %v to %v", p[0], p[len(p)-1], c.first, c.last)
			}
		})
	}
}

// TestOCS: the axes of object coordinates by the arbitrary axis algorithm (DXF
// reference, section of that name), worked by hand.
func TestOCS(t *testing.T) {
	h := math.Sqrt(0.5)
	for _, c := range []struct{ n, x, y Vec3 }{
		{Vec3{0, 0, 1}, Vec3{1, 0, 0}, Vec3{0, 1, 0}},
		{Vec3{0, 0, -1}, Vec3{-1, 0, 0}, Vec3{0, 1, 0}},
		{Vec3{1, 0, 0}, Vec3{0, 1, 0}, Vec3{0, 0, 1}},
		{Vec3{0, 1, 0}, Vec3{-1, 0, 0}, Vec3{0, 0, 1}},
		{Vec3{0, -1, 0}, Vec3{1, 0, 0}, Vec3{0, 0, 1}},
		{Vec3{0, 0, 7}, Vec3{1, 0, 0}, Vec3{0, 1, 0}},        // not of unit length
		{Vec3{1, 1, 0}, Vec3{-h, h, 0}, Vec3{0, 0, 1}},       // Wz×N
		{Vec3{0.01, 0, 1}, Vec3{1, 0, -0.01}, Vec3{0, 1, 0}}, // below 1/64: Wy×N = (1,0,-0.01)
		{Vec3{0.02, 0, 1}, Vec3{0, 1, 0}, Vec3{-1, 0, 0.02}}, // above 1/64: Wz×N = (0,0.02,0)
		{Vec3{0, 0, 0}, Vec3{1, 0, 0}, Vec3{0, 1, 0}},        // none: taken as the default
	} {
		m := ocs(c.n)
		x, _ := c.x.unit()
		y, _ := c.y.unit()
		if m.x.sub(x).length() > 1e-12 || m.y.sub(y).length() > 1e-12 {
			t.Errorf("%v: %v %v, want %v %v", c.n, m.x, m.y, x, y)
		}
	}
}

func TestBlockExtent(t *testing.T) {
	d := mustParse(t, drawingOf("", "0 LAYER\n2 F\n70 1\n62 7",
		block("A", "0 LINE\n8 0\n10 0\n20 0\n11 4\n21 3\n0 LINE\n8 F\n10 0\n20 0\n11 99\n21 99\n0 LINE\n8 0\n60 1\n10 0\n20 0\n11 -99\n21 99")+
			block("B", "0 INSERT\n8 0\n2 A\n10 10\n20 10\n50 90\n0 CIRCLE\n8 0\n10 0\n20 0\n40 1")+block("T", "0 TEXT\n8 0\n10 0\n20 0\n40 1\n1 SD")+block("E", ""),
		""))
	for name, want := range map[string]Extent{
		"A": {Min: Vec3{0, 0, 0}, Max: Vec3{4, 3, 0}}, "a": {Min: Vec3{0, 0, 0}, Max: Vec3{4, 3, 0}},
		"B": {Min: Vec3{-1, -1, 0}, Max: Vec3{10, 14, 0}},
		"T": {Min: Vec3{0, 0, 0}, Max: Vec3{2 * averageAdvance, 1, 0}},
		"E": {Empty: true}, "none": {Empty: true},
	} {
		for range 2 { // computed, then remembered
			if got := d.BlockExtent(name); got != want {
				t.Errorf("%s: %+v, want %+v", name, got, want)
			}
		}
	}
}

func TestKeepShapes(t *testing.T) {
	d := mustParse(t, drawingOf("", "", block("B", "0 LINE\n8 0\n10 0\n20 0\n11 4\n21 3"), "0 LINE\n8 W\n10 0\n20 0\n11 1\n21 1\n0 INSERT\n8 W\n2 B\n0 INSERT\n8 X\n2 B\n0 ARC\n8 W\n10 0\n20 0\n40 1\n50 0\n51 9"))
	s := mustShapes(t, d, Options{Keep: func(layer string, k ShapeKind) bool { return layer == "W" && k == LineShape }})
	if len(s) != 2 || s[1].EffLayer != "W" || s[1].Layer != "0" || len(s[1].Path) != 1 {
		t.Errorf("%+v", s)
	}
}

// A shape with a number that is none is left out and told, in a block as well as outside.
func TestShapesLeftOut(t *testing.T) {
	for _, c := range []struct{ name, blocks, entities, want string }{
		{"a number that is none", "", "0 LINE\n8 W\n10 x\n20 0\n11 1\n21 0", `"line on layer W" cannot be placed and is left out (once)`},
		{"a vertex that is none", "", "0 POLYLINE\n8 W\n66 1\n0 VERTEX\n8 W\n10 nan\n20 0\n0 VERTEX\n8 W\n10 1\n20 0\n0 SEQEND", `"polyline on layer W" cannot be placed`},
		{"a circle as wide as no drawing", "", "0 CIRCLE\n8 W\n10 0\n20 0\n40 1e300", `"circle on layer W" cannot be placed`},
		{"two arcs", "", "0 ARC\n8 W\n10 0\n20 0\n40 1e300\n50 0\n51 90\n0 ARC\n8 W\n10 1e300\n20 0\n40 1\n50 0\n51 90", `"arc on layer W" cannot be placed and is left out (2 times)`},
		{"scaled out of every drawing", block("B", "0 LINE\n8 W\n10 1e9\n20 0\n11 1\n21 0"), "0 INSERT\n8 0\n2 B\n10 5\n20 5\n41 1e9\n42 1e9", `"line on layer W" cannot be placed`},
		{"the widest survey in millimetres", "", "0 LINE\n8 W\n10 99999999999\n20 0\n11 1\n21 0", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			shapes, fs, err := mustParse(t, drawingOf("", "", c.blocks, c.entities)).Shapes(Options{})
			if err != nil {
				t.Fatal(err)
			}
			if c.want == "" {
				if len(fs) > 0 || len(shapes) != 1 {
					t.Errorf("%d shapes, %v", len(shapes), fs)
				}
				return
			}
			if len(shapes) > 0 || len(fs) != 1 || fs[0].Code != codeBadNumber || !strings.HasPrefix(fs[0].Message, c.want) {
				t.Errorf("%v and %v, want none and %s", shapes, fs, c.want)
			}
		})
	}
}
