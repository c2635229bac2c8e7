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
	s := sheet{Drawing: d.Name, Height: 1, Layers: "E-FIRE-{kind}", Walls: []string{"*WALL*"}, Views: []view{{Level: "Level 1"}}}
	if lo, hi, ok := extents(d); ok {
		s.Height = max(hi.X-lo.X, hi.Y-lo.Y, 1e-3) / 200
	}
	ins, _, _ := d.Inserts(dxf.Options{})
	devices := map[string]bool{}
	for i := range ins {
		if len(s.Marks) == 60 {
			break
		}
		in := &ins[i]
		at := geom.Pt(in.Pos.X, in.Pos.Y)
		if len(in.Path) > 0 || !at.IsFinite() || max(abs(at.X), abs(at.Y)) > 1e9 {
			continue
		}
		id := fmt.Sprintf("L1-%03d", i)
		devices[id] = true
		s.Marks = append(s.Marks, mark{ID: id, Text: fmt.Sprintf("SLC-1-%03d", i), Kind: kindAddress, At: at, Symbol: geom.Around(at, s.Height, s.Height), Handle: in.Handle.String()})
	}
	if len(s.Marks) == 0 {
		s.Marks = []mark{{ID: "L1-001", Text: "SLC-1-001", Kind: kindAddress}}
	}
	s.Panels = []spot{{Name: "FACP", At: s.Marks[0].At.Add(geom.Pt(-5*s.Height, 0))}}
	s.Views[0].Routes = []route{loop(s, devices), branched(s, devices)}
	s.Schedule = &schedule{Title: "DEVICE SCHEDULE", Head: []string{"DEVICE", "ROOM"}}
	for _, m := range s.Marks {
		s.Schedule.Rows = append(s.Schedule.Rows, []string{m.ID, "101 Büro Ω 50% ^"})
	}
	s.Riser = &riserDiagram{Levels: []string{"Level 2", "Level 1"}, Panels: []riserPanel{{"FACP", 1}},
		Columns: []riserColumn{{Returns: true, Head: []string{"SLC-1"}, Cells: map[int][]string{0: {"3 SMOKE"}, 1: {"9 SMOKE", "1 HEAT"}}}, {Head: []string{"NAC-1"}, Cells: map[int][]string{1: {"2 HORN", "EOL"}}}}}
	return s
}

func abs(x float64) float64 { return max(x, -x) }

func loop(s sheet, devices map[string]bool) route {
	r := route{Circuit: "SLC-1", Kind: takeoff.SLC, Returns: true, Panel: "FACP", Devices: devices}
	from, at := "FACP", s.Panels[0].At
	for _, m := range s.Marks {
		r.Legs = append(r.Legs, leg{From: from, To: m.ID, Points: []geom.Point{at, {X: m.At.X, Y: at.Y}, m.At}, Start: true, End: true})
		from, at = m.ID, m.At
	}
	r.Legs = append(r.Legs, leg{From: from, To: "FACP", Return: true, Points: []geom.Point{at, s.Panels[0].At}, Start: true, End: true})
	r.Added = []added{{Beside: s.Marks[0].ID, From: "FACP", To: s.Marks[0].ID}}
	return r
}

func branched(s sheet, devices map[string]bool) route {
	r := route{Circuit: "NAC-1", Kind: takeoff.NAC, Panel: "FACP", Devices: devices}
	tap := s.Marks[0].At.Add(geom.Pt(4*s.Height, 9*s.Height))
	r.Legs = append(r.Legs, leg{From: "FACP", To: "T1", Points: []geom.Point{s.Panels[0].At, tap}, Start: true, End: true})
	for _, m := range s.Marks[:min(2, len(s.Marks))] {
		r.Legs = append(r.Legs, leg{From: "T1", To: m.ID, Points: []geom.Point{tap, m.At}, Start: true, End: true})
	}
	r.Legs = append(r.Legs, leg{From: "T1", To: "L2-001", Points: []geom.Point{tap, tap.Add(geom.Pt(9*s.Height, 0))}, Start: true, Other: "Level 2"})
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
