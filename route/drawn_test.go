package route

import (
	"strings"
	"testing"

	"loopwright/route/circuit"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// The wires are drawn by hand in the table; lengths are read off the figures.
// Drops are 0.3 m at each leg end of a ceiling device, as in testBuilding.
func TestLayAlongDrawnWires(t *testing.T) {
	line := func(xy ...float64) (l []geom.Point) {
		for i := 0; i < len(xy); i += 2 {
			l = append(l, geom.Pt(xy[i], xy[i+1]))
		}
		return l
	}
	tests := []struct {
		name   string
		wires  [][]geom.Point
		class  circuit.Class
		taps   bool
		walk   string
		length float64
		says   string // part of a finding
	}{
		{"out along a detour: 10 + (5+10+5) + 10, five drops", [][]geom.Point{line(0, 0, 10, 0), line(10, 0, 10, 5, 20, 5, 20, 0), line(20, 0, 30, 0)}, circuit.ClassB, false, "d1 d2 d3", 10 + 20 + 10 + 5*.3, ""},
		{"drawn against the nearest order", [][]geom.Point{line(0, 0, 0, 8, 30, 8, 30, 0), line(30, 0, 20, 0, 10, 0)}, circuit.ClassB, false, "d3 d2 d1", 46 + 10 + 10 + 5*.3, ""},
		{"and back to the panel", [][]geom.Point{line(0, 0, 10, 0, 20, 0, 30, 0), line(30, 0, 30, 6, 0, 6, 0, 0)}, circuit.ClassA, false, "d1 d2 d3", 30 + 42 + 6*.3, ""},
		{"no wire to the last", [][]geom.Point{line(0, 0, 10, 0, 20, 0)}, circuit.ClassB, false, "d1 d2 d3", 30 + 5*.3, "d3: "},
		{"a tap where none is allowed", [][]geom.Point{line(0, 0, 20, 0), line(15, 0, 15, 5, 30, 5, 30, 0)}, circuit.ClassB, false, "d1 d2 d3", 20 + 5 + 15 + 5 + 4*.3, "splits 2 ways"},
		// Out along y 0 and back along y 6, and a tap at 25, 0 to d3 at 30, 3: 5 + 3 m out, as much back.
		{"a loop with one forbidden tap stays", [][]geom.Point{line(0, 0, 10, 0, 20, 0, 28, 0, 28, 6, 0, 6, 0, 0), line(25, 0, 25, -3, 30, -3, 30, 0)}, circuit.ClassA, false, "d1 d2 d3", 28 + 6 + 28 + 6 + 2*11 + 6*.3, "splits 2 ways here: its class allows no taps; the loop is laid as drawn, with the branch out and back"},
		// d3 is not drawn: 10 m from d2 to it and 10 m back, and then the return as it is drawn.
		{"a device that is not drawn leaves the return as it is", [][]geom.Point{line(0, 0, 10, 0, 20, 0), line(20, 0, 20, 6, 0, 6, 0, 0)}, circuit.ClassA, false, "d1 d2 d3", 20 + 32 + 2*10 + 6*.3, "d3: no wire reaches this device"},
		{"a device in a gap of the wire", [][]geom.Point{line(0, 0, 10, 0, 19.5, 0), line(20.5, 0, 30, 0)}, circuit.ClassB, false, "d1 d2 d3", 30 + 5*.3, "d2: a wire ends 0.9 ft short of a device that no wire reaches; it stands in a gap of the wire and may fill it"},
		{"nothing drawn", nil, circuit.ClassB, false, "d1 d2 d3", 30 + 5*.3, "no wiring is drawn on 1"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			panel, ds := parseDevices(t, "1 0 0; 1 10 0; 1 20 0; 1 30 0")
			for i := range ds {
				ds[i].Symbol = geom.Around(ds[i].Pos, .3, .3)
			}
			b := testBuilding(panel)
			if tt.wires != nil {
				b.Levels[0].Sheets = []takeoff.Sheet{{MetrePer: 1, ToBuilding: geom.Identity(), Wires: tt.wires}}
			}
			opt := Usual
			opt.Along = AlongWiring
			c, fs, err := Lay(b, Spec{Name: "C", Panel: "FACP", Pathway: tt.class, Taps: tt.taps}, ds, nil, opt)
			if err != nil {
				t.Fatal(err)
			}
			if got := strings.Join(c.Devices, " "); got != tt.walk {
				t.Errorf("walk %s, want %s", got, tt.walk)
			}
			if d := c.Length - tt.length; d > 1e-9 || d < -1e-9 {
				t.Errorf("length %.3f, want %.3f\n%+v", c.Length, tt.length, c.Legs)
			}
			said := ""
			for _, f := range fs {
				if f.Code == codeWiring {
					said += f.Message + "\n"
				}
			}
			if (tt.says == "") != (said == "") || !strings.Contains(said, tt.says) {
				t.Errorf("findings %q, want %q in them", said, tt.says)
			}
			checkCircuit(t, c, ds)
		})
	}
}

// A layer full of strokes that are no wires: the first ones are spelled out,
// the others counted, and what concerns the device stays.
func TestJunkOnTheWiringLayer(t *testing.T) {
	panel, ds := parseDevices(t, "1 0 0; 1 10 0; 1 20 0")
	wires := [][]geom.Point{{geom.Pt(0, 0), geom.Pt(10, 0)}}
	for i := range 300 {
		x := 30 + 5*float64(i)
		wires = append(wires, []geom.Point{geom.Pt(x, 50), geom.Pt(x, 52)})
	}
	b := testBuilding(panel)
	b.Levels[0].Sheets = []takeoff.Sheet{{MetrePer: 1, ToBuilding: geom.Identity(), Wires: wires}}
	opt := Usual
	opt.Along = AlongWiring
	_, fs, err := Lay(b, Spec{Name: "C", Panel: "FACP", Pathway: circuit.ClassB}, ds, nil, opt)
	if err != nil {
		t.Fatal(err)
	}
	said, counted, device := 0, "", false
	for _, f := range fs {
		if f.Code != codeWiring {
			continue
		}
		said++
		if strings.Contains(f.Message, "more places") {
			counted = f.Message
		}
		device = device || strings.Contains(f.Message, "d2: ")
	}
	if said > spelledOut+3 || !strings.Contains(counted, "590 more places on 1") || !device {
		t.Errorf("%d findings, of the device %v, counted in %q", said, device, counted)
	}
}
