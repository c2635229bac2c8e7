package route

import (
	"math"
	"strings"
	"testing"

	"loopwright/takeoff/geom"
)

// Panel at 0,0, a device at 40,0 and the way out straight between them. Runs
// count as together under 1.2192 m (48 in, the annex's advice) and not within
// 3.048 m (10 ft) of panel and device: figures of NFPA 72-2013 12.3.7 and its annex.
func TestBesideByHand(t *testing.T) {
	stretch := func(level string, xy ...float64) Stretch {
		s := Stretch{Level: level}
		for i := 0; i < len(xy); i += 2 {
			s.Points = append(s.Points, geom.Pt(xy[i], xy[i+1]))
		}
		return s
	}
	tests := []struct {
		name   string
		class  Pathway
		back   []Stretch
		length float64
		at     geom.Point
	}{
		{"1 m apart all the way: 40 - 2 x 3.048", ClassA, []Stretch{stretch("1", 40, 0, 40, 1, 0, 1, 0, 0)}, 40 - 2*3.048, geom.Pt(20, 0)},
		{"the same in class X", ClassX, []Stretch{stretch("1", 40, 0, 40, 1, 0, 1, 0, 0)}, 40 - 2*3.048, geom.Pt(20, 0)},
		{"1.3 m apart", ClassA, []Stretch{stretch("1", 40, 0, 40, 1.3, 0, 1.3, 0, 0)}, 0, geom.Point{}},
		{"on another level", ClassA, []Stretch{stretch("2", 40, 0, 40, 1, 0, 1, 0, 0)}, 0, geom.Point{}},
		{"one crossing, 1.2192 m before and after", ClassA, []Stretch{stretch("1", 40, 0, 40, 9, 20, 9, 20, -9, 0, -9, 0, 0)}, 2 * 1.2192, geom.Pt(20, 0)},
		{"the same cable tray: 40 - 2 x 3.048", ClassA, []Stretch{stretch("1", 40, 0, 0, 0)}, 40 - 2*3.048, geom.Pt(20, 0)},
		{"class B has no return", ClassB, nil, 0, geom.Point{}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := Circuit{Spec: Spec{Name: "C", Panel: "P", Pathway: tt.class}, Devices: []string{"d1"},
				Legs: []Leg{{From: "P", To: "d1", Stretches: []Stretch{stretch("1", 0, 0, 40, 0)}}}}
			if tt.back != nil {
				c.Legs = append(c.Legs, Leg{From: "d1", To: "P", Return: true, Stretches: tt.back})
			}
			length, level, at, err := Beside(c, []geom.Point{geom.Pt(0, 0), geom.Pt(40, 0)})
			if err != nil || math.Abs(length-tt.length) > 1e-6 || at.Dist(tt.at) > 1e-6 {
				t.Fatalf("%.4f m around %v, %v; want %.4f m around %v", length, at, err, tt.length, tt.at)
			}
			f, ok := BesideFinding(Building{}, c, length, level, at)
			if ok != (tt.length > 0) || ok && (!strings.Contains(f.Message, "on 1;") || !strings.Contains(f.Message, "recommendation, not a requirement")) {
				t.Errorf("finding %v: %s", ok, f.Message)
			}
		})
	}
}
