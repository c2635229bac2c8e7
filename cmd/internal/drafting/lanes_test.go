package drafting

import (
	"fmt"
	"math"
	"testing"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/label"
)

// laid draws legs, each of a circuit of its own, past symbols of 2 by 2 and walls.
func laid(legs map[string]way, order []string, symbols map[string]geom.Point, walls ...geom.Segment) map[string]way {
	s := sheet{height: 1, layers: "{kind}", views: []view{{level: "1"}}}
	for name, p := range symbols {
		s.panels = append(s.panels, spot{name: name, at: p})
	}
	for _, name := range order {
		l := leg{from: name[:1], to: name[1:], points: legs[name], start: true, end: true}
		s.views[0].routes = append(s.views[0].routes, route{circuit: name, legs: []leg{l}})
	}
	sc := &scene{}
	for _, w := range walls {
		sc.lines = append(sc.lines, label.SegmentObstacle{Segment: w})
	}
	d := newDraft(&s, sc)
	for name, p := range symbols {
		d.rects[name] = label.Rect{Center: p, Width: 2, Height: 2}
	}
	ways := d.layLanes(&s.views[0])
	out := map[string]way{}
	for i := range s.views[0].routes {
		out[s.views[0].routes[i].circuit] = ways[&s.views[0].routes[i].legs[0]]
	}
	return out
}

func TestLanes(t *testing.T) {
	level := func(y float64) way { return way{{X: 0, Y: y}, {X: 20, Y: y}} }
	bent := way{{X: 0, Y: -5}, {X: 0, Y: 0}, {X: 20, Y: 0}, {X: 20, Y: 5}}
	for _, c := range []struct {
		what    string
		legs    map[string]way
		order   []string
		symbols map[string]geom.Point
		walls   []geom.Segment
		want    map[string]string
	}{
		{"alone it stays on its line", map[string]way{"AB": level(0)}, []string{"AB"}, nil, nil, map[string]string{"AB": "0,0 20,0"}},
		{"crossing runs keep their lines", map[string]way{"AB": level(0), "CD": {{X: 10, Y: -9}, {X: 10, Y: 9}}}, []string{"AB", "CD"}, nil, nil,
			map[string]string{"AB": "0,0 20,0", "CD": "10,-9 10,9"}},
		{"one after the other share a line", map[string]way{"AB": level(0), "CD": {{X: 20, Y: 0}, {X: 30, Y: 0}}}, []string{"AB", "CD"}, nil, nil,
			map[string]string{"AB": "0,0 20,0", "CD": "20,0 30,0"}},
		{"two on one line part, and keep their ends", map[string]way{"AB": level(0), "CD": level(0)}, []string{"AB", "CD"}, nil, nil,
			map[string]string{"AB": "0,0 20,0", "CD": "0,0 0,-0.7 20,-0.7 20,0"}},
		{"those that end there choose first; bends move along", map[string]way{"AB": bent, "CD": level(0)}, []string{"AB", "CD"}, nil, nil,
			map[string]string{"AB": "0,-5 0,-0.7 20,-0.7 20,5", "CD": "0,0 20,0"}},
		{"off the wall", map[string]way{"AB": level(0)}, []string{"AB"}, nil, []geom.Segment{{A: geom.Pt(-9, 0.2), B: geom.Pt(30, 0.2)}},
			map[string]string{"AB": "0,0 0,-0.7 20,-0.7 20,0"}},
		{"around a symbol that it does not join", map[string]way{"AB": level(0)}, []string{"AB"}, map[string]geom.Point{"A": {}, "B": {X: 20}, "X": {X: 9}}, nil,
			map[string]string{"AB": "0,0 0,-1.4 20,-1.4 20,0"}},
		{"no way around: it stays", map[string]way{"AB": level(0)}, []string{"AB"},
			map[string]geom.Point{"A": {}, "B": {X: 20}, "X": {X: 9}, "Y": {X: 9, Y: 2}, "Z": {X: 9, Y: -2}, "U": {X: 9, Y: 4}, "V": {X: 9, Y: -4}}, nil,
			map[string]string{"AB": "0,0 20,0"}},
	} {
		for _, turn := range []float64{0, 33} {
			turned := map[string]way{}
			for n, w := range c.legs {
				for _, p := range w {
					turned[n] = append(turned[n], p.Turn(turn))
				}
			}
			if turn != 0 && c.symbols != nil {
				continue // symbols are boxes along the axes
			}
			var walls []geom.Segment
			for _, w := range c.walls {
				walls = append(walls, geom.Segment{A: w.A.Turn(turn), B: w.B.Turn(turn)})
			}
			got := laid(turned, c.order, c.symbols, walls...)
			for n, want := range c.want {
				if s := written(got[n], -turn); s != want {
					t.Errorf("%s, turned %g: %s runs %s, want %s", c.what, turn, n, s, want)
				}
			}
		}
	}
}

func written(w way, turn float64) string {
	s := ""
	for i, p := range w {
		if p = p.Turn(turn); i > 0 {
			s += " "
		}
		round := func(v float64) float64 { return math.Round(v*1000)/1000 + 0 }
		s += fmt.Sprintf("%g,%g", round(p.X), round(p.Y))
	}
	return s
}

// TestLanesApart lays many runs between the same places: no two may lie on one line.
func TestLanesApart(t *testing.T) {
	legs, order := map[string]way{}, []string{}
	for i := range 20 {
		n := fmt.Sprintf("%c%c", 'a'+i, 'A'+i)
		y := float64(i%3) * 0.3
		legs[n] = way{{X: 0, Y: -30}, {X: 0, Y: y}, {X: 100, Y: y}, {X: 100, Y: 40}}
		order = append(order, n)
	}
	got := laid(legs, order, nil)
	for i, a := range order {
		for _, b := range order[:i] {
			if d := math.Abs(got[a][len(got[a])/2].Y - got[b][len(got[b])/2].Y); d < 0.69*laneWidth {
				t.Errorf("%s and %s run %.2f apart", a, b, d)
			}
		}
	}
}
