package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loopwright/testdata"
)

// mistake is one slip in the job file of the demo, and what is said of it.
type mistake struct {
	name     string
	old, new string
	nth      int // which occurrence is replaced, from 1; 0 for all
	severity string
	key      string // of the job file
	line     string // what the line named begins with
	says     string // part of the message
}

// panel is how the demo places its panel.
const panel = "match: [{block: FACP}]"

func mistakes() []mistake {
	walls := `walls: ["A-WALL", "A-WALL-FIRE", "A-GLAZ"]`
	return []mistake{
		{"doors counted as smoke detectors", `match: [{block: "FA-SMK"}]`, `match: [{block: "FA-SMK"}, {block: "*DOOR*"}]`, 1,
			"error", "types[0].match[1]", "match: ", "56 symbols of block DOOR-36, DOOR-30 count as smoke and are doors"},
		{"mm for inches", "units: in ", "units: mm ", 1, "error", "plans[0].units", "units: mm", "a door would be 0.04 m (1.42 in)"},
		{"feet for inches", "units: in ", "units: ft ", 1, "error", "plans[0].units", "units: ft", "the header says in"},
		{"cm for inches", "units: in\n", "units: cm\n", 1, "error", "plans[1].units", "units: cm", "the header says in"},
		{"one drawing for both levels", "drawing: level-2.dxf", "drawing: level-1.dxf", 1,
			"warning", "plans[1].drawing", "- drawing: level-1.dxf", "level-1.dxf stands for Level 1 and for Level 2"},
		{"a station 46 ft up", "mounting: 46 in", "mounting: 46 ft", 1, "warning", "types[4].mounting", "mounting: 46 ft", "over the ceiling of 10 ft of Level 1 and 10 ft of Level 2"},
		{"cable 3 ft above the floor", "cable_height: 11 ft", "cable_height: 3 ft", 1, "warning", "plans[0].cable_height", "cable_height: 3 ft", "7 ft under the ceiling"},
		{"cable 11 m above the floor", "cable_height: 11 ft", "cable_height: 11 m", 2, "warning", "plans[1].cable_height", "cable_height: 11 m", "over the ceiling"},
		{"a ceiling of 3 ft", "ceiling: 10 ft", "ceiling: 3 ft", 2, "warning", "plans[1].ceiling", "ceiling: 3 ft", "nobody can stand there"},
		{"both levels at one elevation", "elevation: 14 ft", "elevation: 0 ft", 1, "warning", "plans[1].elevation", "elevation: 0 ft", "both at 0 ft and lie over each other"},
		{"a level 140 ft up", "elevation: 14 ft", "elevation: 140 ft", 1, "warning", "plans[1].elevation", "elevation: 140 ft", "140 ft above Level 1"},
		{"inches for feet", "elevation: 14 ft", "elevation: 14 in", 1, "warning", "plans[1].elevation", "elevation: 14 in", "below its ceiling of 10 ft"},
		{"a level below the one that it is over", "elevation: 14 ft", "elevation: -14 ft", 1, "warning", "plans[1].elevation", "elevation: -14 ft", "by their names it is below"},
		{"waste of 1000 %", "waste: 10%", "waste: 1000%", 1, "warning", "allowances.waste", "allowances: ", "11 times what is laid"},
		{"kohm for ohm", "max_resistance: 42 ohm", "max_resistance: 42 kohm", 2, "warning", "circuits[1].max_resistance", "max_resistance: 42 kohm", "circuit SLC-2 may have 42"},
		{"no such wall layer", walls, `walls: ["A-WAL"]`, 1, "warning", "plans[0].walls", "walls: ", "nothing is drawn on A-WAL in level-1.dxf, so no wall is known there: walls seem to be on A-WALL, A-WALL-FIRE, A-GLAZ"},
		{"one wall layer of three mistyped", `"A-GLAZ"]`, `"A-GLASS"]`, 2, "warning", "plans[1].walls", "walls: ", "nothing is drawn on A-GLASS in level-2.dxf: walls seem to be on A-GLAZ"},
		{"a panel outside the plan", panel, "at: {level: Level 1, point: [-9000, 0]}", 1, "warning", "panels[0].at", "at: ", "outside the plan"},
		{"a panel on the other level", panel, "at: {level: Level 2, point: [700, 300]}", 1, "warning", "panels[0].at", "at: ", "block FACP stands on Level 1 at 1548, 744 of level-1.dxf"},
		{"a panel away from its symbol", panel, "at: {level: Level 1, point: [700, 300]}", 1, "warning", "panels[0].at", "at: ", "block FACP stands on Level 1 at 1548, 744 of level-1.dxf"},
		{"a datum 100 ft off", "    datum: [0, 0]\n", "    datum: [1200, 0]\n", 1, "warning", "plans[1].datum", "datum: ", "Level 2 is 100 ft away from where it stands above Level 1: datum: [0, 0] would bring them together"},
		{"a datum of the first level off", "datum: [0, 0]  ", "datum: [600, 0]  ", 1, "warning", "plans[1].datum", "datum: ", "datum: [600, 0] would bring them together"},
		{"a datum on one level only", "    datum: [0, 0]\n", "", 1, "warning", "plans[1].datum", "- drawing: level-2.dxf", "datum: [500, 20] would bring them together"},
		{"a level turned by a quarter", "    datum: [0, 0]\n", "    datum: [0, 0]\n    turned: 90\n", 1, "warning", "plans[1].turned", "turned: 90", "turned: 0 would bring them together"},
		{"a level turned by half", "    datum: [0, 0]\n", "    datum: [0, 0]\n    turned: 180\n", 1, "warning", "plans[1].turned", "turned: 180", "turned: 0 would bring them together"},
		{"the first level turned by a quarter", "    elevation: 0 ft\n", "    elevation: 0 ft\n    turned: 90\n", 1, "warning", "plans[0].turned", "turned: 90", "is not turned against it by 90 degrees"},
		{"a riser that is on no plan", "match: [{block: FA-RISER}]", "match: [{block: RISER}]", 1, "warning", "risers[0].match", "match: ", "riser Shaft was not found on any plan"},
	}
}

// TestFatalMistakes makes those slips without which nothing can be laid, or read: the
// error names the key's line.
func TestFatalMistakes(t *testing.T) {
	dir, base := demoFolder(t)
	for i, m := range []mistake{
		{"a panel that a region cuts off", "elevation: 0 ft\n", "elevation: 0 ft\n    region: [0, 0, 300, 300]\n", 1, "", "", "region: ",
			"panel FACP: its symbol at 1548, 744 on level-1.dxf is outside the region of Level 1"},
		{"a panel in a part to ignore", "- [1330, -730, 1990, -300] ", "- [-100, -100, 2400, 1800] ", 1, "", "", "- [-100", "is in a part to ignore"},
		{"a panel that no symbol fits", panel, "match: [{block: FCAP}]", 1, "", "", "match: ", "panel FACP was not found on any plan: check its match rule"},
		{"typographic quotes", `block: "FA-HEAT"`, "block: \u201cFA-HEAT\u201d", 1, "", "", "match: ", `write "FA-HEAT"`},
		{"typographic quotes around a name", "name: Heat detector", "name: \u201eHeat detector\u201c", 1, "", "", "name: ", `write "Heat detector"`},
	} {
		t.Run(m.name, func(t *testing.T) {
			file := filepath.Join(dir, fmt.Sprintf("fatal%d.yaml", i))
			text := replaced(t, base, m.old, m.new, m.nth)
			if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
				t.Fatal(err)
			}
			var out, errs bytes.Buffer
			if code := Run([]string{"check", file, "--json"}, strings.NewReader(""), &out, &errs); code != exitFailed {
				t.Fatalf("exit %d", code)
			}
			f, more := readFailure(t, out.Bytes())
			if f.File != file || f.Line == 0 || len(more) > 0 {
				t.Fatalf("%+v %+v", f, more)
			}
			if line := strings.TrimSpace(strings.Split(text, "\n")[f.Line-1]); !strings.HasPrefix(line, m.line) || !strings.Contains(f.Message, m.says) {
				t.Errorf("%+v on the line %q", f, line)
			}
		})
	}
}

// demoFolder is the built-in demo in a folder of its own, and its job file.
func demoFolder(t *testing.T) (dir, job string) {
	t.Helper()
	dir = t.TempDir()
	err := fs.WalkDir(testdata.Demo, "demo", func(p string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		data, err := fs.ReadFile(testdata.Demo, p)
		if err == nil {
			err = os.WriteFile(filepath.Join(dir, filepath.Base(p)), data, 0o600)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(filepath.Join(dir, "job.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	return dir, string(data)
}

// located is a finding that names its key of the job file.
type located struct {
	Severity, Message, Key string
	Line                   int
}

// checked runs check and lists the findings about keys of the job file.
func checked(t *testing.T, file, text string) (about []located) {
	t.Helper()
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	var out, errs bytes.Buffer
	code := Run([]string{"check", file, "--json"}, strings.NewReader(""), &out, &errs)
	var r struct{ Findings []located }
	if err := json.Unmarshal(out.Bytes(), &r); err != nil || code != exitDone && code != exitFindings {
		t.Fatalf("exit %d: %v\n%s", code, err, errs.String())
	}
	for _, f := range r.Findings {
		if f.Key != "" {
			about = append(about, f)
		}
	}
	return about
}

// replaced replaces the nth occurrence of a text, all for 0.
func replaced(t *testing.T, text, old, new string, nth int) string {
	t.Helper()
	parts := strings.Split(text, old)
	if len(parts) <= max(nth, 1) {
		t.Fatalf("the demo job does not hold %q %d times", old, max(nth, 1))
	}
	if nth == 0 {
		return strings.Join(parts, new)
	}
	return strings.Join(parts[:nth], old) + new + strings.Join(parts[nth:], old)
}

// TestMistakes makes one slip after the other in the job file of the demo. Each gives
// one finding, which names the key and its line; the demo as it is gives none.
func TestMistakes(t *testing.T) {
	dir, base := demoFolder(t)
	if about := checked(t, filepath.Join(dir, "job.yaml"), base); len(about) > 0 {
		t.Fatalf("the demo itself: %+v", about)
	}
	from, to := strings.Index(base, "\ncircuits:\n"), strings.Index(base, "\ncables:\n")
	few := "\ncircuits: [{circuit: PWR-1, kind: power, panel: FACP, cable: 14/2}]" // next to nothing is laid
	quick := base[:from] + few + strings.Repeat("\n", strings.Count(base[from:to], "\n")-1) + base[to:]
	for i, m := range mistakes() {
		t.Run(m.name, func(t *testing.T) {
			name := fmt.Sprintf("case%d.yaml", i)
			text := quick
			if strings.HasPrefix(m.key, "circuits") {
				text = base
			}
			if m.new == "" { // what is deleted matters only where the other level has another
				text = replaced(t, text, "datum: [0, 0]  ", "datum: [500, 20]  ", 1)
			}
			text = replaced(t, text, m.old, m.new, m.nth)
			about := checked(t, filepath.Join(dir, name), text)
			if len(about) != 1 {
				t.Fatalf("%d findings about the job file, want one: %+v", len(about), about)
			}
			f := about[0]
			line := strings.TrimSpace(strings.Split(text, "\n")[f.Line-1])
			if f.Severity != m.severity || f.Key != m.key || !strings.HasPrefix(line, m.line) || !strings.Contains(f.Message, m.says) {
				t.Errorf("%+v on the line %q", f, line)
			}
			if place := fmt.Sprintf("%s:%d: ", name, f.Line); !strings.HasPrefix(f.Message, place) {
				t.Errorf("the message does not begin with %s", place)
			}
		})
	}
}
