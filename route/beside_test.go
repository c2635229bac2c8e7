package route

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"loopwright/route/circuit"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// stretch is a run on a level through points given as x, y, x, y.
func stretch(level string, xy ...float64) Stretch {
	s := Stretch{Level: level}
	for i := 0; i < len(xy); i += 2 {
		s.Points = append(s.Points, geom.Pt(xy[i], xy[i+1]))
	}
	return s
}

// besideHouse has the panel at 0,0 on level 1, two rooms there and a shaft at
// 20,20: ROOM 1 takes x 10 to 19 and y -5 to 5, 90 m2, ROOM 2 x 20 to 30, 100 m2.
func besideHouse() Building {
	room := func(name string, x0, x1 float64) takeoff.Room {
		return takeoff.Room{Level: "1", Name: name, Outline: geom.Ring{geom.Pt(x0, -5), geom.Pt(x1, -5), geom.Pt(x1, 5), geom.Pt(x0, 5)}}
	}
	return Building{
		Levels: []takeoff.Level{{Name: "1", CableHeight: 3}, {Name: "2", Elevation: 4, CableHeight: 3}, {Name: "3", Elevation: 8, CableHeight: 3}},
		Panels: []Panel{{Name: "P", Level: "1"}},
		Rooms:  []takeoff.Room{room("ROOM 1", 10, 19), room("ROOM 2", 20, 30)},
		Risers: []Riser{{Name: "R", Pos: geom.Pt(20, 20)}},
	}
}

// Panel at 0,0, a device d1 in the middle of the way out at 22,0 and the last one,
// d2, at 40,0. What is together, and what does not count, by NFPA 72-2013 12.3.7
// (2016 12.3.8 and 12.3.8.1), as quoted in public: 1.2192 m (48 in) is the
// annex's advice; (1) 3.048 m (10 ft) where both ways enter an enclosure; (3) drops
// within one room of up to 1000 ft2 (92.9 m2). Lengths by hand.
func TestBesideByHand(t *testing.T) {
	const sep, near = 48 * .0254, 10 * .3048
	tests := []struct {
		name   string
		class  circuit.Class
		rooms  OneRaceway
		back   []Stretch
		length float64
		at     geom.Point
	}{
		// d1 is passed by the return, which does not enter it: (1) does not apply there.
		{"1 m apart all the way", circuit.ClassA, nil, []Stretch{stretch("1", 40, 0, 40, 1, 0, 1, 0, 0)}, 40 - 2*near, geom.Pt(12.524, 0)},
		{"the same in class X", circuit.ClassX, nil, []Stretch{stretch("1", 40, 0, 40, 1, 0, 1, 0, 0)}, 40 - 2*near, geom.Pt(12.524, 0)},
		{"1.3 m apart", circuit.ClassA, nil, []Stretch{stretch("1", 40, 0, 40, 1.3, 0, 1.3, 0, 0)}, 0, geom.Point{}},
		{"on another level", circuit.ClassA, nil, []Stretch{stretch("2", 40, 0, 40, 1, 0, 1, 0, 0)}, 0, geom.Point{}},
		{"one crossing, the advised distance before and after", circuit.ClassA, nil, []Stretch{stretch("1", 40, 0, 40, 9, 25, 9, 25, -9, 0, -9, 0, 0)}, 2 * sep, geom.Pt(25, 0)},
		{"the same tray", circuit.ClassA, nil, []Stretch{stretch("1", 40, 0, 0, 0)}, 40 - 2*near, geom.Pt(12.524, 0)},
		// Inside ROOM 1 they may be together; within the advised distance of its
		// walls what is inside still lies beside what is outside.
		{"one raceway in ROOM 1", circuit.ClassA, OneRaceway{"ROOM 1"}, []Stretch{stretch("1", 40, 0, 0, 0)}, 40 - 2*near - 9 + 2*sep, geom.Pt(29.5, 0)},
		{"ROOM 2 is larger than 1000 ft2: judged all the same", circuit.ClassA, OneRaceway{"ROOM 2"}, []Stretch{stretch("1", 40, 0, 0, 0)}, 40 - 2*near, geom.Pt(12.524, 0)},
		// The way home dips to a millimetre under the advised distance at x 20.2: half a chord to either side.
		{"near for a moment: given, not told", circuit.ClassA, nil, []Stretch{stretch("1", 40, 0, 40, 9, 20.2, 9, 20.2, sep, 20.2, sep-.001, 20.199, sep-.001, 20.199, 9, 0, 9, 0, 0)}, 2*math.Sqrt(sep*sep-(sep-.001)*(sep-.001)) + .001, geom.Pt(20.1995, 0)},
		{"class B has no return", circuit.ClassB, nil, nil, 0, geom.Point{}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := Circuit{Spec: Spec{Name: "C", Panel: "P", Pathway: tt.class}, Devices: []string{"d1", "d2"},
				Legs: []Leg{{From: "P", To: "d1", Stretches: []Stretch{stretch("1", 0, 0, 22, 0)}}, {From: "d1", To: "d2", Stretches: []Stretch{stretch("1", 22, 0, 40, 0)}}}}
			if tt.back != nil {
				c.Legs = append(c.Legs, Leg{From: "d2", To: "P", Return: true, Stretches: tt.back})
			}
			ds := []takeoff.Device{{ID: "d1", Level: "1", Pos: geom.Pt(22, 0)}, {ID: "d2", Level: "1", Pos: geom.Pt(40, 0)}}
			b := besideHouse()
			got, err := Beside(b, c, ds, tt.rooms)
			at := geom.Point{}
			for _, m := range got.Places {
				at = m.At
			}
			if err != nil || math.Abs(got.Length-tt.length) > 1e-6 || at.Dist(tt.at) > 1e-6 && tt.length > 0 && tt.rooms == nil {
				t.Fatalf("%.4f m around %v, %v; want %.4f m around %v", got.Length, at, err, tt.length, tt.at)
			}
			fs := got.Findings(b, c)
			ok := len(fs) == 1
			lost := 2
			if strings.HasPrefix(tt.name, "one crossing") {
				lost = 1 // d2: the way home crosses the leg from d1 to d2
			}
			if ok != (tt.length >= .5) || ok && !strings.Contains(fs[0].Message, fmt.Sprintf("on 1, and one event there takes up to %d of its 2 devices", lost)) {
				t.Errorf("findings %v", fs)
			}
			all := BesideFindings(b, []Circuit{c}, []Alongside{got}, tt.rooms)
			if ok && !strings.Contains(all[len(all)-1].Message, "recommendation, not a requirement") {
				t.Errorf("the rule is not told: %v", all)
			}
			if large := strings.Contains(tt.name, "ROOM 2"); large != (len(all) > 0 && strings.Contains(all[0].Message, "is 1076 ft2, over the 1000 ft2")) {
				t.Errorf("the large room: %v", all)
			}
		})
	}
}

// Cable runs at 3, 7 and 11 m; the shaft R stands at 20,20. The rule asks for
// separate routes, and the annex for 12 in between conductors run vertically
// (NFPA 72-2013 12.3.7 and A.12.3.7): what both ways share of a shaft is told.
func TestShaftThatHoldsBothWays(t *testing.T) {
	rise := func(from, to string, h float64, back bool) Leg {
		return Leg{From: "a", To: "b", Rise: h, Return: back, Stretches: []Stretch{stretch(from, 0, 0, 20, 20), stretch(to, 20, 20, 9, 9)}}
	}
	elsewhere := rise("2", "1", 4, true)
	elsewhere.Stretches = []Stretch{stretch("2", 9, 9, 0, 0), stretch("1", 0, 0, 1, 0)}
	tests := []struct {
		name      string
		legs      []Leg
		separated bool
		riser     string
		rise      float64
	}{
		{"up and down two levels", []Leg{rise("1", "3", 8, false), rise("3", "1", 8, true)}, false, "riser R", 8},
		{"separated in it", []Leg{rise("1", "3", 8, false), rise("3", "1", 8, true)}, true, "", 0},
		{"up level by level, down at once", []Leg{rise("1", "2", 4, false), rise("2", "3", 4, false), rise("3", "1", 8, true)}, false, "riser R", 8},
		{"up three, back from the second", []Leg{rise("1", "3", 8, false), rise("3", "2", 4, false), rise("2", "1", 4, true)}, false, "riser R", 4},
		{"back in another shaft", []Leg{rise("1", "2", 4, false), elsewhere}, false, "", 0},
		{"all on one level", []Leg{{From: "P", To: "P"}}, false, "", 0},
	}
	for _, tt := range tests {
		b := besideHouse()
		b.Risers[0].Separated = tt.separated
		c := Circuit{Spec: Spec{Name: "C", Panel: "P", Pathway: circuit.ClassA}, Legs: tt.legs}
		a, err := Beside(b, c, nil, nil)
		if err != nil || a.Riser != tt.riser || math.Abs(a.Rise-tt.rise) > 1e-9 {
			t.Errorf("%s: %s over %v m, %v; want %s over %v", tt.name, a.Riser, a.Rise, err, tt.riser, tt.rise)
		}
		fs := BesideFindings(b, []Circuit{c, c}, []Alongside{a, a}, nil)
		if told := len(fs) == 2 && strings.Contains(fs[0].Message, "return of 2 circuits (C, C)"); told != (tt.rise > 0) {
			t.Errorf("%s: %v", tt.name, fs)
		}
	}
}

// 12.3.7(1) frees the runs around an enclosure, not those above or below it.
func TestBesideOverThePanel(t *testing.T) {
	b := besideHouse()
	b.Panels[0].Level = "2"
	c := Circuit{Spec: Spec{Name: "C", Panel: "P", Pathway: circuit.ClassA}, Legs: []Leg{{From: "P", To: "d", Stretches: []Stretch{stretch("1", 0, 0, 40, 0)}},
		{From: "d", To: "P", Return: true, Stretches: []Stretch{stretch("1", 40, 0, 0, 0)}}}}
	a, err := Beside(b, c, []takeoff.Device{{ID: "d", Level: "1", Pos: geom.Pt(40, 0)}}, nil)
	if want := 40 - 10*.3048; err != nil || math.Abs(a.Length-want) > 1e-9 {
		t.Errorf("%v m, %v; want %v", a.Length, err, want)
	}
}

// Two rows of 15 devices 3 ft apart down a corridor of 280 ft, out along one and back
// along the other. By hand, in feet: the leg out between the devices at 20k and 20k+20
// lies beside that back for all of its length; at the far end both are within 10 ft of
// the two last devices, at x above 300 - sqrt(10^2 - 3^2) = 290.46 on the row out;
// at the near end the panel is at 0, 10, the first legs are L-shaped and lie on the rows.
// One event before the first two devices takes all 30.
func TestBesideAlongACorridor(t *testing.T) {
	const foot = .3048
	c := Circuit{Spec: Spec{Name: "C", Panel: "P", Pathway: circuit.ClassA}}
	var ds []takeoff.Device
	from, at := "P", geom.Pt(0, 10*foot)
	visit := func(id string, x, y float64, pts ...geom.Point) {
		to := geom.Pt(x*foot, y*foot)
		c.Legs = append(c.Legs, Leg{From: from, To: id, Stretches: []Stretch{{Level: "1", Points: append(append([]geom.Point{at}, pts...), to)}}})
		from, at = id, to
		if id != "P" {
			ds = append(ds, takeoff.Device{ID: id, Level: "1", Pos: to})
			c.Devices = append(c.Devices, id)
		}
	}
	for i := 1; i <= 15; i++ {
		if i == 1 {
			visit("S1", 20, 8.5, geom.Pt(0, 8.5*foot))
			continue
		}
		visit(fmt.Sprint("S", i), 20*float64(i), 8.5)
	}
	for i := 15; i >= 1; i-- {
		visit(fmt.Sprint("N", i), 20*float64(i), 11.5)
	}
	visit("P", 0, 10, geom.Pt(0, 11.5*foot))
	b := besideHouse()
	b.Rooms, b.Panels[0].Pos = nil, geom.Pt(0, 10*foot)
	a, err := Beside(b, c, ds, nil)
	if err != nil || len(a.Places) != 1 {
		t.Fatal(a, err)
	}
	// From the panel's 10 ft, sqrt(10^2 - 1.5^2) = 9.887 ft along the row, to 9.539 ft before the end.
	if want := (300 - math.Sqrt(100-1.5*1.5) - math.Sqrt(100-9)) * foot; math.Abs(a.Length-want) > 1e-6 || a.Places[0].Devices != 30 {
		t.Errorf("%.4f ft, %d devices; want %.4f ft, 30 devices", a.Length/foot, a.Places[0].Devices, want/foot)
	}
}

// Any two stretches of random loops against a brute force: every 2 cm of a leg is
// held against every 2 cm of all later ones, what both cut off the panel is walked
// leg by leg, and what lies between two places is walked node by node.
func TestBesideByBruteForce(t *testing.T) {
	const step, sep, near = .02, 48 * .0254, 10 * .3048
	rng := rand.New(rand.NewPCG(15, 2))
	together := 0
	for trial := range 12 {
		n := 3 + rng.IntN(5)
		nodes := []geom.Point{{}}
		c := Circuit{Spec: Spec{Name: "C", Panel: "P", Pathway: circuit.ClassX}}
		var ds []takeoff.Device
		for i := range n {
			at := geom.Pt(rng.Float64()*14, rng.Float64()*6)
			nodes = append(nodes, at)
			ds = append(ds, takeoff.Device{ID: fmt.Sprint("d", i+1), Level: "1", Pos: at})
			c.Devices = append(c.Devices, ds[i].ID)
		}
		name := func(k int) string { return append([]string{"P"}, c.Devices...)[k%(n+1)] }
		samples := make([][]geom.Point, n+1)
		for k := range n + 1 {
			p, q := nodes[k], nodes[(k+1)%(n+1)]
			pts := []geom.Point{p, geom.Pt(q.X, p.Y), q}
			c.Legs = append(c.Legs, Leg{From: name(k), To: name(k + 1), Return: k == n, Stretches: []Stretch{{Level: "1", Points: pts}}})
			for s := 1; s < len(pts); s++ {
				for m := range int(pts[s].Dist(pts[s-1]) / step) {
					samples[k] = append(samples[k], pts[s-1].Lerp(pts[s], (float64(m)+.5)*step/pts[s].Dist(pts[s-1])))
				}
			}
		}
		// lost walks the loop from both ends with two legs cut.
		lost := func(i, j int) int {
			fed := map[int]bool{0: true}
			for k := 0; k != i && k != j; k++ {
				fed[k+1] = true
			}
			for k := n; k != i && k != j; k-- {
				fed[k] = true
			}
			return n + 1 - len(fed)
		}
		exempt := func(p geom.Point, i, j int) bool {
			all := func(first, count int) bool {
				for k := first; k < first+count; k++ {
					if nodes[k%(n+1)].Dist(p) >= near {
						return false
					}
				}
				return true
			}
			return all(i+1, j-i) || all(j+1, n+1-(j-i))
		}
		length, worst := 0.0, 0
		for i := range samples {
			for _, p := range samples[i] {
				found := false
				for j := i + 1; j < len(samples); j++ {
					if exempt(p, i, j) {
						continue
					}
					for _, q := range samples[j] {
						if p.Dist(q) < sep {
							found, worst = true, max(worst, lost(i, j))
							break
						}
					}
				}
				if found {
					length += step
				}
			}
		}
		b := besideHouse()
		b.Rooms = nil
		a, err := Beside(b, c, ds, nil)
		if err != nil {
			t.Fatal(err)
		}
		got := 0
		for _, m := range a.Places {
			got = m.Devices
		}
		if math.Abs(a.Length-length) > .02*float64(4*n)+.02*length || got != worst {
			t.Errorf("loop %d: %.2f m, %d devices; by brute force %.2f m, %d", trial, a.Length, got, length, worst)
		}
		if length > 1 {
			together++
		}
	}
	if together < 6 {
		t.Errorf("only %d loops lie beside themselves: the comparison shows little", together)
	}
}
