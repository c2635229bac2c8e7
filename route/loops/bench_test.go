package loops

import (
	"fmt"
	"testing"
	"time"

	"loopwright/route/tour"
	"loopwright/takeoff/geom"
)

// level is a storey of ten rows of rooms of 6 m with five devices each, none in rank.
func level(rooms int, open bool) Problem {
	p := Problem{Points: []geom.Point{{X: 1, Y: 1}}, Metric: tour.Rectilinear, Demand: [][]float64{{0}}, Capacity: []float64{114}, Open: open, Fewest: true}
	for i := range rooms / 10 {
		for j := range 10 {
			for k := range 5 {
				dx, dy := float64((i*7+j*3+k)%5)*0.11, float64((i*3+j*5+k)%7)*0.09
				p.Points = append(p.Points, geom.Point{X: float64(i)*6 + 0.9 + float64(k%3)*1.8 + dx, Y: float64(j)*6 + 1.2 + float64(k/3)*1.7 + dy})
				p.Demand[0] = append(p.Demand[0], 1)
			}
		}
	}
	return p
}

func BenchmarkLevel(b *testing.B) {
	for _, open := range []bool{false, true} {
		b.Run(fmt.Sprintf("open=%v", open), func(b *testing.B) {
			p := level(200, open)
			for b.Loop() {
				r, err := Solve(p)
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(r.Cost, "m")
				b.ReportMetric(float64(len(r.Routes)), "routes")
				b.ReportMetric(float64(r.Iterations)/float64(len(p.Points)), "iterations/place")
			}
		})
	}
}

// took is the time of one solution, and its cost.
func took(b *testing.B, p Problem) (time.Duration, float64) {
	start := time.Now()
	r, err := Solve(p)
	if err != nil {
		b.Fatal(err)
	}
	return time.Since(start), r.Cost
}

// Four times the places, searched as parts of one building so that no least search hides the growth: the time of a
// place against that of one of the smaller level. It stays near 1 where time grows like the places.
func BenchmarkGrowth(b *testing.B) {
	for b.Loop() {
		small, large := level(100, false), level(400, false)
		small.PartOf, large.PartOf = 100000, 100000
		one, _ := took(b, small)
		four, _ := took(b, large)
		b.ReportMetric(four.Seconds()/one.Seconds()/4, "x-time/place")
	}
}

// A limit on the moment against none: time and cost as ratios.
func BenchmarkMoment(b *testing.B) {
	for b.Loop() {
		free := level(60, true)
		free.Capacity[0] = 18
		bound := free
		bound.MaxMoment = 18 * 60
		t, cost := took(b, free)
		u, more := took(b, bound)
		b.ReportMetric(u.Seconds()/t.Seconds(), "x-time")
		b.ReportMetric(more/cost, "x-cost")
	}
}
