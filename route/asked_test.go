package route

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"loopwright/route/circuit"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
)

// A building too large to be split at once is split level by level: every
// device on one circuit, no circuit on two levels or over its capacity, the
// names numbered through. 650 addresses on circuits of 127 need six a level.
func TestSplitLevelByLevel(t *testing.T) {
	b := testBuilding(Panel{Name: "FACP", Level: "1"})
	b.Types = append(b.Types, takeoff.DeviceType{Type: "smoke", Addresses: 1})
	var ds []takeoff.Device
	for i := range 1300 {
		ds = append(ds, takeoff.Device{ID: fmt.Sprintf("d%d", i), Type: "smoke", Level: fmt.Sprint(1 + i%2), Pos: geom.Pt(float64(i/2%26)*6, float64(i/52)*6)})
	}
	if len(ds) <= splitWhole {
		t.Fatalf("%d devices are split at once", len(ds))
	}
	opt := Usual
	parts, fs, err := Split(b, []Spec{{Name: "SLC", Kind: takeoff.SLC, Panel: "FACP", Pathway: circuit.ClassA, Auto: true, Capacity: 127, Cable: testCable(t)}}, ds, opt)
	if err != nil || len(fs) > 0 {
		t.Fatal(err, fs)
	}
	on := map[string]int{}
	for i, p := range parts {
		if want := fmt.Sprintf("SLC-%d", i+1); p.Name != want {
			t.Errorf("circuit %d is called %s, want %s", i, p.Name, want)
		}
		if len(p.Devices) > 127 {
			t.Errorf("%s has %d devices, 127 at most", p.Name, len(p.Devices))
		}
		for _, d := range p.Devices {
			on[d.ID]++
			if d.Level != p.Devices[0].Level {
				t.Fatalf("%s serves %s and %s", p.Name, p.Devices[0].Level, d.Level)
			}
		}
	}
	if len(parts) != 12 || len(on) != len(ds) {
		t.Errorf("%d circuits with %d devices, want 12 with %d", len(parts), len(on), len(ds))
	}
	for id, n := range on {
		if n != 1 {
			t.Errorf("%s is on %d circuits", id, n)
		}
	}
}

// Wires that cannot serve a circuit as drawn are not followed in silence.
func TestDrawnWiresThatCannotServe(t *testing.T) {
	straight := []geom.Point{{X: 0, Y: 0}, {X: 10, Y: 0}, {X: 20, Y: 0}}
	tap := []geom.Point{{X: 10, Y: 0}, {X: 10, Y: 8}}
	for _, tt := range []struct {
		name, places string
		wires        [][]geom.Point
		class        circuit.Class
		says         string
		length       float64 // by hand: as drawn, or rectilinear; 0.3 m of drop at each cable end of a device
	}{
		// Up the shaft over the panel: 10 out, 10 home, 4 up, 10 out.
		{"two levels and no shaft", "1 0 0; 1 10 0; 2 10 0", [][]geom.Point{straight}, circuit.ClassB, "no riser takes its drawn wiring to 2: add the shaft under risers: laid rectilinear instead", 10 + 10 + 4 + 10 + 3*.3},
		{"class A that branches", "1 0 0; 1 10 0; 1 20 0; 1 10 8", [][]geom.Point{straight, tap}, circuit.ClassA, "its drawn wiring branches, which class A does not allow: laid rectilinear instead", 10 + 10 + 18 + 18 + 6*.3},
		{"class A without its way back", "1 0 0; 1 10 0; 1 20 0", [][]geom.Point{straight}, circuit.ClassA, "no way back", 20 + 20 + 4*.3},
	} {
		t.Run(tt.name, func(t *testing.T) {
			panel, ds := parseDevices(t, tt.places)
			for i := range ds {
				ds[i].Symbol = geom.Around(ds[i].Pos, .3, .3)
			}
			b := testBuilding(panel)
			b.Levels[0].Sheets = []takeoff.Sheet{{MetrePer: 1, ToBuilding: geom.Identity(), Wires: tt.wires}}
			opt := Usual
			opt.Along = AlongWiring
			c, fs, err := Lay(b, Spec{Name: "C", Panel: "FACP", Pathway: tt.class}, ds, nil, opt)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(c.Length-tt.length) > 1e-9 {
				t.Errorf("length %.3f, want %.3f: %v %+v", c.Length, tt.length, c.Devices, c.Legs)
			}
			said := ""
			for _, f := range fs {
				said += f.Message + "\n"
			}
			for _, l := range c.Legs {
				said += l.Note + "\n"
			}
			if !strings.Contains(said, tt.says) {
				t.Errorf("%s\nwant %q", said, tt.says)
			}
			checkCircuit(t, c, ds)
		})
	}
}

// A wall stands half way between panel and device. Going round one of 4 m costs 4 m:
// more than the 3.05 m that a wall is worth, less than the 15.24 m of a rated one.
// Going round one of 2 m costs less than either, and more than a wall that is worth nothing.
func TestWallsByTheirLayers(t *testing.T) {
	for _, tt := range []struct {
		wall      float64 // its length
		free      bool    // no wall is worth a detour
		rated     []string
		crossings int
		least     float64
	}{{4, false, nil, 1, 10}, {4, false, []string{"A-WALL-FIRE*"}, 0, 14}, {4, false, []string{"A-OTHER"}, 1, 10},
		{2, false, nil, 0, 12}, {2, true, nil, 1, 10}, {2, true, []string{"A-WALL-FIRE*"}, 1, 10}} {
		panel, ds := parseDevices(t, "1 0 0; 1 10 0")
		b := testBuilding(panel)
		b.Levels[0].Sheets = []takeoff.Sheet{{MetrePer: 1, ToBuilding: geom.Identity(),
			Walls: []plan.Wall{{Segment: geom.Segment{A: geom.Pt(5, -tt.wall/2), B: geom.Pt(5, tt.wall/2)}, Layer: "A-WALL-FIRE-2H"}}}}
		opt := Usual
		opt.Along, opt.Rated = AlongWalls, tt.rated
		if tt.free {
			opt.Weights = Weights{}
		}
		c, _, err := Lay(b, Spec{Name: "C", Panel: "FACP", Pathway: circuit.ClassB}, ds, nil, opt)
		if err != nil {
			t.Fatal(err)
		}
		if got := c.Legs[0].Horizontal; c.Crossings != tt.crossings || got < tt.least-1e-9 || got > tt.least+2 {
			t.Errorf("wall of %.0f m, free %v, rated %v: %d walls crossed on %.2f m, want %d on %.0f m and a little", tt.wall, tt.free, tt.rated, c.Crossings, got, tt.crossings, tt.least)
		}
	}
}

// Four places on a cross of 5 m arms: with a tap in the middle 20 m, with taps
// at devices only three legs of 10 m from the panel.
func TestTapsAtDevicesOnly(t *testing.T) {
	for branch, want := range map[Branch]float64{branchAnywhere: 20 + 3*.3, branchAtDevices: 30 + 3*.3} {
		panel, ds := parseDevices(t, "1 0 5; 1 5 0; 1 5 10; 1 10 5")
		opt := Usual
		opt.Branch = branch
		c, _, err := Lay(testBuilding(panel), Spec{Name: "C", Panel: "FACP", Pathway: circuit.ClassB, Taps: true}, ds, nil, opt)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(c.Length-want) > 1e-9 {
			t.Errorf("branch %s: %.2f m, want %.2f: %+v", branch, c.Length, want, c.Legs)
		}
		checkCircuit(t, c, ds)
	}
}
