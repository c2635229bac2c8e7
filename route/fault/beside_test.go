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

// beside is how far two runs must be apart, and where they need not.
type beside struct {
	Separation float64
	Free       [][]Disc
}

func (b beside) to(run []geom.Point) Other { return Other{Runs: [][]geom.Point{run}, Free: b.Free} }

// What one event loses changes along a run with what lies beside it: from 2 to 6 another
// run, whose loss is 5; from 4 to 9 one whose loss is 3.
func TestLossAlongARun(t *testing.T) {
	length, places, err := Together(polyline{{0, 0}, {10, 0}}.points(), .1, Other{Runs: [][]geom.Point{polyline{{2, 0}, {6, 0}}.points()}, Loses: 5},
		Other{Runs: [][]geom.Point{polyline{{4, 0}, {9, 0}}.points()}, Loses: 3})
	if err != nil || len(places) != 2 || math.Abs(length-7.2) > 1e-6 || places[0].Loses != 5 || math.Abs(places[0].Length-4.2) > 1e-6 || places[1].Loses != 3 {
		t.Errorf("%v m: %+v, %v", length, places, err)
	}
}

func TestTogether(t *testing.T) {
	for _, tt := range []struct {
		name      string
		out, back polyline
		b         beside
		length    float64
		places    int
	}{
		{"far apart", polyline{{0, 0}, {10, 0}}, polyline{{0, 5}, {10, 5}}, beside{Separation: 1}, 0, 0},
		{"side by side", polyline{{0, 0}, {10, 0}}, polyline{{10, 0.5}, {0, 0.5}}, beside{Separation: 1}, 10, 1},
		{"just as far as asked", polyline{{0, 0}, {10, 0}}, polyline{{10, 1}, {0, 1}}, beside{Separation: 1}, 0, 0},
		{"the same path", polyline{{0, 0}, {10, 0}, {10, 5}}, polyline{{10, 5}, {10, 0}, {0, 0}}, beside{Separation: 1}, 15, 2},
		{"half the way, with the round end", polyline{{0, 0}, {10, 0}}, polyline{{5, 0}, {0, 0}}, beside{Separation: 1}, 6, 1},
		{"crossing at right angles", polyline{{-10, 0}, {10, 0}}, polyline{{0, -10}, {0, 10}}, beside{Separation: 1}, 2, 1},
		{"crossing twice", polyline{{0, 0}, {20, 0}}, polyline{{5, -5}, {5, 5}, {15, 5}, {15, -5}}, beside{Separation: 1}, 4, 2},
		{"passing a corner in the disc", polyline{{-10, 0.6}, {10, 0.6}}, polyline{{0, 0}, {0, -10}}, beside{Separation: 1}, 1.6, 1},
		{"counted once", polyline{{0, 0}, {10, 0}}, polyline{{0, 0.2}, {10, 0.2}, {10, 0.4}, {0, 0.4}}, beside{Separation: 1}, 10, 1},
		{"free around the panel", polyline{{0, 0}, {10, 0}}, polyline{{10, 0}, {0, 0}}, beside{1, [][]Disc{{{geom.Pt(0, 0), 3}}}}, 7, 1},
		{"free in the middle", polyline{{0, 0}, {10, 0}}, polyline{{10, 0}, {0, 0}}, beside{1, [][]Disc{{{geom.Pt(5, 0), 2}}}}, 6, 2},
		{"free inside two discs at once", polyline{{0, 0}, {10, 0}}, polyline{{10, 0}, {0, 0}}, beside{1, [][]Disc{{{geom.Pt(4, 0), 3}, {geom.Pt(6, 0), 3}}}}, 6, 2},
		{"free nowhere, as two discs are apart", polyline{{0, 0}, {10, 0}}, polyline{{10, 0}, {0, 0}}, beside{1, [][]Disc{{{geom.Pt(1, 0), 1}, {geom.Pt(9, 0), 1}}}}, 10, 1},
		{"a standing point", polyline{{0, 0}, {0, 0}, {4, 0}}, polyline{{2, 0}, {2, 0}}, beside{Separation: 1}, 2, 1},
		{"nothing drawn", nil, polyline{{0, 0}}, beside{Separation: 1}, 0, 0},
	} {
		length, places, err := Together(tt.out.points(), tt.b.Separation, tt.b.to(tt.back.points()))
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(length-tt.length) > 1e-6 || len(places) != tt.places {
			t.Errorf("%s: %v m in %d places %v, want %v m in %d", tt.name, length, len(places), places, tt.length, tt.places)
		}
	}
	for _, b := range []beside{{}, {Separation: math.NaN()}, {Separation: 1, Free: [][]Disc{{{Radius: -1}}}}, {Separation: 1, Free: [][]Disc{{{At: geom.Pt(math.NaN(), 0)}}}}} {
		if _, _, err := Together(nil, b.Separation, b.to(nil)); err == nil {
			t.Errorf("%+v is taken", b)
		}
	}
	if _, _, err := Together([]geom.Point{geom.Pt(0, 0), geom.Pt(math.Inf(1), 0)}, 1); err == nil || !strings.Contains(err.Error(), "point 1") {
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
		b := beside{Separation: 0.2 + rng.Float64()*2}
		for _, at := range random(rng.IntN(3)) {
			b.Free = append(b.Free, []Disc{{at, rng.Float64()}})
		}
		got, places, err := Together(out, b.Separation, b.to(back))
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
				if near && !slices.ContainsFunc(b.Free, func(c []Disc) bool { return p.Dist(c[0].At) < c[0].Radius }) {
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
