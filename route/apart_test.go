package route

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"loopwright/route/circuit"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// The way back of a loop bends at the corner that keeps it from the way out, and
// no leg is longer for it.
func TestWaysPart(t *testing.T) {
	tests := []struct {
		name   string
		at     [][2]float64 // devices
		class  circuit.Class
		atMost float64 // metres that may lie together
	}{
		// Both ways along y = 0 would lie together for 20 m but for 10 ft at the panel.
		{"homeruns to one corner", [][2]float64{{20, 10}, {22, 14}}, circuit.ClassA, 0},
		{"and in class X", [][2]float64{{20, 10}, {22, 14}}, circuit.ClassX, 0},
		// Straight legs have no corner to choose.
		{"in line with the panel", [][2]float64{{20, 0}, {30, 0}}, circuit.ClassA, 30},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			b := Building{Types: []takeoff.DeviceType{{Type: "smoke"}}, Panels: []Panel{{Name: "P", Level: "1"}},
				Levels: []takeoff.Level{{Name: "1", Ceiling: 3, CableHeight: 3.3}}}
			var ds []takeoff.Device
			for i, p := range tt.at {
				ds = append(ds, takeoff.Device{ID: fmt.Sprint("d", i), Type: "smoke", Level: "1", Pos: geom.Pt(p[0], p[1]), Status: takeoff.Counted})
			}
			c, _, err := Lay(b, Spec{Name: "C", Panel: "P", Pathway: tt.class}, ds, nil, Usual)
			if err != nil {
				t.Fatal(err)
			}
			a, err := Beside(b, c, ds, nil)
			if err != nil || a.Length > tt.atMost {
				t.Errorf("%.2f m lie together, want at most %v: %v", a.Length, tt.atMost, err)
			}
			for _, l := range c.Legs {
				pts := l.Stretches[0].Points
				n := 0.0
				for i := 1; i < len(pts); i++ {
					n += pts[i].Dist(pts[i-1])
				}
				if want := pts[0].Rect(pts[len(pts)-1]); n < want-1e-9 || n > want+1e-9 {
					t.Errorf("%s to %s is drawn %v m long, want %v", l.From, l.To, n, want)
				}
			}
		})
	}
}

// Cable that somebody has drawn bends where it is drawn, though both ways lie together.
func TestDrawnWaysStay(t *testing.T) {
	panel, ds := parseDevices(t, "1 0 0; 1 20 10; 1 22 14")
	for i := range ds {
		ds[i].Symbol = geom.Around(ds[i].Pos, .3, .3)
	}
	b := testBuilding(panel)
	b.Levels[0].Sheets = []takeoff.Sheet{{MetrePer: 1, ToBuilding: geom.Identity(), Wires: [][]geom.Point{
		{geom.Pt(0, 0), geom.Pt(20, 0), geom.Pt(20, 10)}, {geom.Pt(20, 10), geom.Pt(20, 14), geom.Pt(22, 14)}, {geom.Pt(22, 14), geom.Pt(22, 0), geom.Pt(0, 0)}}}}
	opt := Usual
	opt.Along = AlongWiring
	c, _, err := Lay(b, Spec{Name: "C", Panel: "FACP", Pathway: circuit.ClassA}, ds, nil, opt)
	if err != nil {
		t.Fatal(err)
	}
	var got []geom.Point
	for _, l := range c.Legs {
		got = append(got, l.Stretches[0].Points...)
	}
	if want := slices.Concat(b.Levels[0].Sheets[0].Wires...); !slices.Equal(got, want) {
		t.Errorf("the circuit runs %v, drawn is %v", got, want)
	}
}

// A loop is laid up to 2 % longer where that takes more metres out of stretches side
// by side than it adds, and says so; where the shortest is asked for (near: 0 %), or an
// order of an earlier run is kept, the order stays.
func TestLoopKeepsApart(t *testing.T) {
	for _, places := range [][][2]float64{
		{{23, 2}, {34, 29}, {37, 1}, {28, 18}, {11, 19}, {21, 23}, {23, 29}, {9, 9}, {18, 10}, {18, 29}, {49, 0}},
	} {
		b := Building{Types: []takeoff.DeviceType{{Type: "smoke"}}, Panels: []Panel{{Name: "P", Level: "1"}},
			Levels: []takeoff.Level{{Name: "1", Ceiling: 3, CableHeight: 3.3}}}
		var ds []takeoff.Device
		for i, p := range places {
			ds = append(ds, takeoff.Device{ID: fmt.Sprint("d", i), Type: "smoke", Level: "1", Pos: geom.Pt(p[0], p[1]), Status: takeoff.Counted})
		}
		lay := func(prefer []string, opt Options) (Circuit, Alongside, []string) {
			c, fs, err := Lay(b, Spec{Name: "C", Panel: "P", Pathway: circuit.ClassA}, ds, prefer, opt)
			if err != nil {
				t.Fatal(err)
			}
			a, err := Beside(b, c, ds, nil)
			if err != nil {
				t.Fatal(err)
			}
			var said []string
			for _, f := range fs {
				if f.Code == CodeBeside {
					said = append(said, f.Message)
				}
			}
			return c, a, said
		}
		keeping := Usual
		keeping.Near = .05 // as a job keeps the order of its earlier run
		exact := Usual
		exact.Near = 0
		shortest, close, none := lay(nil, exact)
		apart, less, said := lay(nil, Usual)
		kept, _, again := lay(shortest.Devices, Usual)
		if len(none) > 0 || len(again) > 0 || !slices.Equal(kept.Devices, shortest.Devices) {
			t.Errorf("the shortest or the earlier order was changed: %v %v", none, again)
		}
		// The next run keeps the order and says the same of it.
		if next, _, repeated := lay(apart.Devices, keeping); !slices.Equal(next.Devices, apart.Devices) || !slices.Equal(repeated, said) {
			t.Errorf("run again: %v, then %v", said, repeated)
		}
		if len(said) != 1 || apart.Exact || apart.Length > shortest.Length*1.02+1e-6 || apart.LowerBound > shortest.Length+1e-6 ||
			close.Length-less.Length < apart.Length-shortest.Length {
			t.Errorf("%.1f m of %.1f m together, in the shortest %.1f m of %.1f m: %v", less.Length, apart.Length, close.Length, shortest.Length, said)
		}
	}
}

// Two detectors on the level above, two shafts: both ways by the nearer one would take
// it from end to end. The other is taken where it costs no more than 2 %; where it costs
// more the choice is said to be the program's.
func TestReturnByAnotherRiser(t *testing.T) {
	for _, tt := range []struct {
		name  string
		other float64 // x of the second shaft
		riser bool    // taken
	}{{"near", 43, true}, {"far", 80, false}} {
		b := Building{Types: []takeoff.DeviceType{{Type: "smoke"}}, Panels: []Panel{{Name: "P", Level: "1"}},
			Levels: []takeoff.Level{{Name: "1", Ceiling: 3, CableHeight: 3}, {Name: "2", Elevation: 4, Ceiling: 3, CableHeight: 3}},
			Risers: []Riser{{Name: "R1", Pos: geom.Pt(40, 0)}, {Name: "R2", Pos: geom.Pt(tt.other, 0)}}}
		var ds []takeoff.Device
		for i, p := range []geom.Point{{X: 40, Y: 60}, {X: 60, Y: 60}, {X: 60, Y: 30}, {X: 60, Y: 10}} {
			ds = append(ds, takeoff.Device{ID: fmt.Sprint("d", i), Type: "smoke", Level: "2", Pos: p, Status: takeoff.Counted})
		}
		c, fs, err := Lay(b, Spec{Name: "C", Panel: "P", Pathway: circuit.ClassA}, ds, nil, Usual)
		if err != nil {
			t.Fatal(err)
		}
		a, err := Beside(b, c, ds, nil)
		if err != nil {
			t.Fatal(err)
		}
		all := BesideFindings(b, []Circuit{c}, []Alongside{a}, nil)
		told := slices.ContainsFunc(fs, func(f takeoff.Finding) bool { return strings.Contains(f.Message, "takes another riser than riser R1") })
		ours := slices.ContainsFunc(all, func(f takeoff.Finding) bool {
			return strings.Contains(f.Message, "riser R1 carries both") && strings.Contains(f.Message, "the program chose it over another riser")
		})
		if (a.Rise == 0) != tt.riser || ours == tt.riser || told && !tt.riser {
			t.Errorf("%s: %.1f m of %s shared, %v %v", tt.name, a.Rise, a.Riser, fs, all)
		}
		if sum := metres(c.Legs); sum != c.Length {
			t.Errorf("%s: the legs add up to %v m of %v", tt.name, sum, c.Length)
		}
	}
}

// No loop is laid more than 2 % longer than the shortest to keep apart.
func TestApartCostsLittle(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 60 {
		b := Building{Types: []takeoff.DeviceType{{Type: "smoke"}}, Panels: []Panel{{Name: "P", Level: "1"}},
			Levels: []takeoff.Level{{Name: "1", Ceiling: 3, CableHeight: 3.3}}}
		var ds []takeoff.Device
		for i := range 8 + rng.IntN(12) {
			ds = append(ds, takeoff.Device{ID: fmt.Sprint("d", i), Type: "smoke", Level: "1", Pos: geom.Pt(float64(rng.IntN(50)), float64(rng.IntN(12))), Status: takeoff.Counted})
		}
		exact := Usual
		exact.Near = 0
		spec := Spec{Name: "C", Panel: "P", Pathway: circuit.ClassA}
		c, _, err := Lay(b, spec, ds, nil, Usual)
		if err != nil {
			t.Fatal(err)
		}
		shortest, _, err := Lay(b, spec, ds, nil, exact)
		if err != nil || c.Length > shortest.Length*1.02+1e-6 {
			t.Errorf("%.2f m, the shortest is %.2f m, %v", c.Length, shortest.Length, err)
		}
	}
}
