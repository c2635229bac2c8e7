package route

import (
	"flag"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"loopwright/route/circuit"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
	"loopwright/takeoff/words"
)

var update = flag.Bool("update", false, "write the picture of the tape-measure legs anew")

// tapeLeg is a leg on level 1 of the demo, laid by hand. Ends are written in feet
// as the script that drew the plan places them (testdata/demo/level1.py); a w
// before them means the children's wing, whose own frame is turned by 30 degrees.
type tapeLeg struct {
	from, to string
	run      float64 // feet at cable height
	drops    float64 // feet down to both ends: cable at 11 ft, ceilings at 10 ft
	walls    int
	why      string
}

var tapeLegs = map[Along][]tapeLeg{
	AlongRectilinear: {
		{"14.5 11.5", "43.5 11.5", 29, 2, 0, "43.5 - 14.5"},
		{"14.5 11.5", "14.5 33", 21.5, 2, 0, "33 - 11.5"},
		{"14.5 11.5", "43.5 33", 50.5, 2, 0, "29 along and 21.5 across"},
		{"16 49", "46 49.5", 30.5, 2, 0, "30 and 0.5"},
		{"46 49.5", "76 49.5", 30, 2, 0, "76 - 46"},
		{"69 17", "91 37", 42, 2, 0, "22 and 20"},
		{"115 13", "144 11", 31, 2, 0, "29 and 2"},
		{"61 51.6", "76 49.5", 17.1, 2, 0, "15 and 2.1"},
		{"133 65.8", "133 62.6", 3.2, 12, 0, "modules at 60 in: 6 down and 6 up"},
		{"w10.5 9.5", "w31.5 28.5", 40, 2, 0, "21 and 19 along the wing's own walls"},
	},
	AlongStraight: {
		{"14.5 11.5", "43.5 11.5", 29, 2, 0, "43.5 - 14.5"},
		{"14.5 11.5", "14.5 33", 21.5, 2, 0, "33 - 11.5"},
		{"14.5 11.5", "43.5 33", 36.1006, 2, 0, "root of 29 x 29 + 21.5 x 21.5 = 1303.25"},
		{"16 49", "46 49.5", 30.0042, 2, 0, "root of 900 + 0.25"},
		{"46 49.5", "76 49.5", 30, 2, 0, "76 - 46"},
		{"69 17", "91 37", 29.7321, 2, 0, "root of 484 + 400"},
		{"115 13", "144 11", 29.0689, 2, 0, "root of 841 + 4"},
		{"61 51.6", "76 49.5", 15.1463, 2, 0, "root of 225 + 4.41"},
		{"133 65.8", "133 62.6", 3.2, 12, 0, "modules at 60 in: 6 down and 6 up"},
		{"w10.5 9.5", "w31.5 28.5", 28.3196, 2, 0, "root of 441 + 361"},
	},
	AlongWalls: {
		{"14.5 11.5", "43.5 33", 50.5, 2, 0, "inside the reading room: 29 and 21.5"},
		{"43.5 33", "61 51.6", 36.1, 2, 0, "17.5 and 18.6, through the double door at 46 to 52"},
		{"69 37", "76 49.5", 19.5, 2, 0, "7 and 12.5, through the opening at 66 to 94"},
		{"61 65.8", "46 49.5", 31.3, 2, 0, "15 and 16.3, through the double door at 42 to 48"},
		{"11 80.5", "35 86", 29.5, 2, 0, "24 and 5.5, through the door at 80 to 83"},
		{"83.5 84", "102.5 85", 20, 2, 0, "19 and 1 in the workroom"},
		{"107 50", "121 60", 24, 2, 0, "14 and 10, through the door at 114 to 117"},
		{"144 32.5", "144 49", 16.5, 2, 1, "through the wall: the door is more than 10 ft of cable away"},
		{"124 80", "102.5 85", 26.5, 2, 1, "21.5 and 5, through the wall: there is no door in it"},
		{"w50 10", "w31.5 9.5", 19, 2, 0, "18.5 and 0.5 along the wing's own walls, through the door at 9 to 12"},
	},
}

// tapeWires are drawn along these corners, from the panel at the first, each from
// one device to the next; lengths as read off the corners.
var tapeWires = []struct {
	corners string
	run     float64
	why     string
}{
	{"10 49; 16 49", 6, "straight"},
	{"16 49; 16 53; 46 53; 46 49.5", 37.5, "4 + 30 + 3.5"},
	{"46 49.5; 61 51.6", 15.1463, "root of 225 + 4.41"},
	{"61 51.6; 76 51.6; 76 49.5", 17.1, "15 + 2.1"},
	{"76 49.5; 76 47; 107 47; 107 50", 36.5, "2.5 + 31 + 3"},
	{"107 50; 144 50; 144 49", 38, "37 + 1"},
	{"144 49; 144 32.5", 16.5, "straight"},
	{"144 32.5; 150 32.5; 150 11; 144 11", 33.5, "6 + 21.5 + 6"},
	{"144 11; 130 11; 130 13; 115 13", 31, "14 + 2 + 15"},
	{"115 13; arc 111 13 4; 91 17", 26.2832, "a quarter of a circle of 4 ft, 2 pi, and 20"},
}

// demoLevel1 reads level 1 of the demo as the job file does.
func demoLevel1(t *testing.T) (takeoff.Result, []takeoff.DeviceType) {
	t.Helper()
	match := func(block string) []words.Match { return []words.Match{{Block: block}} }
	at := geom.Pt(10*12, 49*12)
	low := takeoff.Mounting{Kind: takeoff.MountHeight, Height: 60 * 0.0254}
	types := []takeoff.DeviceType{{Type: "smoke", Match: match("FA-SMK")}, {Type: "heat", Match: match("FA-HEAT")}, {Type: "relay", Match: match("FA-RLY")},
		{Type: "isolator", Match: match("FA-ISO")}, {Type: "waterflow", Match: match("FA-WF"), Mounting: low}, {Type: "tamper", Match: match("FA-TS"), Mounting: low}}
	r, err := takeoff.Take(takeoff.Request{Folder: "../testdata/demo", Types: types,
		Plans: []takeoff.Plan{{Drawing: "level-1.dxf", Level: "Level 1", Units: "in", Ceiling: 10 * feet, CableHeight: 11 * feet,
			Datum: &geom.Point{}, Walls: []string{"A-WALL", "A-WALL-FIRE", "A-GLAZ"}, Hidden: takeoff.HiddenExclude}},
		Panels: []takeoff.Landmark{{Name: "P", Level: "Level 1", At: &at}}})
	if err != nil {
		t.Fatal(err)
	}
	return r, types
}

// tapePlace is a place of the table in metres.
func tapePlace(t *testing.T, s string) geom.Point {
	t.Helper()
	s, wing := strings.CutPrefix(s, "w")
	var p geom.Point
	if _, err := fmt.Sscan(s, &p.X, &p.Y); err != nil {
		t.Fatalf("place %q: %v", s, err)
	}
	if wing { // WING_ORIGIN of testdata/demo/shell.py
		a := math.Pi / 6
		p = geom.Pt(160.3+38*math.Sin(a), 38-38*math.Cos(a)).Add(p.Turn(30))
	}
	return p.Mul(feet)
}

func TestLegsOfTheDemoByTapeMeasure(t *testing.T) {
	take, types := demoLevel1(t)
	b := Building{Levels: take.Levels, Panels: []Panel{{Name: "P", Level: "Level 1", Pos: take.Panels[0].Pos}}, Types: types}
	find := func(at string) takeoff.Device {
		p := tapePlace(t, at)
		for _, d := range take.Devices {
			if d.Status == takeoff.Counted && d.Pos.Dist(p) < 0.01 {
				return d
			}
		}
		t.Fatalf("no device at %s", at)
		return takeoff.Device{}
	}
	var pictures []tapePicture
	check := func(what string, l Leg, run, drops float64, walls int, why string) {
		t.Helper()
		if math.Abs(l.Horizontal/feet-run) > 1e-3 || math.Abs(l.Drop/feet-drops) > 1e-6 || l.Crossings != walls {
			t.Errorf("%s: %.4f ft at cable height, %.4f ft of drops, %d walls; by hand %.4f ft (%s), %.1f ft, %d",
				what, l.Horizontal/feet, l.Drop/feet, l.Crossings, run, why, drops, walls)
		}
	}
	for _, along := range []Along{AlongRectilinear, AlongStraight, AlongWalls} {
		pic := tapePicture{title: string(along)}
		for k, leg := range tapeLegs[along] {
			opt := Usual
			opt.Along = along
			opt.Weights.Wall = 10 * feet
			f, err := newFloorplan(b, b.Panels[0], []takeoff.Device{find(leg.from), find(leg.to)}, opt)
			if err != nil {
				t.Fatal(err)
			}
			l := f.leg(1, 2)
			check(fmt.Sprintf("%s %d", along, k+1), l, leg.run, leg.drops, leg.walls, leg.why)
			pic.legs = append(pic.legs, l.Stretches[0].Points)
		}
		pictures = append(pictures, pic)
	}
	pictures = append(pictures, tapeWiring(t, b, find, check))
	drawTape(t, take.Levels[0].Sheets[0].Walls, pictures)
}

// tapeWiring lays the one circuit that is drawn by hand and checks its legs.
func tapeWiring(t *testing.T, b Building, find func(string) takeoff.Device, check func(string, Leg, float64, float64, int, string)) tapePicture {
	t.Helper()
	var wires [][]geom.Point
	var ds []takeoff.Device
	for _, w := range tapeWires {
		var line []geom.Point
		for _, corner := range strings.Split(w.corners, "; ") {
			if arc, ok := strings.CutPrefix(corner, "arc "); ok {
				var c geom.Point
				var r float64
				fmt.Sscan(arc, &c.X, &c.Y, &r)
				for i := 1; i <= 256; i++ { // a quarter from the right to the top
					a := float64(i) / 256 * math.Pi / 2
					line = append(line, c.Add(geom.Pt(r*math.Cos(a), r*math.Sin(a))).Mul(feet))
				}
				continue
			}
			line = append(line, tapePlace(t, corner))
		}
		wires = append(wires, line)
		ds = append(ds, find(w.corners[strings.LastIndex(w.corners, "; ")+2:]))
	}
	b.Levels = append([]takeoff.Level(nil), b.Levels...)
	sheet := b.Levels[0].Sheets[0]
	sheet.Wires = wires
	b.Levels[0].Sheets = []takeoff.Sheet{sheet}
	opt := Usual
	opt.Along = AlongWiring
	c, fs, err := Lay(b, Spec{Name: "W", Panel: "P", Pathway: circuit.ClassB}, ds, nil, opt)
	if err != nil || len(c.Legs) != len(tapeWires) {
		t.Fatalf("%d legs, %v, %v", len(c.Legs), fs, err)
	}
	pic := tapePicture{title: "wiring"}
	for k, l := range c.Legs {
		drops := 2.0
		if k == 0 {
			drops = 1 // cable leaves the panel at cable height
		}
		check(fmt.Sprintf("wiring %d", k+1), l, tapeWires[k].run, drops, 0, tapeWires[k].why)
		pic.legs = append(pic.legs, l.Stretches[0].Points)
	}
	return pic
}

// tapePicture is one plan with its ten legs.
type tapePicture struct {
	title string
	legs  [][]geom.Point
}

const tapeFile = "../testdata/pictures/tape-measure.svg"

// drawTape draws the legs over the walls, two plans side by side, and compares
// the picture with the one in the contributors' guide.
func drawTape(t *testing.T, walls []plan.Wall, pics []tapePicture) {
	t.Helper()
	const across, down, margin = 225.0, 125.0, 12.0 // feet that a plan takes
	var s strings.Builder
	fmt.Fprintf(&s, "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %g %g\" font-family=\"sans-serif\" fill=\"none\">\n<rect width=\"100%%\" height=\"100%%\" fill=\"white\"/>\n", 2*across, 2*down)
	xy := func(p geom.Point) string {
		return fmt.Sprintf("%.1f %.1f", p.X/feet+margin, down-margin-p.Y/feet)
	}
	s.WriteString("<defs><path id=\"walls\" stroke=\"#999\" stroke-width=\".4\" d=\"")
	for _, w := range walls {
		fmt.Fprintf(&s, "M%s L%s ", xy(w.A), xy(w.B))
	}
	s.WriteString("\"/></defs>\n")
	for i, pic := range pics {
		fmt.Fprintf(&s, "<g transform=\"translate(%g %g)\"><use href=\"#walls\"/><text x=\"%g\" y=\"8\" font-size=\"6\" fill=\"black\">%s</text>\n",
			float64(i%2)*across, float64(i/2)*down, margin, pic.title)
		for k, leg := range pic.legs {
			var d []string
			for _, p := range leg {
				d = append(d, xy(p))
			}
			mid := leg[0].Lerp(leg[len(leg)-1], .5)
			if len(leg) > 2 {
				mid = leg[len(leg)/2]
			}
			fmt.Fprintf(&s, "<path stroke=\"#b5121b\" d=\"M%s\"/><text font-size=\"4\" fill=\"#0b3d91\" transform=\"translate(%s)\">%d</text>\n", strings.Join(d, " L"), xy(mid), k+1)
		}
		s.WriteString("</g>\n")
	}
	s.WriteString("</svg>\n")
	if *update {
		if err := os.WriteFile(tapeFile, []byte(s.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if want, err := os.ReadFile(tapeFile); err != nil || string(want) != s.String() {
		t.Errorf("%s shows other legs (%v): look at them, then run with -update", tapeFile, err)
	}
}
