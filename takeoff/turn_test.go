package takeoff

import (
	"math"
	"testing"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
)

// A plan that is turned comes back to lie on another of its kind, for any
// angle, quarter turns among them. The walls have no symmetry.
func TestTurnAgainst(t *testing.T) {
	walls := []plan.Wall{}
	for _, s := range [][4]float64{{0, 0, 20, 0}, {20, 0, 20, 8}, {20, 8, 6, 8}, {6, 8, 6, 15}, {6, 15, 0, 15}, {0, 15, 0, 0}, {12, 0, 12, 8}} {
		walls = append(walls, plan.Wall{Segment: geom.Segment{A: geom.Pt(s[0], s[1]), B: geom.Pt(s[2], s[3])}})
	}
	for _, turn := range []float64{0, 17, 30, 44.9, 45.5, 90, 133, 180, -90, -12.5} {
		ref := Sheet{Plan: Plan{Level: "1", Datum: &geom.Point{X: 6, Y: 8}}, MetrePer: 1, Walls: walls}
		at := geom.Pt(100, -40)
		s := Sheet{Plan: Plan{Level: "2", Datum: &at}, MetrePer: 1}
		for _, w := range walls {
			w.A = at.Add(w.A.Sub(*ref.Plan.Datum).Turn(turn))
			w.B = at.Add(w.B.Sub(*ref.Plan.Datum).Turn(turn))
			s.Walls = append(s.Walls, w)
		}
		tk := &taker{}
		if got := tk.turnAgainst(&ref, &s, newWallRaster(&ref, ref.turned())); math.Abs(math.Remainder(got-turn, 360)) > 0.02 {
			t.Errorf("turned by %g: found %g", turn, got)
		}
	}
}
