package path

import (
	"math"
	"math/rand/v2"
	"testing"

	"loopwright/takeoff/geom"

	"pgregory.net/rapid"
)

func segments(walls []Wall, turn float64, move geom.Point) []geom.Segment {
	var out []geom.Segment
	for _, w := range walls {
		out = append(out, geom.Segment{A: w.A.Turn(turn).Add(move), B: w.B.Turn(turn).Add(move)})
	}
	return out
}

// An office turned by any angle, with stray lines among the walls and every
// wall a little off, has the axes it was turned to.
func TestAxesOfTurnedOffice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		turn := rapid.Float64Range(-180, 180).Draw(t, "turn")
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
		walls := segments(office(40, 24), turn, geom.Pt(1000, -500))
		total := 0.0
		for i := range walls {
			off := 0.2 * (rng.Float64() - 0.5) // degrees
			walls[i].B = walls[i].A.Add(walls[i].B.Sub(walls[i].A).Turn(off))
			total += walls[i].Len()
		}
		for stray := 0.0; stray < total/3; {
			s := geom.Segment{A: geom.Pt(1000, -500), B: geom.Pt(1000+rng.Float64()*10-5, -500+rng.Float64()*10-5)}
			walls = append(walls, s)
			stray += s.Len()
		}
		a := FindAxes(walls)
		if apart(a.Angle, turn) > 0.1 || a.Angle <= -45 || a.Angle > 45 {
			t.Fatalf("turned by %v: axes at %v", turn, a.Angle)
		}
		if a.Confidence < 0.7 || a.Note != "" || len(a.Wings) != 0 {
			t.Fatalf("axes %+v", a)
		}
	})
}

func TestAxesExactOnUprightPlans(t *testing.T) {
	if a := FindAxes(segments(office(40, 24), 0, geom.Pt(0, 0))); a.Angle != 0 || a.Confidence != 1 {
		t.Errorf("axes %+v", a)
	}
	if a := FindAxes(segments(office(40, 24), 45, geom.Pt(0, 0))); math.Abs(math.Abs(a.Angle)-45) > 1e-9 {
		t.Errorf("axes %+v", a)
	}
}

func TestAxesFallBackByName(t *testing.T) {
	var round []geom.Segment
	for k := range 360 {
		a, b := geom.Pt(20, 0).Turn(float64(k)), geom.Pt(20, 0).Turn(float64(k+1))
		round = append(round, geom.Segment{A: a, B: b})
	}
	tests := []struct {
		name  string
		walls []geom.Segment
		note  string
	}{
		{"none", nil, "drawing axes used: too few wall lines to find the building's"},
		{"a round hall", round, "drawing axes used: no direction stands out among the walls (the strongest has 4 % of their length)"},
		{"not numbers", []geom.Segment{{A: geom.Pt(math.NaN(), 0), B: geom.Pt(50, 0)}, {A: geom.Pt(math.Inf(1), 0), B: geom.Pt(50, 0)}}, "drawing axes used: too few wall lines to find the building's"},
	}
	for _, tt := range tests {
		if a := FindAxes(tt.walls); a.Angle != 0 || a.Note != tt.note {
			t.Errorf("%s: %+v, want note %q", tt.name, a, tt.note)
		}
	}
}

// A main house upright and a wing turned by 30 degrees beside it: each has its
// own axes, and a leg within the wing is measured on them.
func TestWings(t *testing.T) {
	walls := segments(office(60, 36), 0, geom.Pt(0, 0))
	walls = append(walls, segments(office(36, 24), 30, geom.Pt(80, 0))...)
	a := FindAxes(walls)
	if len(a.Wings) != 2 || a.Angle != 0 {
		t.Fatalf("axes %+v", a)
	}
	near(t, a.Wings[1].angle, 30, 1e-6, "angle of the wing")
	inHouse, inWing := geom.Pt(30, 18), geom.Pt(18, 12).Turn(30).Add(geom.Pt(80, 0))
	if a.wingAt(inHouse) != 0 || a.wingAt(inWing) != 1 || a.wingAt(geom.Pt(-500, 0)) != -1 {
		t.Errorf("wings %d, %d, %d", a.wingAt(inHouse), a.wingAt(inWing), a.wingAt(geom.Pt(-500, 0)))
	}
	further := inWing.Add(geom.Pt(5, 0).Turn(30))
	m := NewRectilinear([]geom.Point{inHouse, inWing, further}, a, nil)
	near(t, m.Cost(1, 2), 5, 1e-6, "5 m along the wing")
	near(t, m.Cost(0, 1), inHouse.Rect(inWing), 1e-9, "from house to wing on the main axes")
	// Two directions that share the whole plan, such as hatching, make no wings.
	mixed := segments(office(60, 36), 0, geom.Pt(0, 0))
	for x := 0.0; x < 60; x += 3 {
		mixed = append(mixed, geom.Segment{A: geom.Pt(x, 0), B: geom.Pt(x+9, 36)})
	}
	if b := FindAxes(mixed); len(b.Wings) != 0 || b.Angle != 0 {
		t.Errorf("hatched plan: %+v", b)
	}
}
