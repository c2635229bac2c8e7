package route

import (
	"testing"

	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
)

// Two devices 20 m apart; a wall with gaps lies between them and the L-shaped
// ways cross it. Through the gap in the middle the way is as long by either
// side, so a corridor along the far one draws the cable, and its true length stays.
func TestCorridorsDrawCable(t *testing.T) {
	panel, ds := parseDevices(t, "1 50 50; 1 0 0; 1 20 10")
	wall := func(x0, y0, x1, y1 float64) plan.Wall {
		return plan.Wall{Segment: geom.Segment{A: geom.Pt(x0, y0), B: geom.Pt(x1, y1)}}
	}
	b := testBuilding(panel)
	b.Levels[0].Sheets = []takeoff.Sheet{{MetrePer: 1, ToBuilding: geom.Identity(), Walls: []plan.Wall{wall(-5, 5, 4, 5), wall(6, 5, 14, 5), wall(16, 5, 25, 5)}}}
	rooms := map[string]takeoff.Room{
		"low":  {Level: "1", Name: "CORRIDOR", Outline: geom.Ring{geom.Pt(-1, -2), geom.Pt(21, -2), geom.Pt(21, 3), geom.Pt(-1, 3)}},
		"high": {Level: "1", Name: "East corridor", Outline: geom.Ring{geom.Pt(-1, 7), geom.Pt(21, 7), geom.Pt(21, 12), geom.Pt(-1, 12)}},
	}
	at := func(name string) float64 {
		if name != "" {
			b.Rooms = []takeoff.Room{rooms[name]}
		}
		opt := Usual
		opt.Along, opt.Corridors = AlongWalls, []string{"*CORRIDOR*"}
		f, err := newFloorplan(b, panel, ds, opt)
		if err != nil {
			t.Fatal(err)
		}
		l := f.leg(1, 2)
		if l.Crossings != 0 || l.Horizontal < 30-1e-9 || l.Horizontal > 30.5 {
			t.Errorf("%q: %.3f m, %d walls; want 30 m through a gap", name, l.Horizontal, l.Crossings)
		}
		for _, s := range l.Stretches {
			for i := 1; i < len(s.Points); i++ { // where the run passes the wall
				if p, q := s.Points[i-1], s.Points[i]; (p.Y-5)*(q.Y-5) < 0 {
					return p.X
				}
			}
		}
		return -1
	}
	if low, high := at("low"), at("high"); low < 14 || high > 6 {
		t.Errorf("with the corridor below the wall the run passes it at %.1f m, above it at %.1f m; want the far gap and the near one", low, high)
	}
}
