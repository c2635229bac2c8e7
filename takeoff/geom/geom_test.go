package geom

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func near(t testing.TB, got, want, tol float64, what string) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %v, want %v", what, got, want)
	}
}

// Closed forms: polygon areas and centroids as in any geometry handbook.
func TestRing(t *testing.T) {
	tests := []struct {
		name    string
		ring    Ring
		area    float64
		in, out Point
	}{
		{"unit square", Ring{{0, 0}, {1, 0}, {1, 1}, {0, 1}}, 1, Pt(.2, .9), Pt(1.1, .5)},
		{"clockwise", Ring{{0, 1}, {1, 1}, {1, 0}, {0, 0}}, -1, Pt(.2, .9), Pt(-.1, .5)},
		{"3-4-5 triangle", Ring{{0, 0}, {4, 0}, {0, 3}}, 6, Pt(1, 1), Pt(3, 3)},
		{"L", Ring{{0, 0}, {2, 0}, {2, 1}, {1, 1}, {1, 2}, {0, 2}}, 3, Pt(.5, 1.5), Pt(1.5, 1.5)},
		{"far from the origin", Ring{{1e8, 1e8}, {1e8 + 1, 1e8}, {1e8 + 1, 1e8 + 1}, {1e8, 1e8 + 1}}, 1, Pt(1e8+.5, 1e8+.5), Pt(0, 0)},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			near(t, tt.ring.Area(), tt.area, 1e-9, "area")
			if !tt.ring.Contains(tt.in) || tt.ring.Contains(tt.out) {
				t.Errorf("contains %v: %v, %v: %v; want true, false", tt.in, tt.ring.Contains(tt.in), tt.out, tt.ring.Contains(tt.out))
			}
		})
	}
}

func TestSegmentMeet(t *testing.T) {
	tests := []struct {
		name string
		s, u Segment
		at   Point
		ok   bool
	}{
		{"cross", Segment{Pt(0, 0), Pt(2, 2)}, Segment{Pt(0, 2), Pt(2, 0)}, Pt(1, 1), true},
		{"touch at end", Segment{Pt(0, 0), Pt(1, 0)}, Segment{Pt(1, 0), Pt(1, 5)}, Pt(1, 0), true},
		{"short of it", Segment{Pt(0, 0), Pt(.9, 0)}, Segment{Pt(1, -1), Pt(1, 5)}, Point{}, false},
		{"parallel", Segment{Pt(0, 0), Pt(1, 0)}, Segment{Pt(0, 1), Pt(1, 1)}, Point{}, false},
		{"same line", Segment{Pt(0, 0), Pt(1, 0)}, Segment{Pt(0, 0), Pt(1, 0)}, Point{}, false},
	}
	for _, tt := range tests {
		if at, ok := tt.s.Meet(tt.u); ok != tt.ok || at.Dist(tt.at) > 1e-12 {
			t.Errorf("%s: %v, %v; want %v, %v", tt.name, at, ok, tt.at, tt.ok)
		}
	}
}

func TestSegmentHitsBox(t *testing.T) {
	b := Box{Pt(0, 0), Pt(2, 1)}
	tests := []struct {
		name string
		s    Segment
		hit  bool
	}{
		{"through", Segment{Pt(-1, .5), Pt(3, .5)}, true},
		{"inside", Segment{Pt(.5, .5), Pt(.6, .5)}, true},
		{"along an edge", Segment{Pt(-1, 1), Pt(3, 1)}, false},
		{"past a corner", Segment{Pt(-1, .5), Pt(.5, 2)}, false},
		{"cuts a corner", Segment{Pt(-.5, .5), Pt(.5, 1.4)}, true},
		{"point in", Segment{Pt(1, .5), Pt(1, .5)}, true},
		{"point on edge", Segment{Pt(0, .5), Pt(0, .5)}, false},
	}
	for _, tt := range tests {
		if got := tt.s.HitsBox(b); got != tt.hit {
			t.Errorf("%s: %v, want %v", tt.name, got, tt.hit)
		}
	}
}

func genPoint(t *rapid.T, name string) Point {
	g := rapid.Float64Range(-1e4, 1e4)
	return Pt(g.Draw(t, name+".x"), g.Draw(t, name+".y"))
}

func TestAffineLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		turn := rapid.Float64Range(-720, 720).Draw(t, "turn")
		k := rapid.Float64Range(.01, 100).Draw(t, "k")
		m := rapid.SampledFrom([]float64{1, -1}).Draw(t, "mirror")
		tr := Scaling(k, k*m).Then(Rotation(turn)).Then(Shift(genPoint(t, "d")))
		p, q := genPoint(t, "p"), genPoint(t, "q")
		inv, err := tr.Inverse()
		if err != nil {
			t.Fatal(err)
		}
		if d := inv.Apply(tr.Apply(p)).Dist(p); d > 1e-6 {
			t.Fatalf("inverse misses by %g", d)
		}
		if got, want := tr.Apply(p).Dist(tr.Apply(q)), k*p.Dist(q); math.Abs(got-want) > 1e-6*(1+want) {
			t.Fatalf("similar transform: length %g, want %g", got, want)
		}
		if (tr.det() < 0) != (m < 0) {
			t.Fatal("sign of the determinant does not show mirroring")
		}
		if d := p.Turn(turn).Dist(Rotation(turn).Apply(p)); d > 1e-9 {
			t.Fatalf("Turn and Rotation differ by %g", d)
		}
	})
	if _, err := Scaling(0, 1).Inverse(); err == nil {
		t.Error("a flattening transform must have no inverse")
	}
}

func TestNearestIsNearest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Segment{genPoint(t, "a"), genPoint(t, "b")}
		p := genPoint(t, "p")
		best := s.Dist(p)
		for i := 0; i <= 50; i++ {
			if d := p.Dist(s.A.Lerp(s.B, float64(i)/50)); d < best-1e-6 {
				t.Fatalf("point at %d/50 is nearer: %g < %g", i, d, best)
			}
		}
	})
}

func TestQuarterTurnsAreExact(t *testing.T) {
	for i, want := range []Point{{3, 7}, {-7, 3}, {-3, -7}, {7, -3}} {
		for _, full := range []float64{-720, 0, 360} {
			if got := Pt(3, 7).Turn(float64(i)*90 + full); got != want {
				t.Errorf("turn by %d x 90 + %v: %v, want %v", i, full, got, want)
			}
		}
	}
}

// The middle of an arc is the same however many points it was flattened to: by sine and cosine of the half angle.
func TestArcMiddle(t *testing.T) {
	for _, sweep := range []float64{20, 140, 270} {
		for n := 3; n < 20; n++ {
			var ps []Point
			for i := range n {
				s, c := math.Sincos((30 + sweep*float64(i)/float64(n-1)) * math.Pi / 180)
				ps = append(ps, Pt(5+3*c, -2+3*s))
			}
			s, c := math.Sincos((30 + sweep/2) * math.Pi / 180)
			if want := Pt(5+3*c, -2+3*s); ArcMiddle(ps).Dist(want) > 1e-9 {
				t.Errorf("%g degrees in %d points: %v, want %v", sweep, n, ArcMiddle(ps), want)
			}
		}
	}
	if got := ArcMiddle([]Point{{}, Pt(1, 0), Pt(2, 0), Pt(3, 0)}); got != Pt(1.5, 0) {
		t.Errorf("of a straight line: %v", got)
	}
}
