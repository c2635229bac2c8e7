package path

import (
	"fmt"
	"math"
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
		out = append(out, Wall{Segment: geom.Segment{A: a.Add(n), B: b.Add(n)}, Penalty: wallCost}, Wall{Segment: geom.Segment{A: a.Sub(n), B: b.Sub(n)}, Penalty: wallCost})
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

// Single legs between neighbours, as the report asks for them once the order is known.
func BenchmarkWallsLeg(b *testing.B) {
	pts := scatter(500, 100, 60)
	m, err := NewWalls(pts, office(100, 60), Axes{}, WallOptions{})
	if err != nil {
		b.Fatal(err)
	}
	near := make([]int, len(pts))
	for i, p := range pts {
		for j, q := range pts {
			if j != i && (near[i] == i || p.Rect(q) < p.Rect(pts[near[i]])) {
				near[i] = j
			}
		}
	}
	i := 0
	for b.Loop() {
		m.Leg(i, near[i])
		i = (i + 1) % len(pts)
	}
}

// How much dearer ways are than the best found on any of several grids. No exact
// method for this measure is at hand: the figure is a lower bound on the gap.
func BenchmarkWallsGap(b *testing.B) {
	pts, walls := scatter(60, 100, 60), office(100, 60)
	worst, sum, n := 0.0, 0.0, 0
	for b.Loop() {
		var ms []*Walls
		for _, k := range []float64{1, 1.3, 2, 2.9, 4} {
			m, err := NewWalls(pts, walls, Axes{}, WallOptions{})
			if err != nil {
				b.Fatal(err)
			}
			if k > 1 {
				m.refine(m.grid.cell / k)
			}
			ms = append(ms, m)
		}
		worst, sum, n = 0, 0, 0
		for i := range pts {
			for j := range i {
				best := math.Inf(1)
				for _, m := range ms {
					best = min(best, m.Cost(i, j))
				}
				g := 100 * (ms[0].Cost(i, j)/best - 1)
				worst, sum, n = max(worst, g), sum+g, n+1
			}
		}
	}
	b.ReportMetric(sum/float64(n), "%mean")
	b.ReportMetric(worst, "%worst")
}

// refine exchanges the grid for one with smaller cells.
func (m *Walls) refine(cell float64) {
	box := geom.EmptyBox()
	for _, p := range m.turned {
		box = box.Extend(p)
	}
	m.grid = gridOf(box.Grow(gridMargin), cell)
	m.grid.load(m.index, m.regions)
	for i := range m.places {
		m.doors[i] = m.doorsOf(i)
	}
}

// A chain of 500 devices among 10,000 stray lines on the wiring layer.
func BenchmarkWiring(b *testing.B) {
	pts := scatter(500, 100, 60)
	var symbols []Symbol
	var lines [][]geom.Point
	for i, p := range pts {
		symbols = append(symbols, Symbol{p, 0.15})
		if i > 0 {
			lines = append(lines, []geom.Point{pts[i-1], geom.Pt(p.X, pts[i-1].Y), p})
		}
	}
	for _, p := range scatter(10_000, 100, 60) {
		lines = append(lines, []geom.Point{p.Add(geom.Pt(200, 0)), p.Add(geom.Pt(200.1, 0.1))})
	}
	for b.Loop() {
		if _, err := NewWiring(lines, symbols, 0, WiringOptions{Taps: true}); err != nil {
			b.Fatal(err)
		}
	}
}
