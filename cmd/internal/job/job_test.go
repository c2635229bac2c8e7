package job

import (
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/words"
)

func parseOK(t testing.TB, src string) *Job {
	t.Helper()
	j, err := Parse("job.yaml", []byte(src))
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// benchRow is how jobs are written by programs: flow style, one line a row.
const benchRow = `job: bench
report: metric
plans:
  - {devices: p.csv, level: L, units: m, ceiling: 3 m, cable_height: 3 m}
types:
  - {type: p12, name: p12, mounting: ceiling, addresses: 12}
  - {type: p1, name: p1, mounting: ceiling, addresses: 1}
panels:
  - {panel: P, at: {level: L, point: [288.0, 1e+03]}}
circuits:
  - {circuit: C, circuits: auto, panel: P, pathway: A, cable: c, max_resistance: 1000000 ohm, addresses: {scheme: none, first: 1, last: 100000, spare: 0%}}
cables:
  - {cable: c, conductor: 12 AWG solid}
route: {along: straight}
allowances: {device: 0 m, panel: 0 m, waste: 0%}
`

func TestFlowStyle(t *testing.T) {
	j := parseOK(t, benchRow)
	c := j.Circuits[0]
	if !c.Auto || c.Circuit != "C" || c.Panel != "P" || c.Cable != "c" || c.MaxResistance != 1e6 {
		t.Errorf("circuit %+v", c)
	}
	if a := c.Addresses; a.Scheme.Name != "none" || a.First != 1 || a.Last != 100000 || a.Spare != 0 || a.Usable() != 100000 {
		t.Errorf("addresses %+v", a)
	}
	if j.Panels[0].At.Point != geom.Pt(288, 1000) || j.Types[0].Addresses != 12 || j.Types[0].WiredTo[0] != takeoff.SLC {
		t.Errorf("%+v %+v", j.Panels, j.Types)
	}
	if j.Allowances != (Allowances{}) || j.Plans[0].CableHeight != 3 || j.Route.Along != "straight" {
		t.Errorf("%+v %+v %+v", j.Allowances, j.Plans, j.Route)
	}
}

func TestValues(t *testing.T) {
	j := parseOK(t, Reference())
	deg := 0.0
	want := takeoff.Plan{
		Drawing: "level-1.dxf", Level: "Level 1", Units: "in",
		Elevation: 0, Ceiling: 3.048, CableHeight: 3.3528,
		Region: &geom.Box{Max: geom.Pt(2400, 1600)}, Datum: &geom.Point{X: 120, Y: 80}, Turned: &deg,
		Ignore: []geom.Box{{Min: geom.Pt(2000, 0), Max: geom.Pt(2400, 500)}},
		Walls:  []string{"A-WALL*"}, Wiring: []string{"E-FIRE-WIRE"}, Hidden: takeoff.HiddenExclude,
		Demolition: []words.Match{{Layer: "*-DEMO*"}}, Existing: []words.Match{{Layer: "*-EXST*"}},
		Others: []words.Match{{Attrib: map[string]string{"NOTE": "BY OTHERS"}}},
	}
	if !reflect.DeepEqual(j.Plans[0], want) {
		t.Errorf("got  %+v\nwant %+v", j.Plans[0], want)
	}
	smoke := takeoff.DeviceType{
		Type: "smoke", Name: "Smoke detector", Addresses: 1, WiredTo: []takeoff.CircuitKind{takeoff.SLC},
		Match:   []words.Match{{Block: "*SMK*", Layer: "E-FIRE*", Attrib: map[string]string{"KIND": "S"}}},
		Points:  []takeoff.Point{{Function: "smoke", Event: "111"}},
		Standby: takeoff.Amps{A: 0.0003, Known: true}, Alarm: takeoff.Amps{A: 0.005, Known: true},
		Options: []takeoff.Option{{Switch: "class A", OnWhen: "A"}}, Material: 58, Hours: 0.75,
	}
	if got := j.DeviceTypes()[0]; !reflect.DeepEqual(got, smoke) {
		t.Errorf("got  %+v\nwant %+v", got, smoke)
	}
	if m := j.Types[2].Mounting; m.Kind != takeoff.MountHeight || m.Height != 1.1684 {
		t.Errorf("mounting %+v", m)
	}
	if c := j.Cables[0]; c.Price != 0.42/0.3048 || c.Reel != 304.8 || c.Conductor.Gauge != 16 || c.Temperature != 75 {
		t.Errorf("cable %+v", c)
	}
	if n := j.Circuits[1]; n.Kind != takeoff.NAC || !n.Auto || n.MaxCurrent.A != 2.5 || n.Start != 22 || n.End != 17 || n.Spare != 0.25 || n.MaxResistance != 0 {
		t.Errorf("nac %+v", n)
	}
	if a := j.Circuits[0].Addresses; a.First != 1 || a.Last != 127 || a.Usable() != 126 || a.Spare != 0.2 {
		t.Errorf("addresses %+v", a)
	}
	if j.Edition != 2019 || j.Battery.Margin != 0.20 || j.Date.Format("2006-01-02") != "2026-03-31" {
		t.Errorf("%d %v %v", j.Edition, j.Battery.Margin, j.Date)
	}
}

// TestBatteryMargin: 20 % for the editions 2010 to 2019, 25 % in NFPA 72-2022
// (secondary sources; the adopted edition governs).
func TestBatteryMargin(t *testing.T) {
	for year, want := range map[string]float64{"2016": 0.20, "2019": 0.20, "2022": 0.25, "2025": 0.25} {
		if got := parseOK(t, fill("edition: "+year+"\n")).Battery.Margin; got != want {
			t.Errorf("%s: %v", year, got)
		}
	}
	if got := parseOK(t, fill("battery: {margin: 15%}\n")).Battery.Margin; got != 0.15 {
		t.Errorf("given: %v", got)
	}
}

func TestLeftOut(t *testing.T) {
	j := parseOK(t, fill(""))
	if len(j.Circuits) != 1 || !j.Circuits[0].Auto || j.Circuits[0].Panel != "P" || j.Circuits[0].Cable != "16/2" ||
		j.Circuits[0].Addresses.Last != 127 || j.Circuits[0].Pathway != "B" {
		t.Errorf("circuits %+v", j.Circuits)
	}
	if len(j.Cables) != 1 || j.Cables[0].Conductor.Gauge != 16 {
		t.Errorf("cables %+v", j.Cables)
	}
	if p := j.Plans[0]; p.Ceiling != 3.048 || !near(p.CableHeight, 3.3528) || p.Hidden != takeoff.HiddenExclude {
		t.Errorf("plan %+v", p)
	}
	for _, d := range j.Defaults {
		if d.Path == "" || d.Value == "" || d.Why == "" {
			t.Errorf("a default without words: %+v", d)
		}
	}
	if len(j.Defaults) < 40 {
		t.Errorf("only %d defaults: %+v", len(j.Defaults), j.Defaults)
	}
}

// TestDefaultsNameTheirRow: what every row leaves out is told for every row.
func TestDefaultsNameTheirRow(t *testing.T) {
	j := parseOK(t, fill("types:\n  - {type: a}\n  - {type: b, mounting: wall}\n  - {type: c}\n"))
	var rows []string
	for _, d := range j.Defaults {
		if strings.HasPrefix(d.Path, "types[") && strings.HasSuffix(d.Path, "].mounting") {
			rows = append(rows, d.Path+" "+d.Row+": "+d.Value+"; "+d.Why)
		}
	}
	want := []string{"types[0].mounting a: ceiling; most devices are mounted there (common practice, no source)", "types[2].mounting c: ceiling; most devices are mounted there (common practice, no source)"}
	if !slices.Equal(rows, want) {
		t.Errorf("got %q, want %q", rows, want)
	}
}

const foot = 0.3048 // metres: yard and pound agreement, 1959

func TestLevels(t *testing.T) {
	j := parseOK(t, fill(`plans:
  - {drawing: 1a.dxf, level: One, region: [0, 0, 1, 1]}
  - {drawing: 1b.dxf, level: One, ceiling: 12 ft}
  - {drawing: 2.dxf, level: Two}
  - {drawing: 3.dxf, level: Three, elevation: 50 ft}
`))
	for i, want := range []struct{ ceiling, cable, elevation float64 }{
		{12 * foot, 13 * foot, 0}, {12 * foot, 13 * foot, 0}, {10 * foot, 11 * foot, 16 * foot}, {10 * foot, 11 * foot, 50 * foot},
	} {
		p := j.Plans[i]
		if !near(p.Ceiling, want.ceiling) || !near(p.CableHeight, want.cable) || !near(p.Elevation, want.elevation) {
			t.Errorf("plan %d: %v %v %v", i, p.Ceiling, p.CableHeight, p.Elevation)
		}
	}
}

func near(a, b float64) bool { return a-b < 1e-12 && b-a < 1e-12 }

func TestWiredTo(t *testing.T) {
	j := parseOK(t, fill(`types:
  - {type: plain}
  - {type: iso, isolates: true}
  - {type: base, wired_to: [slc, power], addresses: 0}
  - {type: horn, wired_to: nac}
  - {type: plate, addresses: 0}
`))
	want := []struct {
		addresses int
		wired     string
	}{{1, "slc"}, {1, "slc"}, {0, "slc power"}, {0, "nac"}, {0, ""}}
	for i, w := range want {
		var kinds []string
		for _, k := range j.Types[i].WiredTo {
			kinds = append(kinds, string(k))
		}
		if got := strings.Join(kinds, " "); got != w.wired || j.Types[i].Addresses != w.addresses {
			t.Errorf("%s: %d addresses, wired to %q", j.Types[i].Type, j.Types[i].Addresses, got)
		}
	}
}

func TestSchemes(t *testing.T) {
	for _, tt := range []struct {
		row         string
		first, last int
	}{
		{"{}", 1, 127}, {"{scheme: binary8}", 1, 255}, {"{scheme: decade}", 1, 99},
		{"{scheme: decade, last: 159}", 1, 159}, {"{scheme: none}", 1, 127}, {"{offset: -1}", 1, 128},
		{"{first: 20, last: 90, reserved: [20-29, 5'0]}", 0, 0},
	} {
		src := fill("circuits: [{circuit: C, addresses: " + tt.row + "}]\n")
		j, err := Parse("job.yaml", []byte(src))
		if tt.last == 0 {
			if err == nil {
				t.Errorf("%s: accepted", tt.row)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s: %v", tt.row, err)
			continue
		}
		if a := j.Circuits[0].Addresses; a.First != tt.first || a.Last != tt.last {
			t.Errorf("%s: %d to %d", tt.row, a.First, a.Last)
		}
	}
	a := parseOK(t, fill("circuits: [{circuit: C, addresses: {reserved: [1, 20-29, 25], first_switch: highest, on_means: 0}}]\n")).Circuits[0].Addresses
	if a.Usable() != 127-11 || !a.Scheme.HighestFirst || !a.Scheme.OnMeansZero {
		t.Errorf("%+v", a)
	}
}

func TestPos(t *testing.T) {
	j := parseOK(t, "job: T\r\nplans:\r\n  - drawing: é.dxf\r\n    level: L # here\r\npanels: [{panel: P, match: [{block: \"日本\", layer: X}]}]\r\n")
	for _, tt := range []struct {
		path      string
		line, col int
	}{
		{"job", 1, 6}, {"plans", 3, 3}, {"plans[0]", 3, 5}, {"plans[0].level", 4, 12},
		{"plans[0].ceiling", 3, 5}, {"panels[0].match[0].layer", 5, 50}, {"panels[0].match[0].text", 5, 29}, {"nothing.at[3].all", 1, 1},
	} {
		if line, col := j.pos(tt.path); line != tt.line || col != tt.col {
			t.Errorf("%s: %d:%d, want %d:%d", tt.path, line, col, tt.line, tt.col)
		}
	}
	got := j.Complain("plans[0].level", "nothing on level %s", "L").Error()
	want := "job.yaml:4:12: nothing on level L\n    4 |     level: L # here\n      |            ^"
	if got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	if !j.Given("plans[0].level") || j.Given("plans[0].ceiling") {
		t.Error("Given")
	}
}

func TestLoad(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "job.yaml")
	write := func(name, text string) {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := Load(path); err == nil || !strings.Contains(err.Error(), "job.yaml") {
		t.Errorf("no file: %v", err)
	}
	if _, err := Load(dir); err == nil || !strings.Contains(err.Error(), "folder") {
		t.Errorf("a folder: %v", err)
	}
	write("job.yaml", fill("plans: [{drawing: level-1.dxf, level: L}]\n"))
	write("level_1.dxf", "")
	_, err := Load(path)
	var es Errors
	if !errors.As(err, &es) || len(es) != 1 || es[0].Line != 1 || es[0].Col != 19 || !strings.Contains(es[0].Message, "did you mean level_1.dxf?") {
		t.Errorf("missing drawing: %v", err)
	}
	var one Located
	if !errors.As(err, &one) {
		t.Error("no Located in Errors")
	}
	write("level-1.dxf", "")
	j, err := Load(path)
	if err != nil || j.Resolve("level-1.dxf") != filepath.Join(dir, "level-1.dxf") {
		t.Errorf("%v", err)
	}
}

func TestNoTextFile(t *testing.T) {
	for src, want := range map[string]string{
		"job: \xff\n":                    "UTF-8",
		"job: a\x00b\n":                  "control character",
		"":                               "empty",
		strings.Repeat("[", 1000):        "nested too deeply",
		strings.Repeat("- ", 1000):       "nested too deeply",
		strings.Repeat(" ", mostBytes+1): "longer than",
	} {
		_, err := Parse("job.yaml", []byte(src))
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%.20q: %v", src, err)
		}
	}
	if j := parseOK(t, "\ufeff"+fill("")); j.Name != "T" {
		t.Errorf("byte order mark: %q", j.Name)
	}
}

// TestDemo reads the demo job, whose drawings lie beside it.
func TestDemo(t *testing.T) {
	path := filepath.Join("..", "..", "..", "testdata", "demo", "job.yaml")
	if _, err := os.Stat(path); err != nil {
		t.Skip("the demo job is not there")
	}
	j, err := Load(path)
	if err != nil {
		t.Fatal(err)
	}
	if len(j.Plans) < 2 || len(j.Circuits) < 2 || len(j.Types) < 5 {
		t.Errorf("%d plans, %d circuits, %d types", len(j.Plans), len(j.Circuits), len(j.Types))
	}
}
