package takeoff_test

import (
	"cmp"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// A plan in words, metres, one thing a line; the first word is the layer, the second says what it is:
//
//	W line x y x y ...       a polyline; "loop" closes it
//	W solid x y x y x y x y  a filled area
//	W arc x y r from to      degrees; W circle x y r
//	N text x y height WORDS  centred; lines of one text are parted by "|": then it is an MTEXT
//	N tag x y height A|B     an insert with attributes T1, T2
//	F dev x y                a detector, 0.4 m across
//
// All of it is turned by so many degrees about the origin.
func planInWords(t *testing.T, text string, turned float64) string {
	t.Helper()
	var body, blocks strings.Builder
	num := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatalf("plan in words: %q: %v", s, err)
		}
		return v
	}
	sprint := func(v float64) string { return strconv.FormatFloat(math.Round(v*1e6)/1e6, 'f', -1, 64) }
	at := func(x, y string) (string, string) {
		p := geom.Pt(num(x), num(y)).Turn(turned)
		return sprint(p.X), sprint(p.Y)
	}
	tags(&blocks, "0", "BLOCK", "8", "0", "2", "SMK", "70", "0", "10", "0", "20", "0", "3", "SMK", "0", "CIRCLE", "8", "0", "10", "0", "20", "0", "40", "0.2", "0", "ENDBLK", "8", "0")
	tags(&blocks, "0", "BLOCK", "8", "0", "2", "STAMP", "70", "2", "10", "0", "20", "0", "3", "STAMP", "0", "POLYLINE", "8", "0", "66", "1", "70", "1",
		"0", "VERTEX", "8", "0", "10", "-1", "20", "-1", "0", "VERTEX", "8", "0", "10", "2", "20", "-1", "0", "VERTEX", "8", "0", "10", "2", "20", "1", "0", "VERTEX", "8", "0", "10", "-1", "20", "1",
		"0", "SEQEND", "0", "ENDBLK", "8", "0")
	for line := range strings.Lines(text) {
		f := strings.Fields(line)
		if len(f) == 0 {
			continue
		}
		layer, v := f[0], f[2:]
		switch f[1] {
		case "line", "loop":
			closed := map[string]string{"line": "0", "loop": "1"}[f[1]]
			tags(&body, "0", "POLYLINE", "8", layer, "66", "1", "70", closed)
			for i := 0; i+1 < len(v); i += 2 {
				x, y := at(v[i], v[i+1])
				tags(&body, "0", "VERTEX", "8", layer, "10", x, "20", y)
			}
			tags(&body, "0", "SEQEND")
		case "solid":
			tags(&body, "0", "SOLID", "8", layer)
			for i, k := range []int{0, 1, 3, 2} {
				x, y := at(v[2*k], v[2*k+1])
				tags(&body, strconv.Itoa(10+i), x, strconv.Itoa(20+i), y)
			}
		case "arc":
			x, y := at(v[0], v[1])
			tags(&body, "0", "ARC", "8", layer, "10", x, "20", y, "40", v[2], "50", sprint(num(v[3])+turned), "51", sprint(num(v[4])+turned))
		case "circle":
			x, y := at(v[0], v[1])
			tags(&body, "0", "CIRCLE", "8", layer, "10", x, "20", y, "40", v[2])
		case "text":
			x, y := at(v[0], v[1])
			if words := strings.Join(v[3:], " "); strings.Contains(words, "|") {
				tags(&body, "0", "MTEXT", "8", layer, "10", x, "20", y, "40", v[2], "71", "5", "50", sprint(turned), "1", strings.ReplaceAll(words, "|", `\P`))
			} else {
				tags(&body, "0", "TEXT", "8", layer, "10", x, "20", y, "11", x, "21", y, "40", v[2], "50", sprint(turned), "72", "1", "73", "2", "1", words)
			}
		case "tag":
			x, y := at(v[0], v[1])
			tags(&body, "0", "INSERT", "8", layer, "66", "1", "2", "STAMP", "10", x, "20", y)
			for i, s := range strings.Split(strings.Join(v[3:], " "), "|") {
				tags(&body, "0", "ATTRIB", "8", layer, "10", x, "20", y, "40", v[2], "1", s, "2", fmt.Sprintf("T%d", i+1), "70", "0")
			}
			tags(&body, "0", "SEQEND")
		case "dev":
			x, y := at(v[0], v[1])
			tags(&body, "0", "INSERT", "8", layer, "2", "SMK", "10", x, "20", y)
		default:
			t.Fatalf("plan in words: %q", line)
		}
	}
	return "0\nSECTION\n2\nBLOCKS\n" + blocks.String() + "0\nENDSEC\n0\nSECTION\n2\nENTITIES\n" + body.String() + "0\nENDSEC\n0\nEOF\n"
}

// A building of 12 m by 10 m: two rooms, a corridor, one large room; doors 0.9 m wide are gaps.
const (
	roomWalls = `W line 0 0 12 0
		W line 12 0 12 10
		W line 12 10 0 10
		W line 0 10 0 0
		W line 6 0 6 4
		W line 0 4 2.5 4
		W line 3.4 4 8.5 4
		W line 9.4 4 12 4
		W line 0 6 5.5 6
		W line 6.4 6 12 6
		`
	roomLabels = `N text 3 2.2 0.25 1.01
		N text 3 1.8 0.25 Büro
		N text 9 2.2 0.25 1.02
		N text 9 1.8 0.25 Lager
		N text 6 5.2 0.25 1.03
		N text 6 4.8 0.25 Flur
		N text 6 8.2 0.25 1.04
		N text 6 7.8 0.25 Archiv
		`
	roomDevices = `F dev 1 1
		F dev 11 3.5
		F dev 1 5
		F dev 11 5
		F dev 10 9
		`
	roomsRight = "1.01 Büro; 1.02 Lager; 1.03 Flur; 1.03 Flur; 1.04 Archiv"
)

// onLayer puts linework on another layer.
func onLayer(text, layer string) string { return strings.ReplaceAll(text, "W ", layer+" ") }

// faced draws each wall by something on both sides of its middle line, 0.2 m apart: kind "line" its two faces, without
// ends, kind "loop" an outline, kind "solid" a filled one.
func faced(t *testing.T, walls, kind string) string {
	t.Helper()
	var b strings.Builder
	for line := range strings.Lines(walls) {
		f := strings.Fields(line)
		if len(f) == 0 {
			continue
		}
		var v [4]float64
		for i := range v {
			v[i], _ = strconv.ParseFloat(f[2+i], 64)
		}
		p, q := geom.Pt(v[0], v[1]), geom.Pt(v[2], v[3])
		n := geom.Pt(p.Y-q.Y, q.X-p.X).Mul(0.1 / p.Dist(q))
		a, c, d, e := p.Add(n), q.Add(n), q.Sub(n), p.Sub(n)
		if kind == "line" {
			fmt.Fprintf(&b, "%s line %g %g %g %g\n%s line %g %g %g %g\n", f[0], a.X, a.Y, c.X, c.Y, f[0], e.X, e.Y, d.X, d.Y)
			continue
		}
		fmt.Fprintf(&b, "%s %s %g %g %g %g %g %g %g %g\n", f[0], kind, a.X, a.Y, c.X, c.Y, d.X, d.Y, e.X, e.Y)
	}
	return b.String()
}

// tiles are ceiling tiles of 0.6 m over the large room.
func tiles() string {
	var b strings.Builder
	for x := 0.6; x < 11.9; x += 0.6 {
		fmt.Fprintf(&b, "W line %g 6.05 %g 9.95\n", x, x)
	}
	for y := 6.6; y < 9.9; y += 0.6 {
		fmt.Fprintf(&b, "W line 0.05 %g 11.95 %g\n", y, y)
	}
	return b.String()
}

// cloud is an outline of small bows around a place.
func cloud(x, y, w float64) string {
	var b strings.Builder
	b.WriteString("W loop")
	for k := range 120 {
		a := 2 * math.Pi * float64(k) / 120
		r := w * (1 + 0.12*math.Abs(math.Sin(15*a)))
		fmt.Fprintf(&b, " %.4f %.4f", x+r*math.Cos(a), y+r*math.Sin(a))
	}
	return b.String() + "\n"
}

// Devices stand in the room that a person would say, whatever the office's habits. All rooms are invented.
func TestTrapsRooms(t *testing.T) {
	zero := func(s string) string { // everything on one layer
		s = onLayer(s, "0")
		return strings.NewReplacer("N text", "0 text", "N tag", "0 tag", "F dev", "0 dev").Replace(s)
	}
	named := `N text 3 2 0.25 Heron
		N text 9 2 0.25 Plover
		N text 6 5 0.25 Spine
		N text 6 8 0.25 Curlew
		`
	numbers := strings.NewReplacer("N text 3 1.8 0.25 Büro\n", "", "N text 9 1.8 0.25 Lager\n", "", "N text 6 4.8 0.25 Flur\n", "", "N text 6 7.8 0.25 Archiv\n", "").Replace(roomLabels)
	for _, tt := range []struct {
		name, plan string
		turned     float64
		want       string
	}{
		{"single lines on a layer of no name", roomWalls + roomLabels + roomDevices, 0, roomsRight},
		{"all on one layer", zero(roomWalls + roomLabels + roomDevices), 0, roomsRight},
		{"two faces without ends", faced(t, roomWalls, "line") + roomLabels + roomDevices, 0, roomsRight},
		{"outlines", faced(t, roomWalls, "loop") + roomLabels + roomDevices, 0, roomsRight},
		{"filled areas only", faced(t, roomWalls, "solid") + roomLabels + roomDevices, 0, roomsRight},
		{"turned by 30 degrees", faced(t, roomWalls, "line") + roomLabels + roomDevices, 30, roomsRight},
		{"turned by a quarter, on one layer", zero(roomWalls + roomLabels + roomDevices), 90, roomsRight},
		{"outer walls and partitions on two layers", strings.Replace(strings.Replace(roomWalls, "W line 6 0 6 4", "P line 6 0 6 4", 1), "W line 0 4", "P line 0 4", 1) + roomLabels + roomDevices, 0, roomsRight},
		{"numbers only, beside tags of doors", roomWalls + numbers + roomDevices + "D text 2.9 4.4 0.15 D01\nD text 8.9 4.4 0.15 D02\nD text 5.9 5.6 0.15 D03\n", 0, "1.01; 1.02; 1.03; 1.03; 1.04"},
		{"numbers only, beside addresses of devices", roomWalls + numbers + roomDevices + "F text 1.4 1.3 0.15 1.011\nF text 11.4 3.8 0.15 1.012\nF text 1.4 5.3 0.15 1.013\nF text 11.4 5.3 0.15 1.014\nF text 10.4 9.3 0.15 1.015\n", 0, "1.01; 1.02; 1.03; 1.03; 1.04"},
		{"names that no vocabulary has", roomWalls + named + roomDevices, 0, "Heron; Plover; Spine; Spine; Curlew"},
		{"keys, areas and finishes", roomWalls + "N text 3 2 0.2 Nr: 1.01|Name: Büro|Fläche: 24,0 m²|Boden: Linoleum\nN text 9 2 0.2 Nr: 1.02|Name: Lager|Boden: Estrich\nN text 6 5 0.2 Nr: 1.03|Name: Flur\nN text 6 8 0.2 Nr: 1.04|Name: Archiv\n" + roomDevices, 0, roomsRight},
		{"attributes with keys that say nothing, in a frame", roomWalls + "N tag 3 2 0.25 1.01|Büro\nN tag 9 2 0.25 1.02|Lager\nN tag 6 5 0.25 1.03|Flur\nN tag 6 8 0.25 1.04|Archiv\n" + roomDevices, 0, roomsRight},
		{"number in a circle, name above it", roomWalls + strings.NewReplacer("1.8 0.25 Büro", "2.7 0.25 Büro", "1.8 0.25 Lager", "2.7 0.25 Lager", "4.8 0.25 Flur", "5.7 0.25 Flur", "7.8 0.25 Archiv", "8.7 0.25 Archiv").Replace(roomLabels) +
			"N circle 3 2.2 0.4\nN circle 9 2.2 0.4\nN circle 6 5.2 0.4\nN circle 6 8.2 0.4\n" + roomDevices, 0, roomsRight},
		{"a name outside, a leader in", roomWalls + strings.NewReplacer("N text 9 2.2", "N text 9 -2", "N text 9 1.8", "N text 9 -2.4").Replace(roomLabels) + "N line 9 -1.7 9 1.5\n" + roomDevices, 0, roomsRight},
		{"a name in the next room, a leader in", zero(roomWalls + strings.NewReplacer("N text 9 2.2", "N text 9 8.2", "N text 9 1.8", "N text 9 7.8").Replace(roomLabels) + "W line 9 7.5 9 3\n" + roomDevices), 0, roomsRight},
		{"furniture and its lettering in the style of the names", zero(roomWalls + roomLabels + "N text 1.2 3.2 0.25 Schrank\nN text 11 1 0.25 Tisch\nW loop 0.4 2.9 2 2.9 2 3.5 0.4 3.5\nW loop 10.2 0.6 11.8 0.6 11.8 1.4 10.2 1.4\nW circle 11 1.8 0.25\n" + roomDevices), 0, roomsRight},
		{"a table that a device stands on", zero(roomWalls + roomLabels + "W loop 0.4 0.5 2 0.5 2 1.3 0.4 1.3\n" + roomDevices), 0, roomsRight},
		{"a shelf from wall to wall", zero(roomWalls + roomLabels + "W line 0 9.4 12 9.4\n" + roomDevices + "F dev 5 9.7\n"), 0, "1.01 Büro; 1.02 Lager; 1.03 Flur; 1.03 Flur; 1.04 Archiv; 1.04 Archiv"},
		{"a cloud around a name", zero(roomWalls + roomLabels + cloud(3, 2, 1.2) + roomDevices), 0, roomsRight},
		{"tiles of a ceiling", zero(roomWalls + roomLabels + tiles() + roomDevices), 0, roomsRight},
		{"axes of a grid", zero(roomWalls + roomLabels + "W line 1.5 -3 1.5 13\nW circle 1.5 -3.4 0.4\nW line 10.5 -3 10.5 13\nW circle 10.5 -3.4 0.4\nW line -3 5 15 5\nW circle -3.4 5 0.4\nW line -3 8 15 8\nW circle -3.4 8 0.4\n" + roomDevices), 0, roomsRight},
		{"wiring from device to device", zero(roomWalls + roomLabels + roomDevices + "W line 1.2 5 10.8 5\nW line 1 1.2 1 4.8\nW line 11 3.7 11 4.8\nW line 10.8 5.2 10 8.8\n"), 0, roomsRight},
		{"doors with leaf and swing that close the corridor", zero(roomWalls + roomLabels + "W line 2.5 4 2.5 4.9\nW arc 2.5 4 0.9 0 90\nW line 8.5 4 8.5 4.9\nW arc 8.5 4 0.9 0 90\nW line 5.5 6 5.5 5.1\nW arc 5.5 6 0.9 270 360\n" + roomDevices), 0, roomsRight},
		{"a sheet with a frame and a title block", zero(roomWalls + roomLabels + "W loop -6 -6 20 -6 20 14 -6 14\nW loop -5.5 -5.5 19.5 -5.5 19.5 13.5 -5.5 13.5\nW loop 12.5 -5.5 19.5 -5.5 19.5 -3 12.5 -3\nN text 16 -4 0.5 Lamplight House\n" + roomDevices), 0, roomsRight},
		{"open at the edge of the sheet", zero(strings.Replace(roomWalls, "W line 12 0 12 10\n", "", 1) + roomLabels + roomDevices), 0, roomsRight},
		{"a wide doorway", zero(strings.NewReplacer("W line 0 6 5.5 6", "W line 0 6 4 6", "W line 6.4 6 12 6", "W line 8 6 12 6").Replace(roomWalls) + roomLabels + roomDevices), 0, roomsRight},
		{"a room without a name stays without one", zero(roomWalls + strings.NewReplacer("N text 9 2.2 0.25 1.02\n", "", "N text 9 1.8 0.25 Lager\n", "").Replace(roomLabels) + roomDevices), 0, "1.01 Büro; -; 1.03 Flur; 1.03 Flur; 1.04 Archiv"},
		{"a room without a name, and a grid", roomWalls + strings.NewReplacer("N text 9 2.2 0.25 1.02\n", "", "N text 9 1.8 0.25 Lager\n", "").Replace(roomLabels) +
			"G line 1 -3 1 13\nG circle 1 -3.4 0.4\nG text 1 -3.4 0.3 1\nG line 11 -3 11 13\nG circle 11 -3.4 0.4\nG text 11 -3.4 0.3 2\n" +
			"G line -3 3 15 3\nG circle -3.4 3 0.4\nG text -3.4 3 0.3 A\nG line -3 8 15 8\nG circle -3.4 8 0.4\nG text -3.4 8 0.3 B\n" + roomDevices, 15,
			"1.01 Büro; grid A/2; 1.03 Flur; 1.03 Flur; 1.04 Archiv"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			res := inRooms(t, map[string]string{"a.dxf": planInWords(t, tt.plan, tt.turned)}, nil)
			if got := roomsOf(res, tt.turned); got != tt.want {
				t.Errorf("%s\nwant %s", got, tt.want)
			}
		})
	}
}

// Two sheets show one level: the corridor goes on from one to the next and has its name on one only.
func TestTrapRoomOnTwoSheets(t *testing.T) {
	left := roomWalls + "N text 3 2.2 0.25 1.01\nN text 3 1.8 0.25 Büro\nN text 6 8.2 0.25 1.04\nN text 6 7.8 0.25 Archiv\n" + "F dev 1 1\nF dev 1 5\n"
	left = strings.NewReplacer("W line 12 0 12 10\n", "", "W line 0 0 12 0", "W line 0 0 7 0", "W line 12 10 0 10", "W line 7 10 0 10", "W line 3.4 4 8.5 4", "W line 3.4 4 7 4", "W line 9.4 4 12 4\n", "", "W line 6.4 6 12 6", "W line 6.4 6 7 6").Replace(left)
	right := strings.NewReplacer("W line 0 10 0 0\n", "", "W line 0 0 12 0", "W line 5 0 12 0", "W line 12 10 0 10", "W line 12 10 5 10", "W line 0 4 2.5 4\n", "", "W line 3.4 4", "W line 5 4", "W line 0 6 5.5 6", "W line 5 6 5.5 6").Replace(roomWalls) +
		"N text 9 2.2 0.25 1.02\nN text 9 1.8 0.25 Lager\nN text 10 5.2 0.25 1.03\nN text 10 4.8 0.25 Flur\nF dev 11 3.5\nF dev 11 5\nF dev 10 9\n"
	res := inRooms(t, map[string]string{"a.dxf": planInWords(t, left, 0), "b.dxf": planInWords(t, right, 0)}, func(r *takeoff.Request) {
		second := r.Plans[0]
		second.Drawing = "b.dxf"
		r.Plans = append(r.Plans, second)
	})
	if got := roomsOf(res, 0); got != "1.01 Büro; 1.02 Lager; 1.03 Flur; 1.03 Flur; 1.04 Archiv" {
		t.Error(got)
	}
}

// inRooms takes the detectors off plans in metres.
func inRooms(t *testing.T, drawings map[string]string, change func(*takeoff.Request)) takeoff.Result {
	t.Helper()
	req := one(change)
	for i := range req.Plans {
		req.Plans[i].Units = "m"
	}
	req.Folder = t.TempDir()
	for name, text := range drawings {
		if err := os.WriteFile(filepath.Join(req.Folder, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	res, err := takeoff.Take(req)
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// roomsOf lists the rooms of the devices of a plan that is turned, from the bottom up, each row from the left; "-" where one has none.
func roomsOf(res takeoff.Result, turned float64) string {
	ds := slices.Clone(res.Devices)
	place := func(d takeoff.Device) (x, y float64) {
		p := d.At.Turn(-turned)
		return math.Round(100 * p.X), math.Round(100 * p.Y)
	}
	slices.SortFunc(ds, func(a, b takeoff.Device) int {
		ax, ay := place(a)
		bx, by := place(b)
		return cmp.Or(cmp.Compare(ay, by), cmp.Compare(ax, bx))
	})
	var out []string
	for _, d := range ds {
		name := d.Place()
		if name == "" {
			name = "-"
		}
		out = append(out, name)
	}
	return strings.Join(out, "; ")
}
