package loops

import (
	"fmt"
	"testing"

	"loopwright/route/tour"
	"loopwright/takeoff/geom"
)

// level is a storey of 200 rooms of 6 m with five devices each, none in rank.
func level(open bool) Problem {
	p := Problem{Points: []geom.Point{{X: 1, Y: 1}}, Metric: tour.Rectilinear, Demand: [][]float64{{0}}, Capacity: []float64{114}, Open: open, Fewest: true}
	for i := range 20 {
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
			p := level(open)
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
