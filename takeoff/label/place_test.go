package label

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"loopwright/takeoff/geom"
)

// plan is a made-up floor: rooms along corridors, a name in each room, and a
// device about every pitch metres along the walls and on the ceiling.
type plan struct {
	labels []Label
	obs    Obstacles
}

// The height of labels: 3/32 inch on paper at 1:96 is 9 inches in the building.
const labelHeight = 9 * 0.0254

func densePlan(seed uint64, n int, pitch float64, turn float64) plan {
	rnd := rand.New(rand.NewPCG(seed, 7))
	var p plan
	const room, depth, corridor = 6.0, 4.5, 2.4
	cols := max(2, int(math.Sqrt(float64(n)/6)))
	at := func(x, y float64) geom.Point { return geom.Pt(x, y).Turn(turn) }
	wall := func(x0, y0, x1, y1 float64) {
		p.obs.Segments = append(p.obs.Segments, SegmentObstacle{Segment: geom.Segment{A: at(x0, y0), B: at(x1, y1)}})
	}
	text := func(x, y float64, s string, h float64) {
		r := Rect{Center: at(x, y), Width: EstimateWidth(s, h), Height: h, Angle: turn}
		p.obs.Boxes = append(p.obs.Boxes, BoxObstacle{Rect: r})
	}
	device := func(x, y float64) {
		if len(p.labels) >= n {
			return
		}
		id := len(p.labels)
		s := Rect{Center: at(x, y), Width: 0.30, Height: 0.30, Angle: turn + 90*float64(rnd.IntN(4))}
		p.labels = append(p.labels, Label{
			ID: fmt.Sprint(id), Text: fmt.Sprintf("1-%03d", id%127+1), Height: labelHeight, Anchor: at(x, y), Symbol: s, Angle: turn,
		})
	}
	for row := 0; len(p.labels) < n; row++ {
		y := float64(row) * (depth + corridor)
		wall(0, y, float64(cols)*room, y)
		wall(0, y+depth, float64(cols)*room, y+depth)
		for c := range cols {
			x := float64(c) * room
			wall(x, y, x, y+depth)
			text(x+room/2, y+depth/2+0.3, [...]string{"OFFICE", "STORAGE", "READING ROOM", "CLASSROOM"}[rnd.IntN(4)], labelHeight*1.3)
			text(x+room/2, y+depth/2-0.3, fmt.Sprint(100+row*cols+c), labelHeight*1.3)
			for dx := pitch / 2; dx < room; dx += pitch {
				for dy := pitch / 2; dy < depth; dy += pitch {
					px, py := x+dx+rnd.Float64()*0.2, y+dy+rnd.Float64()*0.2
					if math.Abs(px-x-room/2) < 1.9 && math.Abs(py-y-depth/2) < 0.75 {
						continue // the room's name stands there
					}
					device(px, py)
				}
			}
			device(x+room/2, y+depth+0.16) // wall devices in the corridor
			device(x+room/2+1.5, y+depth+0.16)
			device(x+room/2+0.7, y+depth+corridor/2)
		}
		wall(float64(cols)*room, y, float64(cols)*room, y+depth)
	}
	return p
}

// A device every 1.5 m between walls and room names: everything finds a place,
// nearly everything without a leader, and nothing lies on anything.
func TestDensePlan(t *testing.T) {
	for _, tt := range []struct {
		seed        uint64
		n           int
		pitch, turn float64
	}{{1, 300, 1.5, 0}, {2, 300, 1.5, 30}, {3, 300, 1.5, -73.5}, {4, 1000, 1.5, 0}, {5, 300, 1.5, 90}} {
		t.Run(fmt.Sprintf("%d devices each %g m turned %g", tt.n, tt.pitch, tt.turn), func(t *testing.T) {
			p := densePlan(tt.seed, tt.n, tt.pitch, tt.turn)
			r := Place(p.labels, p.obs, Options{})
			first := firstFitPlan(p, tt.turn)
			t.Logf("placed %d of %d, %d with a leader; first fit %d", r.Placed, tt.n, r.WithLeader, first)
			if r.Placed != tt.n {
				t.Errorf("placed %d of %d: %+v", r.Placed, tt.n, r.Unplaced()[0])
			}
			if lead := float64(r.WithLeader) / float64(tt.n); lead > 0.05 {
				t.Errorf("%.1f %% with a leader", 100*lead)
			}
			bruteForce(t, p.labels, p.obs, r)
		})
	}
}
