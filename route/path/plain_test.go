package path

import (
	"math"
	"slices"
	"testing"

	"loopwright/takeoff/geom"

	"pgregory.net/rapid"
)

// 3-4-5 triangle: straight 5, rectilinear 7; on axes along the hypotenuse 5;
// on axes turned by 45 degrees (4+3)/sqrt2 + (4-3)/sqrt2 = 8/sqrt2.
func TestPlainDistances(t *testing.T) {
	places := []geom.Point{{X: 1, Y: 1}, {X: 4, Y: 5}}
	tests := []struct {
		name string
		m    Measurer
		want float64
		via  string
	}{
		{"straight", NewStraight(places, nil), 5, ViaStraight},
		{"rectilinear", NewRectilinear(places, Axes{}, nil), 7, ViaRectilinear},
		{"along the hypotenuse", NewRectilinear(places, Axes{Angle: math.Atan2(4, 3) * 180 / math.Pi}, nil), 5, ViaRectilinear},
		{"turned by 45 degrees", NewRectilinear(places, Axes{Angle: 45}, nil), 8 / math.Sqrt2, ViaRectilinear},
		{"turned by a quarter", NewRectilinear(places, Axes{Angle: 90}, nil), 7, ViaRectilinear},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			near(t, tt.m.Cost(0, 1), tt.want, 1e-12, "cost")
			l := tt.m.Leg(0, 1)
			near(t, l.Length, tt.want, 1e-12, "length")
			near(t, geom.PathLen(l.Points), tt.want, 1e-12, "length of the points")
			if l.Via != tt.via || l.Points[0] != places[0] || l.Points[len(l.Points)-1] != places[1] {
				t.Errorf("leg %+v", l)
			}
			near(t, tt.m.Cost(0, 0), 0, 0, "cost to itself")
			if b := tt.m.Leg(1, 0); b.Points[0] != places[1] || b.Length != l.Length {
				t.Errorf("way back %+v", b)
			}
		})
	}
}

// Of two bends the one that crosses fewer walls: from (0, 0) to (10, 10) with a
// wall that only the lower bend crosses, then one that only the upper does.
func TestBendAvoidsWalls(t *testing.T) {
	a, b := geom.Pt(0, 0), geom.Pt(10, 10)
	lower, upper := wall(5, -2, 5, 2), wall(-2, 5, 2, 5)
	rated := upper
	rated.Penalty = 30
	tests := []struct {
		name   string
		walls  []Wall
		corner geom.Point
		n      int
	}{
		{"none", nil, geom.Pt(10, 0), 0},
		{"below", []Wall{lower}, geom.Pt(0, 10), 0},
		{"above", []Wall{upper}, geom.Pt(10, 0), 0},
		{"both alike", []Wall{lower, upper}, geom.Pt(10, 0), 1},
		{"both, the upper rated", []Wall{lower, rated}, geom.Pt(10, 0), 1},
		{"two below, one rated above", []Wall{lower, wall(7, -2, 7, 2), rated}, geom.Pt(10, 0), 2},
	}
	for _, tt := range tests {
		l := Bend(a, b, 0, newIndex(tt.walls))
		if l.Points[1] != tt.corner || l.Crossings != tt.n {
			t.Errorf("%s: corner %v with %d crossings, want %v with %d", tt.name, l.Points[1], l.Crossings, tt.corner, tt.n)
		}
		back := Bend(b, a, 0, newIndex(tt.walls))
		slices.Reverse(back.Points)
		if !slices.Equal(back.Points, l.Points) {
			t.Errorf("%s: the way back is another: %v", tt.name, back.Points)
		}
	}
}

// bruteCrossings counts by the definition: every wall line against every leg.
func bruteCrossings(pts []geom.Point, walls []Wall) int {
	var at []float64
	along := 0.0
	for i := 1; i < len(pts); i++ {
		s := geom.Segment{A: pts[i-1], B: pts[i]}
		for _, w := range walls {
			if p, ok := s.Meet(w.Segment); ok {
				at = append(at, along+s.A.Dist(p))
			}
		}
		along += s.Len()
	}
	slices.Sort(at)
	n, first := 0, math.Inf(-1)
	for _, a := range at {
		if a > wallTouch && a < along-wallTouch && a-first > wallThickness {
			n, first = n+1, a
		}
	}
	return n
}

func TestCrossingsAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := rapid.Float64Range(-30, 30)
		draw := func() geom.Point { return geom.Pt(g.Draw(t, "x"), g.Draw(t, "y")) }
		var walls []Wall
		for range rapid.IntRange(0, 40).Draw(t, "walls") {
			walls = append(walls, Wall{Segment: geom.Segment{A: draw(), B: draw()}, Penalty: wallCost})
		}
		pts := []geom.Point{draw()}
		for range rapid.IntRange(1, 4).Draw(t, "legs") {
			p := draw()
			switch rapid.IntRange(0, 2).Draw(t, "axis") {
			case 0:
				p.X = pts[len(pts)-1].X
			case 1:
				p.Y = pts[len(pts)-1].Y
			}
			pts = append(pts, p)
		}
		// Touching is decided by hand elsewhere: keep corners off the walls.
		for _, w := range walls {
			for i, p := range pts {
				if w.Dist(p) < 1e-6 || i > 0 && (geom.Segment{A: pts[i-1], B: p}.Dist(w.A) < 1e-6 || geom.Segment{A: pts[i-1], B: p}.Dist(w.B) < 1e-6) {
					t.Skip("a touch")
				}
			}
		}
		x := newIndex(walls)
		n, penalty := x.crossings(pts)
		if want := bruteCrossings(pts, walls); n != want || penalty != wallCost*float64(n) {
			t.Fatalf("%d crossings for %v, by brute force %d", n, penalty, want)
		}
		slices.Reverse(pts)
		if m, _ := x.crossings(pts); m != n {
			t.Fatalf("%d crossings one way, %d the other", n, m)
		}
	})
}
