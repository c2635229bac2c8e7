package path

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"

	"pgregory.net/rapid"
)

func near(t interface {
	Helper()
	Errorf(string, ...any)
}, got, want, tol float64, what string) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %v, want %v", what, got, want)
	}
}

// wallCost is what a wall of the tests costs, in metres.
const wallCost = 3.0

func wall(x0, y0, x1, y1 float64) Wall {
	return Wall{Segment: geom.Segment{A: geom.Pt(x0, y0), B: geom.Pt(x1, y1)}, Penalty: wallCost}
}

// Two rooms of 6 m x 8 m side by side, walls as single lines, measured by hand:
//
//	y=8 +-----------+-----------+
//	    |           |           |
//	    |  A        |        B  |      A (1, 6)   B (11, 6)
//	    |           |           |
//	    |           + y=2       |      wall x=6 from y=8 down to y=2:
//	    |  C          (gap)  D  |      C (1, 1)   D (11, 1)
//	y=0 +-----------------------+
//	   x=0         x=6         x=12
//
// C-D passes below the wall: 10 m, nothing crossed.
// A-D: the bend at (1, 1) keeps below the wall: 10 + 5 = 15 m, nothing crossed;
// the bend at (11, 6) would cross it.
// A-B straight: 10 m and one crossing. Round the wall's end at (6, 2): down
// to just below 2 and up again, 10 + 2 x 4 = 18 m and up to a cell more either way.
// With 3 m for a wall, 13 < 18: through. With 20 m, 30 > 18: round.
// C-C' within one room, from (1, 1) to (4, 5): 3 + 4 = 7 m.
func TestTwoRoomsByHand(t *testing.T) {
	walls := []Wall{wall(0, 0, 12, 0), wall(12, 0, 12, 8), wall(12, 8, 0, 8), wall(0, 8, 0, 0), wall(6, 8, 6, 2)}
	const a, b, c, d, e = 0, 1, 2, 3, 4
	places := []geom.Point{{X: 1, Y: 6}, {X: 11, Y: 6}, {X: 1, Y: 1}, {X: 11, Y: 1}, {X: 4, Y: 5}}
	tests := []struct {
		penalty                float64
		from, to               int
		length, slack          float64
		crossings, mostCorners int
	}{
		{3, c, d, 10, 1e-9, 0, 2},
		{3, a, d, 15, 1e-9, 0, 3},
		{3, d, a, 15, 1e-9, 0, 3},
		{3, c, e, 7, 1e-9, 0, 3},
		{3, a, b, 10, 1e-9, 1, 2},
		{20, a, b, 18, 4 * finestCell, 0, 4},
		{20, c, d, 10, 1e-9, 0, 2},
	}
	for _, tt := range tests {
		t.Run(fmt.Sprintf("%d-%d at %g m a wall", tt.from, tt.to, tt.penalty), func(t *testing.T) {
			for i := range walls {
				walls[i].Penalty = tt.penalty
			}
			m, err := NewWalls(places, walls, DrawingAxes("test"), WallOptions{})
			if err != nil {
				t.Fatal(err)
			}
			l := m.Leg(tt.from, tt.to)
			near(t, l.Length, tt.length, tt.slack, "length")
			if l.Crossings != tt.crossings || l.Penalty != tt.penalty*float64(tt.crossings) {
				t.Errorf("%d crossings, penalty %v; want %d", l.Crossings, l.Penalty, tt.crossings)
			}
			if len(l.Points) > tt.mostCorners {
				t.Errorf("%d points, want at most %d: %v", len(l.Points), tt.mostCorners, l.Points)
			}
			if l.Via != ViaWalls || l.Points[0] != places[tt.from] || l.Points[len(l.Points)-1] != places[tt.to] {
				t.Errorf("leg %+v", l)
			}
		})
	}
}

// The lines of one wall count once; two walls a room apart count twice; a
// fire-rated wall carries its own penalty; a free one costs nothing.
func TestCrossingsByHand(t *testing.T) {
	rated := wall(20, -5, 20, 5)
	rated.Penalty = 12
	free := wall(30, -5, 30, 5)
	free.Penalty = 0
	walls := []Wall{
		wall(5, -5, 5, 5), wall(5.2, -5, 5.2, 5), // one wall of 0.2 m
		wall(10, -5, 10, 0), wall(10, 0, 10, 5), // joined at y = 0
		rated, free,
		wall(40, -5, 40, 0), // ends on the x axis
		wall(50, 0, 60, 0),  // along it
		wall(0, 0, 0, 0),    // nothing
		wall(math.NaN(), 0, 1, 1),
	}
	x := newIndex(walls)
	tests := []struct {
		name    string
		pts     []geom.Point
		n       int
		penalty float64
	}{
		{"double line", []geom.Point{{X: 1}, {X: 9}}, 1, 3},
		{"joined walls, through the joint", []geom.Point{{X: 9}, {X: 11}}, 1, 3},
		{"both", []geom.Point{{X: 1, Y: 1}, {X: 11, Y: 1}}, 2, 6},
		{"rated", []geom.Point{{X: 19, Y: 1}, {X: 21, Y: 1}}, 1, 12},
		{"free", []geom.Point{{X: 29, Y: 1}, {X: 31, Y: 1}}, 1, 0},
		{"starts on a wall", []geom.Point{{X: 10, Y: 1}, {X: 15, Y: 1}}, 0, 0},
		{"ends on a wall", []geom.Point{{X: 15, Y: 1}, {X: 10, Y: 1}}, 0, 0},
		{"along a wall", []geom.Point{{X: 51}, {X: 59}}, 0, 0},
		{"above, down, along, up again", []geom.Point{{X: 51, Y: 1}, {X: 51}, {X: 59}, {X: 59, Y: 1}}, 0, 0},
		{"above, down, along, and further down", []geom.Point{{X: 51, Y: 1}, {X: 51}, {X: 59}, {X: 59, Y: -1}}, 1, 3},
		{"aslant", []geom.Point{{X: 1, Y: -4}, {X: 11, Y: 4}}, 2, 6},
		{"there and back", []geom.Point{{X: 9, Y: 1}, {X: 12, Y: 1}, {X: 12, Y: 2}, {X: 9, Y: 2}}, 2, 6},
		{"along the way a wall abuts", []geom.Point{{X: 35}, {X: 45}}, 1, 3},
		{"the same backwards", []geom.Point{{X: 45}, {X: 35}}, 1, 3},
		{"from a wall along it, then off", []geom.Point{{X: 51}, {X: 59}, {X: 59, Y: 1}}, 0, 0},
		{"onto a wall, then along it", []geom.Point{{X: 59, Y: 1}, {X: 59}, {X: 51}}, 0, 0},
		{"outside", []geom.Point{{X: -100, Y: 1}, {X: -50, Y: 9}}, 0, 0},
		{"a point", []geom.Point{{X: 5.1}, {X: 5.1}}, 0, 0},
	}
	for _, tt := range tests {
		for _, turn := range []float64{0, 90, 180, 37} {
			var turned []Wall
			for _, w := range walls {
				w.A, w.B = w.A.Turn(turn), w.B.Turn(turn)
				turned = append(turned, w)
			}
			if turn != 0 {
				x = newIndex(turned)
			}
			pts := make([]geom.Point, len(tt.pts))
			for i, p := range tt.pts {
				pts[i] = p.Turn(turn)
			}
			if n, p := x.crossings(pts); n != tt.n || p != tt.penalty {
				t.Errorf("%s, turned by %v: %d crossings for %v, want %d for %v", tt.name, turn, n, p, tt.n, tt.penalty)
			}
		}
		x = newIndex(walls)
	}
}

// drawOffice scatters places over a floor, sometimes turned and moved.
func drawOffice(t *rapid.T) ([]geom.Point, []Wall, Axes) {
	w, h := float64(rapid.IntRange(6, 40).Draw(t, "w")), float64(rapid.IntRange(6, 30).Draw(t, "h"))
	turn := rapid.SampledFrom([]float64{0, 0, 30, -12.5, 45}).Draw(t, "turn")
	move := geom.Pt(float64(rapid.IntRange(-500, 500).Draw(t, "dx")), float64(rapid.IntRange(-500, 500).Draw(t, "dy")))
	n := rapid.IntRange(2, 12).Draw(t, "n")
	var pts []geom.Point
	for range n {
		p := geom.Pt(w*float64(rapid.IntRange(0, 97).Draw(t, "x"))/97, h*float64(rapid.IntRange(0, 97).Draw(t, "y"))/97)
		pts = append(pts, p.Turn(turn).Add(move))
	}
	walls := office(w, h)
	for i := range walls {
		walls[i].A, walls[i].B = walls[i].A.Turn(turn).Add(move), walls[i].B.Turn(turn).Add(move)
	}
	return pts, walls, Axes{Angle: turn}
}

func TestWallsLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pts, walls, axes := drawOffice(t)
		penalty := rapid.SampledFrom([]float64{0, 0.5, 10, 1e5}).Draw(t, "penalty")
		for i := range walls {
			walls[i].Penalty = penalty
		}
		m, err := NewWalls(pts, walls, axes, WallOptions{})
		if err != nil {
			t.Fatal(err)
		}
		x := newIndex(walls)
		for i := range pts {
			for j := range pts {
				l := m.Leg(i, j)
				cost := m.Cost(i, j)
				if i == j {
					if cost != 0 || l.Length != 0 {
						t.Fatalf("from a place to itself: cost %v, length %v", cost, l.Length)
					}
					continue
				}
				if l.Cost() > cost+1e-9 {
					t.Fatalf("leg %d-%d costs %v, Cost says %v", i, j, l.Cost(), cost)
				}
				if cost != m.Cost(j, i) {
					t.Fatalf("cost %v one way, %v the other", cost, m.Cost(j, i))
				}
				back := m.Leg(j, i)
				slices.Reverse(back.Points)
				if !slices.Equal(back.Points, l.Points) || back.Cost() != l.Cost() {
					t.Fatalf("leg %d-%d is not the way back's reverse", i, j)
				}
				if l.Points[0] != pts[i] || l.Points[len(l.Points)-1] != pts[j] {
					t.Fatalf("leg %d-%d runs %v", i, j, l.Points)
				}
				if d := math.Abs(geom.PathLen(l.Points) - l.Length); d > 1e-9 {
					t.Fatalf("length %v is off by %v", l.Length, d)
				}
				shortest := rectDist(pts[i], pts[j], axes.Angle)
				if l.Length < shortest-1e-9 {
					t.Fatalf("length %v below the rectilinear distance %v", l.Length, shortest)
				}
				bend := Bend(pts[i], pts[j], axes.Angle, x)
				// Upon a wall line to the last digit the two frames may differ.
				if axes.Angle == 0 && cost > bend.Cost()+1e-9 {
					t.Fatalf("cost %v above that of the best bend, %v", cost, bend.Cost())
				}
				if axes.Angle == 0 && bend.Crossings == 0 && l.Length != bend.Length {
					t.Fatalf("length %v in one open space, want %v", l.Length, bend.Length)
				}
				if n, p := x.crossings(l.Points); axes.Angle == 0 && (n != l.Crossings || p != l.Penalty) {
					t.Fatalf("%d crossings for %v, recounted %d for %v", l.Crossings, l.Penalty, n, p)
				}
				for k := 1; k < len(l.Points); k++ {
					d := l.Points[k].Sub(l.Points[k-1]).Turn(-axes.Angle)
					if math.Min(math.Abs(d.X), math.Abs(d.Y)) > 1e-6 {
						t.Fatalf("leg %d-%d leaves the axes: %v", i, j, l.Points)
					}
				}
			}
		}
	})
}

// The order of the places, and more processors, change nothing.
func TestWallsDeterminism(t *testing.T) {
	walls := office(40, 30)
	pts := scatter(40, 40, 30)
	perm := rand.New(rand.NewPCG(3, 3)).Perm(len(pts))
	mixed := make([]geom.Point, len(pts))
	for i, p := range perm {
		mixed[i] = pts[p]
	}
	m, err := NewWalls(pts, walls, Axes{}, WallOptions{})
	if err != nil {
		t.Fatal(err)
	}
	slices.Reverse(walls)
	k, err := NewWalls(mixed, walls, Axes{}, WallOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for i := range pts {
		for j := range pts {
			if a, b := m.Cost(perm[i], perm[j]), k.Cost(i, j); a != b {
				t.Fatalf("cost %v, in another order %v", a, b)
			}
			if a, b := m.Leg(perm[i], perm[j]), k.Leg(i, j); !slices.Equal(a.Points, b.Points) {
				t.Fatalf("way %v, in another order %v", a.Points, b.Points)
			}
		}
	}
}

// One place more must not shift the ways of the others, as long as the plan's
// extent stays.
func TestOnePlaceMoreKeepsTheOthers(t *testing.T) {
	walls := office(40, 30)
	pts := append(scatter(30, 40, 30), geom.Pt(0, 0), geom.Pt(40, 30))
	m, err := NewWalls(pts, walls, Axes{}, WallOptions{})
	if err != nil {
		t.Fatal(err)
	}
	k, err := NewWalls(append(slices.Clone(pts), geom.Pt(17, 11)), walls, Axes{}, WallOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for i := range pts {
		for j := range pts {
			if m.Cost(i, j) != k.Cost(i, j) {
				t.Fatalf("cost %d-%d: %v, with one place more %v", i, j, m.Cost(i, j), k.Cost(i, j))
			}
		}
	}
}

// Between two rooms a corridor on the way saves its share: from (0, 5) to
// (20, 5), of which x = 4 to 14 lies in the corridor. 20 m of cable that count as
// 20 - 0.2 x 10 = 18.
func TestCorridorSaving(t *testing.T) {
	places := []geom.Point{{X: 0, Y: 5}, {X: 20, Y: 5}}
	ring := geom.Ring{{X: 4, Y: 4}, {X: 14, Y: 4}, {X: 14, Y: 6}, {X: 4, Y: 6}}
	walls := []Wall{wall(0, 9, 20, 9)}
	m, err := NewWalls(places, walls, Axes{}, WallOptions{Corridors: []geom.Ring{ring}, Saving: 0.2})
	if err != nil {
		t.Fatal(err)
	}
	l := m.Leg(0, 1)
	near(t, l.Length, 20, 1e-9, "length")
	near(t, l.Penalty, -2, 1e-9, "penalty")
	near(t, m.Cost(0, 1), 18, 1e-9, "cost")
}

func TestWallsFallbacksAreNamed(t *testing.T) {
	places := []geom.Point{{X: 0, Y: 0}, {X: 3, Y: 4}, {X: 9, Y: 9}}
	tests := []struct {
		name  string
		walls []Wall
		axes  Axes
		opt   WallOptions
		via   string
		note  string
	}{
		{"walls", []Wall{wall(1, -9, 1, 9)}, Axes{}, WallOptions{}, ViaWalls, ""},
		{"no walls", nil, Axes{}, WallOptions{}, ViaRectilinear, "no walls given: measured rectilinear"},
		{"many places", []Wall{wall(1, -9, 1, 9)}, Axes{}, WallOptions{MaxPlaces: 2}, ViaWalls, "more than 2 places: walls weighed on L-shaped routes only"},
		{"no axes", []Wall{wall(1, -9, 1, 9)}, DrawingAxes("none found"), WallOptions{}, ViaWalls, "drawing axes used: none found"},
	}
	for _, tt := range tests {
		m, err := NewWalls(places, tt.walls, tt.axes, tt.opt)
		if err != nil {
			t.Fatal(err)
		}
		if l := m.Leg(0, 1); l.Via != tt.via || l.Note != tt.note {
			t.Errorf("%s: via %q, note %q; want %q, %q", tt.name, l.Via, l.Note, tt.via, tt.note)
		}
		if l := m.Leg(0, 1); l.Cost() != m.Cost(0, 1) {
			t.Errorf("%s: leg costs %v, Cost %v", tt.name, l.Cost(), m.Cost(0, 1))
		}
	}
	far, err := NewWalls(append(places, geom.Pt(5e5, 3e5)), []Wall{wall(1, -9, 1, 9)}, Axes{}, WallOptions{Units: measure.Metric})
	if err != nil {
		t.Fatal(err)
	}
	if want := "the places spread over 500000 x 300000 m: routes around walls are searched in steps of 2896.3 m"; far.Note() != want {
		t.Errorf("a place far off: %q, want %q", far.Note(), want)
	}
	if l := far.Leg(0, 1); l.Cost() > far.Cost(0, 1)+1e-9 || l.Length < 7 {
		t.Errorf("a place far off: %+v", l)
	}
	if _, err := NewWalls([]geom.Point{{X: math.NaN()}}, nil, Axes{}, WallOptions{}); err == nil {
		t.Error("a place that is not finite was accepted")
	}
}

// Lines far away, as drawings have them, change neither the answer nor the speed.
func TestStrayWalls(t *testing.T) {
	walls := office(40, 30)
	pts := scatter(20, 40, 30)
	m, err := NewWalls(pts, walls, Axes{}, WallOptions{})
	if err != nil {
		t.Fatal(err)
	}
	stray := append(slices.Clone(walls), wall(9e8, 9e8, 9e8, -9e8), wall(-4e6, 7, -4e6, 8), wall(1e300, 0, 0, 0))
	k, err := NewWalls(pts, stray, Axes{}, WallOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for i := range pts {
		for j := range pts {
			if m.Cost(i, j) != k.Cost(i, j) {
				t.Fatalf("cost %d-%d: %v, with stray walls %v", i, j, m.Cost(i, j), k.Cost(i, j))
			}
		}
	}
	if k.index.cell != m.index.cell {
		t.Errorf("cells of %v m, with stray walls %v m", m.index.cell, k.index.cell)
	}
}

// A single leg searches only as far as it must: it has to find what the search
// for all pairs finds, also where part of the goal lies beyond that reach.
func TestLegsMatchCosts(t *testing.T) {
	pts := scatter(120, 25, 17)
	m, err := NewWalls(pts, office(25, 17), Axes{}, WallOptions{})
	if err != nil {
		t.Fatal(err)
	}
	smoothed := 0
	for i := range pts {
		for j := range i {
			l := m.Leg(i, j)
			if l.Cost() > m.Cost(i, j)+1e-9 {
				t.Fatalf("leg %d-%d costs %v, Cost says %v", i, j, l.Cost(), m.Cost(i, j))
			}
			if l.Cost() < m.Cost(i, j)-1e-9 {
				smoothed++
			}
		}
	}
	t.Logf("smoothing made %d of %d legs cheaper", smoothed, len(pts)*(len(pts)-1)/2)
}

// A node next to the goal that lies just beyond the limit of the search is not
// part of its answer.
func TestGoalAtTheLimit(t *testing.T) {
	var pts []geom.Point
	for _, p := range [][2]float64{{16, 1}, {1, 1}, {4, 97}} {
		pts = append(pts, geom.Pt(25*p[0]/97, 17*p[1]/97))
	}
	for i := range pts {
		for j := range pts {
			m, err := NewWalls(pts, office(25, 17), Axes{}, WallOptions{})
			if err != nil {
				t.Fatal(err)
			}
			if l := m.Leg(i, j); l.Cost() > m.Cost(i, j)+1e-9 {
				t.Errorf("leg %d-%d costs %v, Cost says %v", i, j, l.Cost(), m.Cost(i, j))
			}
		}
	}
}
