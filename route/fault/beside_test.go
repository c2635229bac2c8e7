package fault

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"loopwright/takeoff/geom"
)

type polyline [][2]float64

func (l polyline) points() []geom.Point {
	var out []geom.Point
	for _, p := range l {
		out = append(out, geom.Pt(p[0], p[1]))
	}
	return out
}

func TestTogether(t *testing.T) {
	for _, tt := range []struct {
		name      string
		out, back polyline
		b         Beside
		length    float64
		places    int
	}{
		{"far apart", polyline{{0, 0}, {10, 0}}, polyline{{0, 5}, {10, 5}}, Beside{Separation: 1}, 0, 0},
		{"side by side", polyline{{0, 0}, {10, 0}}, polyline{{10, 0.5}, {0, 0.5}}, Beside{Separation: 1}, 10, 1},
		{"just as far as asked", polyline{{0, 0}, {10, 0}}, polyline{{10, 1}, {0, 1}}, Beside{Separation: 1}, 0, 0},
		{"the same path", polyline{{0, 0}, {10, 0}, {10, 5}}, polyline{{10, 5}, {10, 0}, {0, 0}}, Beside{Separation: 1}, 15, 2},
		{"half the way, with the round end", polyline{{0, 0}, {10, 0}}, polyline{{5, 0}, {0, 0}}, Beside{Separation: 1}, 6, 1},
		{"crossing at right angles", polyline{{-10, 0}, {10, 0}}, polyline{{0, -10}, {0, 10}}, Beside{Separation: 1}, 2, 1},
		{"crossing twice", polyline{{0, 0}, {20, 0}}, polyline{{5, -5}, {5, 5}, {15, 5}, {15, -5}}, Beside{Separation: 1}, 4, 2},
		{"passing a corner in the disc", polyline{{-10, 0.6}, {10, 0.6}}, polyline{{0, 0}, {0, -10}}, Beside{Separation: 1}, 1.6, 1},
		{"counted once", polyline{{0, 0}, {10, 0}}, polyline{{0, 0.2}, {10, 0.2}, {10, 0.4}, {0, 0.4}}, Beside{Separation: 1}, 10, 1},
		{"free around the panel", polyline{{0, 0}, {10, 0}}, polyline{{10, 0}, {0, 0}}, Beside{1, []Disc{{geom.Pt(0, 0), 3}}}, 7, 1},
		{"free in the middle", polyline{{0, 0}, {10, 0}}, polyline{{10, 0}, {0, 0}}, Beside{1, []Disc{{geom.Pt(5, 0), 2}}}, 6, 2},
		{"a standing point", polyline{{0, 0}, {0, 0}, {4, 0}}, polyline{{2, 0}, {2, 0}}, Beside{Separation: 1}, 2, 1},
		{"nothing drawn", nil, polyline{{0, 0}}, Beside{Separation: 1}, 0, 0},
	} {
		length, places, err := Together(tt.out.points(), tt.b, tt.back.points())
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(length-tt.length) > 1e-6 || len(places) != tt.places {
			t.Errorf("%s: %v m in %d places %v, want %v m in %d", tt.name, length, len(places), places, tt.length, tt.places)
		}
	}
	for _, b := range []Beside{{}, {Separation: math.NaN()}, {Separation: 1, Free: []Disc{{Radius: -1}}}, {Separation: 1, Free: []Disc{{At: geom.Pt(math.NaN(), 0)}}}} {
		if _, _, err := Together(nil, b); err == nil {
			t.Errorf("%+v is taken", b)
		}
	}
	if _, _, err := Together([]geom.Point{geom.Pt(0, 0), geom.Pt(math.Inf(1), 0)}, Beside{Separation: 1}); err == nil || !strings.Contains(err.Error(), "point 1") {
		t.Errorf("a point at infinity: %v", err)
	}
}

// The exact lengths against sampling: 20,000 points along the outgoing run, each
// measured to every segment of the return run.
func TestTogetherAgainstSampling(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	random := func(n int) []geom.Point {
		var out []geom.Point
		for range n {
			out = append(out, geom.Pt(rng.Float64()*10, rng.Float64()*10))
		}
		return out
	}
	for range 50 {
		out, back := random(2+rng.IntN(5)), random(2+rng.IntN(5))
		b := Beside{Separation: 0.2 + rng.Float64()*2}
		for _, at := range random(rng.IntN(3)) {
			b.Free = append(b.Free, Disc{at, rng.Float64()})
		}
		got, places, err := Together(out, b, back)
		if err != nil {
			t.Fatal(err)
		}
		total, sum := 0.0, 0.0
		for i := 0; i+1 < len(out); i++ {
			const n = 4000
			step := out[i].Dist(out[i+1]) / n
			total += step * n
			for k := range n {
				p := out[i].Lerp(out[i+1], (float64(k)+0.5)/n)
				near := false
				for j := 0; j+1 < len(back); j++ {
					near = near || toSegment(p, back[j], back[j+1]) < b.Separation
				}
				if near && !slices.ContainsFunc(b.Free, func(c Disc) bool { return p.Dist(c.At) < c.Radius }) {
					sum += step
				}
			}
		}
		if math.Abs(got-sum) > 0.003*total {
			t.Errorf("%v and %v, %+v: %v m, by sampling %v m", out, back, b, got, sum)
		}
		check := 0.0
		for _, s := range places {
			check += s.From.Dist(s.To)
		}
		if math.Abs(check-got) > 1e-6 {
			t.Errorf("places add up to %v m of %v", check, got)
		}
	}
}

func toSegment(p, a, b geom.Point) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	t := 0.0
	if l := dx*dx + dy*dy; l > 0 {
		t = min(1, max(0, ((p.X-a.X)*dx+(p.Y-a.Y)*dy)/l))
	}
	return p.Dist(a.Lerp(b, t))
}
