package label

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"loopwright/takeoff/geom"
)

func BenchmarkPlace(b *testing.B) {
	for _, n := range []int{100, 1000, 10_000} {
		for _, pitch := range []float64{1.5, 1.2} {
			p := densePlan(1, n, pitch, 0)
			b.Run(fmt.Sprintf("n=%d/pitch=%g", n, pitch), func(b *testing.B) {
				var r Result
				for b.Loop() {
					r = Place(p.labels, p.obs, Options{})
				}
				b.ReportMetric(100*float64(r.Placed)/float64(n), "%placed")
				b.ReportMetric(100*float64(r.WithLeader)/float64(n), "%leader")
			})
		}
	}
}

// More devices than there is room for, so that the search cannot succeed everywhere.
func BenchmarkHopeless(b *testing.B) {
	for _, n := range []int{500, 2000} {
		p := densePlan(1, n, 0.8, 0)
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			var r Result
			for b.Loop() {
				r = Place(p.labels, p.obs, Options{})
			}
			b.ReportMetric(100*float64(r.Placed)/float64(n), "%placed")
			b.ReportMetric(100*float64(r.WithLeader)/float64(n), "%leader")
		})
	}
}

// randomPoints makes points as in the empirical study of Christensen, Marks and Shieber (ACM
// Transactions on Graphics 14(3), 1995): n points at random in 792 x 612 units,
// labels of 30 x 7, touching their point.
func randomPoints(seed uint64, n int) []Label {
	rnd := rand.New(rand.NewPCG(seed, uint64(n)))
	labels := make([]Label, n)
	for i := range labels {
		labels[i] = Label{
			ID: fmt.Sprint(i), Text: "x", Height: 7, Width: 30, BoxHeight: 7,
			Anchor: geom.Pt(math.Floor(rnd.Float64()*792), math.Floor(rnd.Float64()*612)),
		}
	}
	return labels
}
