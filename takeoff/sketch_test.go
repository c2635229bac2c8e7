package takeoff_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/words"
)

// A sketch is a small drawing in words, one thing a line, units inches:
//
//	SMK x y [layer [linetype]]  an insert; E-FIRE where no layer is given
//	block NAME holds NAME       a block with another one inside
//	door NAME width [circle]    a block: a leaf and the arc that it swings along, and a circle if wanted
//	bar NAME width              a block: a line from its insertion point to the right
//	text x y height WORDS       on layer A-ANNO
//	room x y height WORDS       on layer A-ROOM-NAME
//	line layer x y x y ...      a polyline; "loop" closes it
//	units N                     $INSUNITS
//	layer NAME                  a row of the table of layers
//
// Blocks are circles of 12 in across. It is written as plain R12 text here, so
// that nothing of the reader's own package stands between the table and the file.
type sketch struct{ head, layers, blocks, body strings.Builder }

func tags(b *strings.Builder, words ...string) {
	b.WriteString(strings.Join(words, "\n") + "\n")
}

func (s *sketch) polyline(f []string, closed string) {
	tags(&s.body, "0", "POLYLINE", "8", f[1], "66", "1", "70", closed)
	for i := 2; i+1 < len(f); i += 2 {
		tags(&s.body, "0", "VERTEX", "8", f[1], "10", f[i], "20", f[i+1])
	}
	tags(&s.body, "0", "SEQEND")
}

func drawn(t *testing.T, text string) string {
	t.Helper()
	s := &sketch{}
	known := map[string]bool{}
	block := func(name, inside string) {
		if known[name] {
			return
		}
		known[name] = true
		tags(&s.blocks, "0", "BLOCK", "8", "0", "2", name, "70", "0", "10", "0", "20", "0", "3", name, "0", "CIRCLE", "8", "0", "10", "0", "20", "0", "40", "6")
		if inside != "" {
			tags(&s.blocks, "0", "INSERT", "8", "E-FIRE", "2", inside, "10", "0", "20", "0")
		}
		tags(&s.blocks, "0", "ENDBLK", "8", "0")
	}
	for line := range strings.Lines(text) {
		f := strings.Fields(line)
		switch {
		case len(f) == 0:
		case f[0] == "door", f[0] == "bar":
			known[f[1]] = true
			tags(&s.blocks, "0", "BLOCK", "8", "0", "2", f[1], "70", "0", "10", "0", "20", "0", "3", f[1])
			if tags(&s.blocks, "0", "LINE", "8", "0", "10", "0", "20", "0", "11", f[2], "21", "0"); f[0] == "door" {
				tags(&s.blocks, "0", "ARC", "8", "0", "10", "0", "20", "0", "40", f[2], "50", "0", "51", "90")
			}
			if len(f) > 3 {
				tags(&s.blocks, "0", "CIRCLE", "8", "0", "10", "0", "20", "0", "40", "6")
			}
			tags(&s.blocks, "0", "ENDBLK", "8", "0")
		case f[0] == "block":
			block(f[3], "")
			block(f[1], f[3])
		case f[0] == "text", f[0] == "room":
			layer := map[string]string{"text": "A-ANNO", "room": "A-ROOM-NAME"}[f[0]]
			tags(&s.body, "0", "TEXT", "8", layer, "10", f[1], "20", f[2], "40", f[3], "1", strings.Join(f[4:], " "))
		case f[0] == "line":
			s.polyline(f, "0")
		case f[0] == "loop":
			s.polyline(f, "1")
		case f[0] == "layer":
			tags(&s.layers, "0", "LAYER", "2", f[1], "70", "0", "62", "7", "6", "CONTINUOUS")
		case f[0] == "units":
			tags(&s.head, "9", "$INSUNITS", "70", f[1])
		case len(f) >= 3:
			block(f[0], "")
			layer := "E-FIRE"
			if len(f) > 3 {
				layer = f[3]
			}
			tags(&s.body, "0", "INSERT", "8", layer, "2", f[0], "10", f[1], "20", f[2])
			if len(f) > 4 {
				tags(&s.body, "6", f[4])
			}
		default:
			t.Fatalf("sketch: %q", line)
		}
	}
	return "0\nSECTION\n2\nHEADER\n" + s.head.String() + "0\nENDSEC\n0\nSECTION\n2\nTABLES\n0\nTABLE\n2\nLAYER\n70\n1\n" + s.layers.String() +
		"0\nENDTAB\n0\nENDSEC\n0\nSECTION\n2\nBLOCKS\n" + s.blocks.String() +
		"0\nENDSEC\n0\nSECTION\n2\nENTITIES\n" + s.body.String() + "0\nENDSEC\n0\nEOF\n"
}

// sketched takes a request off drawings given in words, by file name.
func sketched(t *testing.T, req takeoff.Request, drawings map[string]string) (takeoff.Result, error) {
	t.Helper()
	req.Folder = t.TempDir()
	for name, text := range drawings {
		if !strings.HasSuffix(name, ".csv") {
			text = drawn(t, text)
		}
		if err := os.WriteFile(filepath.Join(req.Folder, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return takeoff.Take(req)
}

func rule(typ string, m words.Match) takeoff.DeviceType {
	return takeoff.DeviceType{Type: typ, Addresses: 1, Match: []words.Match{m}}
}

var smoke = rule("smoke", words.Match{Block: "SMK"})

// one is a request for smoke detectors on one drawing in inches.
func one(change func(*takeoff.Request)) takeoff.Request {
	req := takeoff.Request{Types: []takeoff.DeviceType{smoke},
		Plans: []takeoff.Plan{{Drawing: "a.dxf", Level: "Level 1", Units: "in", Ceiling: 3, CableHeight: 3.3}}}
	if change != nil {
		change(&req)
	}
	return req
}

// told writes devices as "type@x,y reason", the counted ones without a reason.
func told(ds []takeoff.Device) string {
	var out []string
	for _, d := range ds {
		out = append(out, strings.TrimSpace(fmt.Sprintf("%s@%g,%g %s", d.Type, d.At.X, d.At.Y, d.Reason)))
	}
	slices.Sort(out)
	return strings.Join(out, "; ")
}

// What counts, what does not and why, and what a person is told of it: one row
// for each rule that no larger test drawing tries.
func TestSketches(t *testing.T) {
	for _, tt := range []struct {
		name    string
		drawing string
		change  func(*takeoff.Request)
		want    string
		finding string // code, severity and a part of the message
	}{
		{"a note beside the symbol: by others", "SMK 100 100\ntext 114 98 6 BY OTHERS\nSMK 300 100", func(r *takeoff.Request) {
			r.Plans[0].Others = []words.Match{{Text: "BY OTHERS"}}
		}, "smoke@100,100 others; smoke@300,100", "F213 warning 1 symbol left out as by others"},
		{"a note farther off than four of its heights says nothing", "SMK 100 100\ntext 140 98 6 BY OTHERS", func(r *takeoff.Request) {
			r.Plans[0].Others = []words.Match{{Text: "BY OTHERS"}}
		}, "smoke@100,100", ""},
		{"a note that is asked for on one layer only", "SMK 100 100 E-OLD\ntext 114 98 6 EXISTING\nSMK 300 100\ntext 314 98 6 EXISTING", func(r *takeoff.Request) {
			r.Plans[0].Existing = []words.Match{{Text: "EXIST*", Layer: "E-OLD"}}
		}, "smoke@100,100 existing; smoke@300,100", "F213 warning 1 symbol left out as existing"},
		{"a linetype of its own: existing", "SMK 100 100 E-FIRE DASHED\nSMK 300 100 E-FIRE BYLAYER\nSMK 500 100", func(r *takeoff.Request) {
			r.Plans[0].Existing = []words.Match{{Linetype: "DASH*"}}
		}, "smoke@100,100 existing; smoke@300,100; smoke@500,100", "F213 warning 1 symbol left out as existing"},
		{"a rule that another takes everything from", "SMK 100 100", func(r *takeoff.Request) {
			r.Types = append(r.Types, rule("photo", words.Match{Block: "SM*"}))
		}, "smoke@100,100", "F202 warning type photo: rule 1 (block: SM*) matches 1 symbols, but earlier rules take them all"},
		{"a rule that matches nothing", "SMK 100 100", func(r *takeoff.Request) {
			r.Types = append(r.Types, rule("heat", words.Match{Block: "HEET"}))
		}, "smoke@100,100", "F202 warning type heat: rule 1 (block: HEET) matched nothing"},
		{"two that overlap both count", "SMK 100 100\nSMK 108 100", nil,
			"smoke@100,100; smoke@108,100", "F205 warning smoke is 0.7 ft from another"},
		{"two that touch raise no finding", "SMK 100 100\nSMK 112 100", nil, "smoke@100,100; smoke@112,100", ""},
		{"a device drawn inside another's symbol", "block BASE holds SMK\nBASE 100 100\nSMK 300 100", func(r *takeoff.Request) {
			r.Types = append(r.Types, rule("base", words.Match{Block: "BASE"}))
		}, "base@100,100; smoke@100,100 duplicate; smoke@300,100", "F205 warning block SMK is drawn inside the symbol of another device"},
		{"letters in a part to ignore", "text 100 100 6 S\ntext 300 100 6 S", func(r *takeoff.Request) {
			r.Types = []takeoff.DeviceType{rule("smoke", words.Match{Text: "S"})}
			r.Plans[0].Ignore = []geom.Box{geom.BoxOf(geom.Pt(0, 0), geom.Pt(200, 200))}
		}, "smoke@100,100 region; smoke@300,100", "F203 warning 1 symbol left out as outside the level's region"},
		{"a panel found twice", "SMK 100 100\nFACP 10 10\nFACP 900 10", func(r *takeoff.Request) {
			r.Panels = []takeoff.Landmark{{Name: "FACP", Match: []words.Match{{Block: "FACP"}}}}
		}, "smoke@100,100", "F206 error panel FACP was found 2 times"},
		{"a panel not found", "SMK 100 100", func(r *takeoff.Request) {
			r.Panels = []takeoff.Landmark{{Name: "FACP", Match: []words.Match{{Block: "FACP"}}}}
		}, "smoke@100,100", "F206 error panel FACP was not found on any plan"},
		{"no loose figure where a sample is to stand", "SMK 100 100", func(r *takeoff.Request) {
			at := geom.Pt(500, 500)
			r.Types = append(r.Types, rule("heat", words.Match{Sample: &at}))
		}, "smoke@100,100", "F212 warning type heat: nothing loose is drawn at the sample 500, 500"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			res, err := sketched(t, one(tt.change), map[string]string{"a.dxf": tt.drawing})
			if err != nil {
				t.Fatal(err)
			}
			if got := told(res.Devices); got != tt.want {
				t.Errorf("%s\nwant %s", got, tt.want)
			}
			var fs []string
			for _, f := range res.Findings {
				if f.Code != "F204" && f.Code != "F208" {
					fs = append(fs, fmt.Sprintf("%s %s %s", f.Code, f.Severity, f.Message))
				}
			}
			switch all := strings.Join(fs, "\n"); {
			case tt.finding == "" && all != "":
				t.Errorf("findings where there is nothing to say:\n%s", all)
			case !strings.Contains(all, tt.finding):
				t.Errorf("%s\nwant %q", all, tt.finding)
			}
		})
	}
}

// Rows of a list stand where its maker put them: two on one spot both count.
func TestListedTwice(t *testing.T) {
	req := one(func(r *takeoff.Request) {
		r.Plans[0] = takeoff.Plan{Devices: "a.csv", Level: "Level 1", Units: "m", Ceiling: 3, CableHeight: 3.3}
	})
	res, err := sketched(t, req, map[string]string{"a.csv": "id,type,level,x,y\nA,smoke,Level 1,5,5\nB,smoke,Level 1,5,5\n"})
	if err != nil {
		t.Fatal(err)
	}
	if got := told(res.Devices); got != "smoke@5,5; smoke@5,5" {
		t.Error(got)
	}
	if !slices.ContainsFunc(res.Findings, func(f takeoff.Finding) bool {
		return f.Code == "F205" && strings.Contains(f.Message, "A and B are on the same spot: both count")
	}) {
		t.Errorf("nobody is told: %v", res.Findings)
	}
}

// Wires come off their layers in metres of the building's frame: 200 in and then
// 100 in are 5.08 m and 2.54 m; a closed line comes back to where it began.
func TestWiresInMetres(t *testing.T) {
	req := one(func(r *takeoff.Request) {
		r.Plans[0].Wiring = []string{"E-WIRE*"}
		r.Plans[0].Datum = &geom.Point{X: 100, Y: 100}
	})
	res, err := sketched(t, req, map[string]string{"a.dxf": `SMK 100 100
		line E-WIRE 100 100 300 100 300 200
		loop E-WIRE-2 100 100 200 100 200 200
		line A-WALL 0 0 1000 0`})
	if err != nil {
		t.Fatal(err)
	}
	wires := res.Levels[0].Sheets[0].Wires
	want := [][]geom.Point{
		{{X: 0, Y: 0}, {X: 5.08, Y: 0}, {X: 5.08, Y: 2.54}},
		{{X: 0, Y: 0}, {X: 2.54, Y: 0}, {X: 2.54, Y: 2.54}, {X: 0, Y: 0}},
	}
	if len(wires) != len(want) {
		t.Fatalf("%d wires, want %d: %v", len(wires), len(want), wires)
	}
	for i := range want {
		if len(wires[i]) != len(want[i]) {
			t.Fatalf("wire %d: %v, want %v", i, wires[i], want[i])
		}
		for k := range want[i] {
			if wires[i][k].Dist(want[i][k]) > 1e-9 {
				t.Errorf("wire %d: %v, want %v", i, wires[i], want[i])
			}
		}
	}
}

// A plan that the job says is turned by a quarter is turned back about its
// datum: what stands 100 in to its right stands 2.54 m below in the building.
func TestTurnedAsTheJobSays(t *testing.T) {
	req := one(func(r *takeoff.Request) {
		quarter := 90.0
		r.Plans[0].Turned = &quarter
		r.Plans[0].Datum = &geom.Point{X: 100, Y: 100}
	})
	res, err := sketched(t, req, map[string]string{"a.dxf": "SMK 200 100"})
	if err != nil {
		t.Fatal(err)
	}
	if got := res.Devices[0].Pos; got.Dist(geom.Pt(0, -2.54)) > 1e-9 {
		t.Errorf("it stands at %v, want 0, -2.54", got)
	}
}

// Where no walls are known a name reaches 12 m, the nearest one first.
func TestRoomsWithoutWalls(t *testing.T) {
	res, err := sketched(t, one(nil), map[string]string{"a.dxf": `room 0 0 6 101 OFFICE
		room 400 0 6 102 LOBBY
		SMK 100 0
		SMK 300 0
		SMK 900 0`}) // 500 in, 12.7 m, from the nearest name
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{"101 OFFICE", "102 LOBBY", ""} {
		if got := res.Devices[i].Room; got != want {
			t.Errorf("detector %d stands in %q, want %q", i+1, got, want)
		}
	}
}

// Unknown units stop the run, with a way out.
func TestUnitsRefused(t *testing.T) {
	noUnits := func(r *takeoff.Request) { r.Plans[0].Units = "" }
	for _, tt := range []struct{ name, drawing, want string }{
		{"a header that makes the storey a country", "units 7\nSMK 100 100\nSMK 340 100\nloop A-WALL 0 0 1200 0 1200 800 0 800", "the header says km, but then"},
		{"one symbol in a country of lines", "units 7\nSMK 100 100\nloop A-FLOR 0 0 1200 0 1200 800 0 800", "the header says km, but then"},
		{"a unit that no plan is drawn in", "units 19\nSMK 100 100", "the header says ly, which no building is drawn in"},
		{"nothing that tells", "SMK 0 0", "nothing else on it tells: measure something and write units"},
		{"a header that makes the storey a match box", "units 4\nSMK 100 100\nSMK 340 100\nloop A-WALL 0 0 1200 0 1200 800 0 800", "the header says mm, but then"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := sketched(t, one(noUnits), map[string]string{"a.dxf": tt.drawing})
			if err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("%v\nwant %q", err, tt.want)
			}
		})
	}
}

// A wall mounting is 88 in above the floor, the middle of the 80 to 96 in band
// that NFPA 72's published quick reference gives, and never above the ceiling.
func TestWallMounting(t *testing.T) {
	for _, tt := range []struct{ ceiling, want float64 }{{3, 2.2352}, {2.1, 2.1}} {
		if got := (takeoff.Mounting{Kind: takeoff.MountWall}).HeightIn(tt.ceiling); math.Abs(got-tt.want) > 1e-9 {
			t.Errorf("under a ceiling of %v m: %v m, want %v", tt.ceiling, got, tt.want)
		}
	}
}
