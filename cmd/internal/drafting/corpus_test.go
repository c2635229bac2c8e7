package drafting

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"loopwright/takeoff"
	"loopwright/takeoff/dxf"
	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/geom"
	"loopwright/testdata/against"
)

// drawings are those of the project.
func drawings() []string {
	data := filepath.Join("..", "..", "..", "testdata")
	own, _ := filepath.Glob(filepath.Join(data, "*", "*.dxf"))
	traps, _ := filepath.Glob(filepath.Join(data, "traps", "*", "*.dxf"))
	return append(own, traps...)
}

// extents reads $EXTMIN and $EXTMAX; false where they are absent or hold no box.
func extents(d *dxf.Drawing) (lo, hi geom.Point, ok bool) {
	read := func(name string) geom.Point {
		p, at := geom.Pt(math.NaN(), math.NaN()), ""
		for sc := d.Scanner(d.Body, len(d.Bytes)); ; {
			t, ok := sc.Next()
			if !ok || t.Code == 0 && d.Word(t) == "ENDSEC" {
				return p
			}
			switch f, _ := d.Float(t); {
			case t.Code == 9:
				at = d.Word(t)
			case at == name && t.Code == 10:
				p.X = f
			case at == name && t.Code == 20:
				p.Y = f
			}
		}
	}
	lo, hi = read("$EXTMIN"), read("$EXTMAX")
	return lo, hi, lo.X <= hi.X && lo.Y <= hi.Y && hi.X-lo.X < 1e19
}

// everything asks for one of each kind on any drawing: labels at its first
// inserts, a looped circuit and a branched one between them, tables.
func everything(d *dxf.Drawing) sheet {
	s := sheet{drawing: d.Name, height: 1, layers: "E-FIRE-{kind}", walls: []string{"*WALL*"}, views: []view{{level: "Level 1"}}}
	if lo, hi, ok := extents(d); ok {
		s.height = max(hi.X-lo.X, hi.Y-lo.Y, 1e-3) / 200
	}
	ins, _, _ := d.Inserts(dxf.Options{})
	devices := map[string]bool{}
	for i := range ins {
		if len(s.marks) == 60 {
			break
		}
		in := &ins[i]
		at := geom.Pt(in.Pos.X, in.Pos.Y)
		if len(in.Path) > 0 || !at.IsFinite() || max(abs(at.X), abs(at.Y)) > 1e9 {
			continue
		}
		id := fmt.Sprintf("L1-%03d", i)
		devices[id] = true
		s.marks = append(s.marks, mark{id: id, text: fmt.Sprintf("SLC-1-%03d", i), kind: kindAddress, at: at, symbol: geom.Around(at, s.height, s.height), handle: in.Handle.String()})
	}
	if len(s.marks) == 0 {
		s.marks = []mark{{id: "L1-001", text: "SLC-1-001", kind: kindAddress}}
	}
	s.panels = []spot{{name: "FACP", at: s.marks[0].at.Add(geom.Pt(-5*s.height, 0))}}
	s.views[0].routes = []route{loop(s, devices), branched(s, devices)}
	s.schedule = &schedule{title: "DEVICE SCHEDULE", head: []string{"DEVICE", "ROOM"}}
	for _, m := range s.marks {
		s.schedule.rows = append(s.schedule.rows, []string{m.id, "101 Büro Ω 50% ^"})
	}
	s.riser = &riserDiagram{levels: []string{"Level 2", "Level 1"}, panels: []riserPanel{{"FACP", 1}},
		columns: []riserColumn{{returns: true, head: []string{"SLC-1"}, cells: map[int][]string{0: {"3 SMOKE"}, 1: {"9 SMOKE", "1 HEAT"}}}, {head: []string{"NAC-1"}, cells: map[int][]string{1: {"2 HORN", "EOL"}}}}}
	return s
}

func abs(x float64) float64 { return max(x, -x) }

func loop(s sheet, devices map[string]bool) route {
	r := route{circuit: "SLC-1", kind: takeoff.SLC, returns: true, panel: "FACP", devices: devices}
	from, at := "FACP", s.panels[0].at
	for _, m := range s.marks {
		r.legs = append(r.legs, leg{from: from, to: m.id, points: []geom.Point{at, {X: m.at.X, Y: at.Y}, m.at}, start: true, end: true})
		from, at = m.id, m.at
	}
	r.legs = append(r.legs, leg{from: from, to: "FACP", Return: true, points: []geom.Point{at, s.panels[0].at}, start: true, end: true})
	r.added = []added{{beside: s.marks[0].id, from: "FACP", to: s.marks[0].id}}
	return r
}

func branched(s sheet, devices map[string]bool) route {
	r := route{circuit: "NAC-1", kind: takeoff.NAC, panel: "FACP", devices: devices}
	tap := s.marks[0].at.Add(geom.Pt(4*s.height, 9*s.height))
	r.legs = append(r.legs, leg{from: "FACP", to: "T1", points: []geom.Point{s.panels[0].at, tap}, start: true, end: true})
	for _, m := range s.marks[:min(2, len(s.marks))] {
		r.legs = append(r.legs, leg{from: "T1", to: m.id, points: []geom.Point{tap, m.at}, start: true, end: true})
	}
	r.legs = append(r.legs, leg{from: "T1", to: "L2-001", points: []geom.Point{tap, tap.Add(geom.Pt(9*s.height, 0))}, start: true, other: "Level 2"})
	return r
}

// everyDrawing annotates each drawing that can be edited with one of everything,
// and gives what came of it to use. It returns how many there were.
func everyDrawing(t *testing.T, files []string, use func(i int, f string, original []byte, a Annotated, s sheet)) int {
	t.Helper()
	done, refused := 0, 0
	for i, f := range files {
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		d, err := dxf.Parse(filepath.Base(f), b)
		if err != nil {
			continue
		}
		s := everything(d)
		a, err := annotate(d, s)
		if err != nil {
			refused++
			t.Logf("refused: %s: %v", filepath.Base(f), err)
			continue
		}
		done++
		use(i, f, b, a, s)
	}
	t.Logf("%d drawings annotated, %d refused", done, refused)
	if done < 30 {
		t.Errorf("only %d drawings annotated", done)
	}
	return done
}

func TestEveryDrawing(t *testing.T) {
	everyDrawing(t, drawings(), func(_ int, f string, original []byte, a Annotated, s sheet) { sameAgain(t, f, original, a, s) })
}

// TestAgainstOpenDrawings does the same with real drawings.
func TestAgainstOpenDrawings(t *testing.T) {
	files, _ := filepath.Glob(filepath.Join(against.Folder(t, "dxf", "open"), "*.dxf"))
	everyDrawing(t, files, func(_ int, f string, original []byte, a Annotated, s sheet) { sameAgain(t, f, original, a, s) })
}

// TestAgainstEzdxf: an independent reader finds nothing new to say about the
// annotated drawings.
func TestAgainstEzdxf(t *testing.T) {
	python := against.Python(t, "ezdxf")
	dir := t.TempDir()
	n := everyDrawing(t, drawings(), func(i int, f string, original []byte, a Annotated, _ sheet) {
		name := filepath.Join(dir, fmt.Sprintf("%03d-%s", i, strings.TrimSuffix(filepath.Base(f), ".dxf")))
		for end, b := range map[string][]byte{".in.dxf": original, ".out.dxf": a.Bytes} {
			if err := os.WriteFile(name+end, b, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	})
	audit(t, python, dir, n)
}

// sameAgain: taking it off again gives the same bytes, and so does doing it twice.
func sameAgain(t *testing.T, f string, original []byte, a Annotated, s sheet) {
	t.Helper()
	back, err := edit.Strip(f, a.Bytes)
	if err != nil || !bytes.Equal(back, original) {
		t.Errorf("%s: taking it off does not give the original back (%v)", f, err)
	}
	d, err := dxf.Parse(filepath.Base(f), a.Bytes)
	if err != nil {
		t.Fatal(err)
	}
	again, err := annotate(d, s)
	if err != nil || !bytes.Equal(again.Bytes, a.Bytes) {
		t.Errorf("%s: a second run gives other bytes (%v)", f, err)
	}
}

// audit holds drawings and copies against ezdxf.
func audit(t *testing.T, python, dir string, pairs int) {
	t.Helper()
	out, err := exec.Command(python, filepath.Join("testdata", "audit.py"), dir).Output()
	if err != nil {
		t.Fatalf("audit: %v", err)
	}
	lines := strings.Split(strings.TrimSpace(string(out)), "\n")
	if len(lines) != pairs {
		t.Errorf("%d pairs audited of %d", len(lines), pairs)
	}
	unread := 0
	for _, l := range lines {
		var fresh string
		var ours int
		var name string
		fmt.Sscan(l, &fresh, &ours, &name)
		switch {
		case fresh == "unread":
			unread++
		case fresh != "0":
			t.Errorf("%s: %s new entries in the audit", filepath.Base(name), fresh)
		case ours < 20:
			t.Errorf("%s: ezdxf reads %d entities of ours", filepath.Base(name), ours)
		}
	}
	t.Logf("ezdxf read %d pairs; %d originals it cannot read", len(lines)-unread, unread)
}
