package dxf_test

import (
	"math"
	"strings"
	"testing"

	"loopwright/takeoff/dxf"
)

// entities is a drawing of some entities, R12 where no version is given.
func entities(version string, words ...string) string {
	head := []string{"0", "SECTION", "2", "HEADER"}
	if version != "" {
		head = append(head, "9", "$ACADVER", "1", version)
	}
	head = append(head, "0", "ENDSEC", "0", "SECTION", "2", "ENTITIES")
	return strings.Join(append(append(head, words...), "0", "ENDSEC", "0", "EOF", ""), "\n")
}

func parsed(t *testing.T, text string) *dxf.Drawing {
	t.Helper()
	d, err := dxf.Parse("test.dxf", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// An attribute seen from behind: with the extrusion 0, 0, -1 the object's x axis
// is the world's turned round (DXF reference, arbitrary axis algorithm), so what
// is stored at 5, 2 stands at -5, 2.
func TestAttributeFromBehind(t *testing.T) {
	d := parsed(t, entities("AC1009",
		"0", "INSERT", "8", "0", "2", "B", "66", "1", "10", "1", "20", "1",
		"0", "ATTRIB", "8", "0", "1", "V", "2", "TAG", "10", "5", "20", "2", "40", "1", "210", "0", "220", "0", "230", "-1",
		"0", "SEQEND"))
	ins, _, err := d.Inserts(dxf.Options{})
	if err != nil || len(ins) != 1 || len(ins[0].Attribs) != 1 {
		t.Fatal(err, ins)
	}
	if got := ins[0].Attribs[0].Pos; math.Abs(got.X+5) > 1e-12 || math.Abs(got.Y-2) > 1e-12 {
		t.Errorf("it stands at %v, want -5, 2", got)
	}
}

// Boundaries of hatches against their equations: an ellipse of half axes 4 and
// 2 about 10, 5, and the parabola y = x(2 - x), which is the spline of degree 2
// over 0,0 1,2 2,0 with the knots 0 0 0 1 1 1.
func TestHatchCurvesAgainstTheirEquations(t *testing.T) {
	hatch := func(edge ...string) string {
		words := append([]string{"0", "HATCH", "8", "H", "10", "0", "20", "0", "30", "0", "210", "0", "220", "0", "230", "1", "2", "SOLID", "70", "1", "71", "0",
			"91", "1", "92", "1", "93", "1"}, edge...)
		return entities("AC1015", append(words, "97", "0", "75", "0", "76", "1", "98", "0")...)
	}
	for _, tt := range []struct {
		name string
		edge []string
		off  func(x, y float64) float64 // 0 on the curve
		high float64                    // greatest y, by hand
	}{
		{"ellipse", []string{"72", "3", "10", "10", "20", "5", "11", "4", "21", "0", "40", "0.5", "50", "0", "51", "360", "73", "1"},
			func(x, y float64) float64 { return math.Hypot((x-10)/4, (y-5)/2) - 1 }, 7},
		{"spline", []string{"72", "4", "94", "2", "73", "0", "74", "0", "95", "6", "96", "3",
			"40", "0", "40", "0", "40", "0", "40", "1", "40", "1", "40", "1", "10", "0", "20", "0", "10", "1", "20", "2", "10", "2", "20", "0"},
			func(x, y float64) float64 { return y - x*(2-x) }, 1},
	} {
		shapes, findings, err := parsed(t, hatch(tt.edge...)).Shapes(dxf.Options{})
		if err != nil || len(findings) > 0 || len(shapes) != 1 {
			t.Fatalf("%s: %v %v, %d shapes", tt.name, err, findings, len(shapes))
		}
		high := math.Inf(-1)
		for _, p := range shapes[0].Points {
			if off := tt.off(p.X, p.Y); math.Abs(off) > 1e-9 {
				t.Errorf("%s: %v lies off the curve by %g", tt.name, p, off)
			}
			high = max(high, p.Y)
		}
		if n := len(shapes[0].Points); n < 8 || math.Abs(high-tt.high) > 0.01 {
			t.Errorf("%s: %d points up to %.3f, want up to %.3f", tt.name, n, high, tt.high)
		}
	}
}
