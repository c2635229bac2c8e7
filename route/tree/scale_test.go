package tree

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"loopwright/takeoff/geom"
)

func random(n int, seed uint64) []geom.Point {
	rng := rand.New(rand.NewPCG(seed, uint64(n)))
	pts := make([]geom.Point, n)
	for i := range pts {
		pts[i] = geom.Pt(rng.Float64()*100, rng.Float64()*60)
	}
	return pts
}

func BenchmarkSteiner(b *testing.B) {
	for _, n := range []int{11, 50, 100, 250, 1000, 3000} {
		pts := random(n, 1)
		b.Run(fmt.Sprintf("%d-points", n), func(b *testing.B) {
			var s *Tree
			for b.Loop() {
				var err error
				if s, err = Steiner(pts, 0); err != nil {
					b.Fatal(err)
				}
			}
			span := spanning(pts, 0)
			b.ReportMetric(100*(1-s.Length/span.Length), "%saved")
			b.ReportMetric(float64(b.Elapsed().Microseconds())/1000/float64(b.N), "ms/op")
		})
	}
}
