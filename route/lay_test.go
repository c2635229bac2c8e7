package route

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"loopwright/route/circuit"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"pgregory.net/rapid"
)

// parseDevices reads places from text: "level x y [type]" between semicolons;
// the first is the panel, the others are devices d1, d2 ...
func parseDevices(t testing.TB, text string) (Panel, []takeoff.Device) {
	t.Helper()
	var panel Panel
	var ds []takeoff.Device
	for i, part := range strings.Split(text, ";") {
		var level string
		var p geom.Point
		typ := "ceiling"
		if n, _ := fmt.Sscan(part, &level, &p.X, &p.Y, &typ); n < 3 {
			t.Fatalf("place %q", part)
		}
		if i == 0 {
			panel = Panel{Name: "FACP", Level: level, Pos: p}
			continue
		}
		ds = append(ds, takeoff.Device{ID: fmt.Sprintf("d%d", i), Type: typ, Level: level, Pos: p, Status: takeoff.Counted})
	}
	return panel, ds
}

func testBuilding(p Panel) Building {
	return Building{
		Levels: []takeoff.Level{
			{Name: "1", Elevation: 0, Ceiling: 3, CableHeight: 3.3},
			{Name: "2", Index: 1, Elevation: 4, Ceiling: 3, CableHeight: 3.3},
		},
		Panels: []Panel{p},
		Types: []takeoff.DeviceType{
			{Type: "ceiling"},
			{Type: "pull", Mounting: takeoff.Mounting{Kind: takeoff.MountHeight, Height: 1.2}},
		},
	}
}

// Every length in this table is laid out by hand with the figures beside it.
// Cable runs at 3.3 m, ceilings are at 3 m: a ceiling device costs 0.3 m of drop
// at each leg end, a manual station at 1.2 m costs 2.1 m.
func TestLayByTapeMeasure(t *testing.T) {
	tests := []struct {
		name   string
		places string
		class  circuit.Class
		taps   bool
		risers []Riser
		walk   string
		length float64
		back   float64
		drops  float64
	}{
		{"class A square: 4 legs of 10, 6 drops of 0.3", "1 0 0; 1 10 0; 1 10 10; 1 0 10", circuit.ClassA, false, nil, "d1 d2 d3", 40 + 6*.3, 10.3, 1.8},
		{"class B chain ends at the last device", "1 0 0; 1 10 0; 1 20 0; 1 30 0", circuit.ClassB, false, nil, "d1 d2 d3", 30 + 5*.3, 0, 1.5},
		{"manual station: 2.1 down and up again", "1 0 0; 1 10 0 pull; 1 20 0", circuit.ClassB, false, nil, "d1 d2", 20 + 2*2.1 + .3, 0, 4.5},
		{"corner: 3 along and 4 across", "1 0 0; 1 3 4", circuit.ClassB, false, nil, "d1", 7.3, 0, .3},
		{"base under its detector: no way up to the cable and back", "1 0 0; 1 10 0; 1 10 0", circuit.ClassB, false, nil, "d1 d2", 10.3, 0, .3},
		{"straight up over the panel: 4 m between cable runs", "1 0 0; 2 0 6", circuit.ClassB, false, nil, "d1", 6 + 4 + .3, 0, .3},
		{"through the given riser: 5 to it, 4 up, 5 back", "1 0 0; 2 0 0", circuit.ClassB, false, []Riser{{Name: "R1", Pos: geom.Pt(5, 0)}}, "d1", 5 + 4 + 5 + .3, 0, .3},
		{"nearer of two risers", "1 0 0; 2 0 0", circuit.ClassB, false, []Riser{{Name: "R1", Pos: geom.Pt(5, 0)}, {Name: "R2", Pos: geom.Pt(0, 1)}}, "d1", 1 + 4 + 1 + .3, 0, .3},
		{"T-tap: a cross needs 4 arms of 5", "1 0 5; 1 5 0; 1 5 10; 1 10 5", circuit.ClassB, true, nil, "d1 d2 d3", 20 + 3*.3, 0, .9},
		{"T-tap over two levels: the device at the shaft is wired through, down and up", "1 0 0; 1 10 0; 2 10 0", circuit.ClassB, true, []Riser{{Name: "R1", Pos: geom.Pt(10, 0)}}, "d1 d2", 10 + 4 + .3*3, 0, .9},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			panel, ds := parseDevices(t, tt.places)
			b := testBuilding(panel)
			b.Risers = tt.risers
			c, _, err := Lay(b, Spec{Name: "C", Panel: "FACP", Pathway: tt.class, Taps: tt.taps}, ds, nil, Usual)
			if err != nil {
				t.Fatal(err)
			}
			walk := slices.Clone(c.Devices)
			if slices.Sort(walk); strings.Join(walk, " ") != tt.walk {
				t.Errorf("devices %v", c.Devices)
			}
			drops := 0.0
			for _, l := range c.Legs {
				drops += l.Drop
			}
			for what, v := range map[string][2]float64{"length": {c.Length, tt.length}, "back": {c.Back, tt.back}, "drops": {drops, tt.drops}} {
				if math.Abs(v[0]-v[1]) > 1e-9 {
					t.Errorf("%s %.3f, want %.3f\n%+v", what, v[0], v[1], c.Legs)
				}
			}
			checkCircuit(t, c, ds)
		})
	}
}

// checkCircuit holds what is true of every circuit: the legs join up, every
// device is met, and the sums are sums.
func checkCircuit(t reporter, c Circuit, ds []takeoff.Device) {
	t.Helper()
	if len(c.Devices) != len(ds) {
		t.Fatalf("%d devices on the circuit, want %d", len(c.Devices), len(ds))
	}
	reached := map[string]bool{c.Panel: true}
	length, slack := 0.0, 0.0
	for i, l := range c.Legs {
		if !reached[l.From] {
			t.Errorf("leg %d starts at %s, which nothing reaches", i, l.From)
		}
		reached[l.To] = true
		if d := l.Horizontal + l.Drop + l.Rise - l.Length; math.Abs(d) > 1e-9 {
			t.Errorf("leg %s-%s: parts and length differ by %g", l.From, l.To, d)
		}
		run := 0.0
		for _, s := range l.Stretches {
			run += geom.PathLen(s.Points)
		}
		if math.Abs(run-l.Horizontal) > 1e-6*(1+run) {
			t.Errorf("leg %s-%s: drawn %.6f m, measured %.6f m", l.From, l.To, run, l.Horizontal)
		}
		length += l.Length
		slack += l.Slack
	}
	var walk []string
	for _, s := range c.Walk(nil) {
		walk = append(walk, s.Device)
	}
	if !slices.Equal(walk, c.Devices) {
		t.Errorf("legs walk %v, devices %v", walk, c.Devices)
	}
	for _, d := range ds {
		if !reached[d.ID] {
			t.Errorf("%s is not reached", d.ID)
		}
	}
	if math.Abs(length-c.Length) > 1e-6 || math.Abs(c.Outgoing+c.Back-c.Length) > 1e-6 || math.Abs(slack-c.Slack) > 1e-6 {
		t.Errorf("sums: legs %.6f, length %.6f, out %.6f, back %.6f", length, c.Length, c.Outgoing, c.Back)
	}
	if c.LowerBound > c.Length*(1+1e-9) {
		t.Errorf("lower bound %.6f above length %.6f", c.LowerBound, c.Length)
	}
}

func TestSlackAndOrder(t *testing.T) {
	panel, ds := parseDevices(t, "1 0 0; 1 10 0; 1 20 0")
	opt := Usual
	opt.Allow = Allowance{Device: 0.5, Panel: 2, Waste: .1}
	tests := []struct {
		class circuit.Class
		slack float64 // a panel's allowance for each cable end, a device's once
	}{{circuit.ClassB, 2 + 2*.5}, {circuit.ClassA, 2*2 + 2*.5}}
	for _, tt := range tests {
		c, _, err := Lay(testBuilding(panel), Spec{Name: "C", Panel: "FACP", Pathway: tt.class}, ds, nil, opt)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(c.Slack-tt.slack) > 1e-9 {
			t.Errorf("class %s: slack %.3f, want %.3f", tt.class, c.Slack, tt.slack)
		}
		if want := (c.Length + c.Slack) * 1.1; math.Abs(c.Order-want) > 1e-9 {
			t.Errorf("class %s: order %.3f, want %.3f", tt.class, c.Order, want)
		}
	}
}

func TestLayRefuses(t *testing.T) {
	panel, ds := parseDevices(t, "1 0 0; 1 10 0")
	far := slices.Clone(ds)
	far[0].Level = "9"
	tests := []struct {
		name  string
		spec  Spec
		ds    []takeoff.Device
		wants string
	}{
		{"no panel", Spec{Name: "C", Panel: "X", Pathway: circuit.ClassB}, ds, "circuit C: panel X is on no drawing: check its match rule, or place it with at"},
		{"no level", Spec{Name: "C", Panel: "FACP", Pathway: circuit.ClassB}, far, `circuit C: device d1: no level "9"`},
	}
	for _, tt := range tests {
		if _, _, err := Lay(testBuilding(panel), tt.spec, tt.ds, nil, Usual); err == nil || err.Error() != tt.wants {
			t.Errorf("%s: %v", tt.name, err)
		}
	}
	if c, _, err := Lay(testBuilding(panel), Spec{Name: "C", Panel: "FACP", Pathway: circuit.ClassB}, nil, nil, Usual); err != nil || len(c.Legs) > 0 {
		t.Errorf("no devices: %+v, %v", c, err)
	}
}

func TestLayLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 20).Draw(t, "n")
		coord := rapid.Float64Range(0, 60)
		ds := make([]takeoff.Device, n)
		for i := range ds {
			ds[i] = takeoff.Device{ID: fmt.Sprintf("d%d", i+1), Level: rapid.SampledFrom([]string{"1", "2"}).Draw(t, "level"),
				Type: rapid.SampledFrom([]string{"ceiling", "pull"}).Draw(t, "type"), Pos: geom.Pt(coord.Draw(t, "x"), coord.Draw(t, "y")), Status: takeoff.Counted}
		}
		panel := Panel{Name: "FACP", Level: "1", Pos: geom.Pt(coord.Draw(t, "px"), coord.Draw(t, "py"))}
		spec := Spec{Name: "C", Panel: "FACP", Pathway: rapid.SampledFrom([]circuit.Class{circuit.ClassA, circuit.ClassB, circuit.ClassX}).Draw(t, "class")}
		spec.Taps = spec.Pathway == circuit.ClassB && rapid.Bool().Draw(t, "taps")
		opt := Usual
		opt.Along = rapid.SampledFrom([]Along{AlongRectilinear, AlongStraight, AlongWalls}).Draw(t, "along")
		opt.Branch = rapid.SampledFrom([]Branch{branchAnywhere, branchAtDevices}).Draw(t, "branch")
		opt.Near = 0
		c, _, err := Lay(testBuilding(panel), spec, ds, nil, opt)
		if err != nil {
			t.Fatal(err)
		}
		checkCircuit(t, c, ds)
		// The order of the input changes nothing about the length.
		slices.Reverse(ds)
		again, _, err := Lay(testBuilding(panel), spec, ds, nil, opt)
		if err != nil || math.Abs(again.Length-c.Length) > 1e-6*(1+c.Length) {
			t.Fatalf("reversed input: %.9f m, %v; want %.9f m", again.Length, err, c.Length)
		}
	})
}

// reporter is the part of testing.T and rapid.T that checkCircuit needs.
type reporter interface {
	Helper()
	Errorf(format string, args ...any)
	Fatalf(format string, args ...any)
}
