package path

import (
	"math"
	"testing"

	"loopwright/takeoff/geom"
)

// A 20 m square house with a 20 m square wing beside it, turned by 30 degrees.
// By hand: 10 along and 5 across are 15 m inside the house and inside the wing,
// each on its own walls. From the one to the other the house's axes hold.
func TestWingedWallsByHand(t *testing.T) {
	origin := geom.Pt(40, 0)
	inWing := func(x, y float64) geom.Point { return origin.Add(geom.Pt(x, y).Turn(30)) }
	var walls []Wall
	for _, at := range []func(x, y float64) geom.Point{geom.Pt, inWing} {
		c := []geom.Point{at(0, 0), at(20, 0), at(20, 20), at(0, 20)}
		for i := range c {
			walls = append(walls, Wall{Segment: geom.Segment{A: c[i], B: c[(i+1)%4]}, Penalty: wallCost})
		}
	}
	var segs []geom.Segment
	for _, w := range walls {
		segs = append(segs, w.Segment)
	}
	places := []geom.Point{geom.Pt(5, 5), geom.Pt(15, 10), inWing(5, 5), inWing(15, 10)}
	m, err := NewWingedWalls(places, walls, FindAxes(segs), WallOptions{})
	if err != nil {
		t.Fatal(err)
	}
	across := places[3].Sub(places[0])
	for _, tt := range []struct {
		i, j, walls int
		length      float64
	}{{0, 1, 0, 15}, {1, 0, 0, 15}, {2, 3, 0, 15}, {3, 2, 0, 15}, {0, 3, 2, math.Abs(across.X) + math.Abs(across.Y)}} {
		l := m.Leg(tt.i, tt.j)
		if math.Abs(l.Length-tt.length) > 1e-6 || l.Crossings != tt.walls || l.Cost() > m.Cost(tt.i, tt.j)+1e-9 {
			t.Errorf("%d to %d: %.6f m, %d walls, cost %.3f of %.3f; want %.6f m and %d", tt.i, tt.j, l.Length, l.Crossings, l.Cost(), m.Cost(tt.i, tt.j), tt.length, tt.walls)
		}
	}
}
