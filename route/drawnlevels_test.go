package route

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"loopwright/route/circuit"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// A riser stands at 20,0. Levels are 4 m apart, drops 0.3 m at each leg end of a
// ceiling device. The wires are drawn by hand; lengths are added up beside them.
func TestLayAlongWiresOfSeveralLevels(t *testing.T) {
	line := func(xy ...float64) (l []geom.Point) {
		for i := 0; i < len(xy); i += 2 {
			l = append(l, geom.Pt(xy[i], xy[i+1]))
		}
		return l
	}
	type wires = [][]geom.Point
	const ends = "1 0 0; 1 10 0; 2 30 0; 2 30 9" // a wire that ends in the riser, and two devices that it does not reach
	endsAt := [3]wires{{line(0, 0, 10, 0), line(10, 0, 20, 0)}, {line(23, 0, 30, 0), line(30, 0, 30, 9)}}
	tests := []struct {
		name   string
		places string
		wires  [3]wires // by level
		class  circuit.Class
		taps   bool
		walk   string
		length float64
		rises  string // of the legs, m
		says   string // part of the findings
	}{
		{"up the riser: 10 + (10 + 4 + 20)", "1 0 0; 1 10 0; 2 30 0",
			[3]wires{{line(0, 0, 10, 0), line(10, 0, 20, 0)}, {line(20, 0, 20, 5, 30, 5, 30, 0)}},
			circuit.ClassB, false, "d1 d2", 10 + 34 + 3*.3, "0 4", ""},
		{"down it, past a level: 10 + (10 + 8 + 10)", "3 0 0; 3 10 0; 1 30 0",
			[3]wires{{line(30, 0, 20, 0)}, nil, {line(20, 0, 10, 0), line(10, 0, 0, 0)}},
			circuit.ClassB, false, "d1 d2", 10 + 28 + 3*.3, "0 8", ""},
		// Level 1: 10 and 10 out, 16 and 16 home; level 2: 10, 10, 20; twice 4 in the riser.
		{"class A through both levels", "1 0 0; 1 10 0; 2 30 0; 2 30 10; 1 10 -6",
			[3]wires{{line(0, 0, 10, 0), line(10, 0, 20, 0), line(20, 0, 20, -6, 10, -6), line(10, -6, 0, -6, 0, 0)},
				{line(20, 0, 30, 0), line(30, 0, 30, 10), line(30, 10, 20, 10, 20, 0)}},
			circuit.ClassA, false, "d1 d2 d3 d4", 10 + 10 + 16 + 16 + 10 + 10 + 20 + 8 + 8*.3, "0 4 0 4 0", ""},
		// T-taps in the riser: each level has its branch, 4 m between them.
		{"taps along the riser", "1 0 0; 1 20 9; 2 20 9; 3 20 9",
			[3]wires{{line(0, 0, 20, 0), line(20, 0, 20, 9)}, {line(20, 0, 20, 9)}, {line(20, 0, 20, 9)}},
			circuit.ClassB, true, "d2 d3 d1", 20 + 9 + 4 + 9 + 4 + 9 + 3*.3, "0 4 0 4 0", ""},
		{"no wire on the level above: laid by the building's axes", "1 0 0; 1 10 0; 2 30 0", [3]wires{{line(0, 0, 10, 0), line(10, 0, 20, 0)}},
			circuit.ClassB, false, "d1 d2", 10 + 20 + 4 + 3*.3, "0 4", "no wiring is drawn on 2: name its layers under wiring: laid rectilinear instead"},
		{"the wire above does not come to the riser", ends, endsAt,
			circuit.ClassB, false, "d1 d2 d3", 10 + 20 + 4 + 9 + 5*.3, "0 4 0", "[1.dxf] at 20, 0: circuit C: a wire ends at this riser and continues on no other level"},
		{"and what hangs on it is told on its own drawing", ends, endsAt,
			circuit.ClassB, false, "d1 d2 d3", 10 + 20 + 4 + 9 + 5*.3, "0 4 0", "[2.dxf] at 30, 0: circuit C: d2: 2 devices"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			panel, ds := parseDevices(t, tt.places)
			for i := range ds {
				ds[i].Symbol = geom.Around(ds[i].Pos, .3, .3)
			}
			b := testBuilding(panel)
			b.Levels = append(b.Levels, takeoff.Level{Name: "3", Index: 2, Elevation: 8, Ceiling: 3, CableHeight: 3.3})
			for i, w := range tt.wires {
				b.Levels[i].Sheets = []takeoff.Sheet{{Plan: takeoff.Plan{Drawing: b.Levels[i].Name + ".dxf"}, MetrePer: 1, ToBuilding: geom.Identity(), Wires: w}}
			}
			b.Risers = []Riser{{Name: "R", Pos: geom.Pt(20, 0)}}
			opt := Usual
			opt.Along = AlongWiring
			c, fs, err := Lay(b, Spec{Name: "C", Panel: "FACP", Pathway: tt.class, Taps: tt.taps}, ds, nil, opt)
			if err != nil {
				t.Fatal(err)
			}
			if got := strings.Join(c.Devices, " "); got != tt.walk || math.Abs(c.Length-tt.length) > 1e-9 {
				t.Errorf("walk %s over %.3f m, want %s over %.3f\n%+v", got, c.Length, tt.walk, tt.length, c.Legs)
			}
			var rises []string
			for _, l := range c.Legs {
				rises = append(rises, fmt.Sprintf("%.6g", l.Rise))
			}
			if got := strings.Join(rises, " "); got != tt.rises {
				t.Errorf("rises %s, want %s", got, tt.rises)
			}
			said := ""
			for _, f := range fs {
				if f.Code == codeWiring {
					said += fmt.Sprintf("[%s] at %.6g, %.6g: %s\n", f.Drawing, f.At.X, f.At.Y, f.Message)
				}
			}
			if !strings.Contains(said, tt.says) || tt.says == "" && said != "" {
				t.Errorf("findings:\n%swant %q", said, tt.says)
			}
			checkCircuit(t, c, ds)
		})
	}
}
