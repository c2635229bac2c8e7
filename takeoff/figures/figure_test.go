package figures

import (
	"math"
	"testing"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
)

// shapesOf makes loose shapes of lines given as x1, y1, x2, y2 and circles as x, y, r, in millimetres.
func shapesOf(lines [][4]float64, circles [][3]float64) []dxf.Shape {
	var out []dxf.Shape
	for i, l := range lines {
		out = append(out, dxf.Shape{Kind: dxf.LineShape, Visible: true, Offset: i,
			Points: []dxf.Vec3{{X: l[0], Y: l[1]}, {X: l[2], Y: l[3]}}})
	}
	for i, c := range circles {
		s := dxf.Shape{Kind: dxf.CircleShape, Visible: true, Closed: true, Offset: len(lines) + i}
		for a := range 16 {
			p := geom.Pt(c[2], 0).Turn(22.5 * float64(a))
			s.Points = append(s.Points, dxf.Vec3{X: c[0] + p.X, Y: c[1] + p.Y})
		}
		out = append(out, s)
	}
	return out
}

// What is learnt from one sample: the strokes of the symbol, and nothing that only touches or surrounds it.
func TestSample(t *testing.T) {
	square := func(x, r float64) [][4]float64 {
		return [][4]float64{{x - r, -r, x + r, -r}, {x + r, -r, x + r, r}, {x + r, r, x - r, r}, {x - r, r, x - r, -r}}
	}
	ring := [][3]float64{{0, 0, 200}}
	tests := []struct {
		name    string
		lines   [][4]float64
		circles [][3]float64
		want    int     // strokes
		size    float64 // metres
		given   float64 // size that the rule gives, drawing units
	}{
		{"a ring", nil, ring, 1, 0.4, 0},
		{"a ring with a bar", [][4]float64{{-200, 0, 200, 0}}, ring, 2, 0.4, 0},
		{"a wire that ends on the ring", [][4]float64{{200, 0, 2500, 0}}, ring, 1, 0.4, 0},
		{"a short stem of the ring", [][4]float64{{200, 0, 500, 0}}, ring, 2, 0.7, 0},
		{"a square", square(0, 100), nil, 4, 0.2, 0},
		{"a cross that misses the corners", append(square(0, 100), [4]float64{-94, -94, 94, 94}, [4]float64{-94, 94, 94, -94}), nil, 6, 0.2, 0},
		{"a ring with a bar that does not reach it", [][4]float64{{-70, 10, 70, 20}}, ring, 2, 0.4, 0},
		{"a square in a shaft", append(square(0, 100), square(0, 600)...), nil, 4, 0.2, 0},
		{"a square beside another", append(square(0, 100), square(300, 100)...), nil, 4, 0.2, 0},
		{"a ring far inside a square, and the size says how much of it", append(square(0, 600), [4]float64{-400, 0, 400, 0}), ring, 6, 1.2, 1200},
		{"the same without a size", append(square(0, 600), [4]float64{-400, 500, 400, 500}), ring, 1, 0.4, 0},
		{"a size with nothing so small", square(0, 600), nil, 0, 0, 100},
	}
	for _, tt := range tests {
		b := On(shapesOf(tt.lines, tt.circles), nil, false)
		f, ok := b.Sample(geom.Pt(1, 1), 0.001, tt.given, "")
		if ok != (tt.want > 0) || len(f.strokes) != tt.want || math.Abs(f.size-tt.size) > 1e-9 {
			t.Errorf("%s: %v, %d strokes, %.3f m; want %d, %.3f", tt.name, ok, len(f.strokes), f.size, tt.want, tt.size)
		}
	}
}
