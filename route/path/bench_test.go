package path

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"loopwright/takeoff/geom"
)

// office draws a floor of w by h metres: a corridor down the middle, rooms of
// about 5 m on both sides with doors, all walls as two lines 0.15 m apart.
func office(w, h float64) []Wall {
	var out []Wall
	double := func(a, b geom.Point) {
		d := b.Sub(a)
		n := geom.Pt(-d.Y, d.X).Mul(0.075 / d.Len())
		out = append(out, Wall{Segment: geom.Segment{A: a.Add(n), B: b.Add(n)}}, Wall{Segment: geom.Segment{A: a.Sub(n), B: b.Sub(n)}})
	}
	for y := 0.0; y < h; y += 12 {
		top := min(y+12, h)
		lo, hi := y+5, y+7
		double(geom.Pt(0, y), geom.Pt(w, y))
		for x := 0.0; x < w; x += 5 {
			double(geom.Pt(x, y), geom.Pt(x, lo))
			double(geom.Pt(x, hi), geom.Pt(x, top))
			double(geom.Pt(x, lo), geom.Pt(x+4.1, lo)) // a door of 0.9 m
			double(geom.Pt(x, hi), geom.Pt(x+4.1, hi))
		}
	}
	return out
}

func scatter(n int, w, h float64) []geom.Point {
	rng := rand.New(rand.NewPCG(1, uint64(n)))
	pts := make([]geom.Point, n)
	for i := range pts {
		pts[i] = geom.Pt(rng.Float64()*w, rng.Float64()*h)
	}
	return pts
}

func BenchmarkWallsAllPairs(b *testing.B) {
	walls := office(100, 60)
	for _, n := range []int{126, 500} {
		b.Run(fmt.Sprintf("%d-places", n), func(b *testing.B) {
			pts := scatter(n, 100, 60)
			for b.Loop() {
				m, err := NewWalls(pts, walls, Axes{}, WallOptions{})
				if err != nil {
					b.Fatal(err)
				}
				m.Cost(0, 1)
			}
			b.ReportMetric(float64(b.Elapsed().Milliseconds())/float64(b.N), "ms/op")
		})
	}
}
