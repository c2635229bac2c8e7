package drafting

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"loopwright/takeoff"
	"loopwright/takeoff/dxf"
	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/geom"
)

func TestLayerNames(t *testing.T) {
	for _, c := range []struct {
		pattern        string
		kind           kind
		circuit, level string
		want           string
	}{
		{"E-FIRE-{kind}", kindAddress, "SLC-1", "Level 1", "E-FIRE-ADDR"},
		{"E-FIRE-{kind}", kindSignal, "", "", "E-FIRE-ROUT-SIGL"},
		{"E-{level}-{kind}-{circuit}", kindNotify, "", "Level 1", "E-LEVEL-1-ROUT-NOTF"},
		{"f-prot {kind} é", kindTable, "", "", "F-PROT-SCHD"},
		{"a very long name for a layer {kind}", kindSignal, "", "", "A-VERY-LONG-NAME-FOR-ROUT-SIGL"},
		{"{circuit}", kindAddress, "", "", "LOOPWRIGHT"},
	} {
		got := layerName(c.pattern, c.kind, c.circuit, c.level)
		if got != c.want || len(got) > longestName {
			t.Errorf("%s %s: %q (%d letters), want %q", c.pattern, c.kind, got, len(got), c.want)
		}
	}
}

func TestWays(t *testing.T) {
	w := way{{X: 0}, {X: 10}, {X: 10, Y: 10}}
	box := geom.Around(geom.Pt(0, 0), 4, 4)
	if got := w.from(rectAround([]geom.Point{box.Min, box.Max}, 0)); len(got) != 3 || got[0].Dist(geom.Pt(2, 0)) > 1e-9 {
		t.Errorf("cut at the symbol: %v", got)
	}
	if got := (way{{X: 0}, {X: 1}}).from(rectAround([]geom.Point{box.Min, box.Max}, 0)); got != nil {
		t.Errorf("a run inside its symbol: %v", got)
	}
	window := geom.Box{Min: geom.Pt(-1, -1), Max: geom.Pt(5, 5)}
	if got := w.within(&window); len(got) != 1 || got[0][1] != geom.Pt(5, 0) {
		t.Errorf("cut to a window: %v", got)
	}
	back := way{{X: 0}, {X: 9}, {X: 9, Y: 2}, {X: 0, Y: 2}}
	if got := back.within(&window); len(got) != 2 {
		t.Errorf("a run that leaves the window and comes back is %d pieces, want 2: %v", len(got), got)
	}
	if p, d, ok := w.along(13); !ok || p.Dist(geom.Pt(10, 3)) > 1e-9 || d != geom.Pt(0, 1) {
		t.Errorf("along: %v %v %v", p, d, ok)
	}
	if _, _, ok := w.along(21); ok {
		t.Error("a place beyond the end")
	}
}

func TestBeside(t *testing.T) {
	plan := geom.Box{Min: geom.Pt(10, 10), Max: geom.Pt(90, 90)}
	frame := []geom.Box{{Min: geom.Pt(0, 0), Max: geom.Pt(100, 0)}, {Min: geom.Pt(100, 0), Max: geom.Pt(100, 100)}, {Min: geom.Pt(0, 0), Max: geom.Pt(0, 100)}}
	stray := geom.Box{Min: geom.Pt(1e6, 0), Max: geom.Pt(1e6+1, 1)}
	drawn := slices.Concat(frame, []geom.Box{stray})
	b := cluster(drawn, plan)
	if b != (geom.Box{Min: geom.Pt(0, 0), Max: geom.Pt(100, 100)}) {
		t.Errorf("the sheet is %v", b)
	}
	box := func(x1, y1, x2, y2 float64) geom.Box { return geom.Box{Min: geom.Pt(x1, y1), Max: geom.Pt(x2, y2)} }
	next, left, under, over := box(150, 50, 200, 90), box(-50, 0, -20, 50), box(0, -90, 50, -40), box(20, 120, 30, 150)
	for _, c := range []struct {
		what string
		more []geom.Box
		size geom.Point
		want geom.Point
	}{
		{"alone", nil, geom.Pt(60, 80), geom.Pt(104, 100)},
		{"between the sheets", []geom.Box{next}, geom.Pt(40, 80), geom.Pt(104, 100)},
		{"to the left", []geom.Box{next}, geom.Pt(60, 80), geom.Pt(-64, 100)},
		{"below", []geom.Box{next, left}, geom.Pt(60, 80), geom.Pt(0, -4)},
		{"above", []geom.Box{next, left, under}, geom.Pt(60, 80), geom.Pt(0, 184)},
		{"right of the next sheet", []geom.Box{next, left, under, over}, geom.Pt(60, 80), geom.Pt(204, 100)},
	} {
		d := append(slices.Clone(drawn), c.more...)
		p := beside(d, b, c.size, 4)
		if p != c.want {
			t.Errorf("%s: room at %v, want %v", c.what, p, c.want)
		}
		if !free(d, spread(p, c.size)) {
			t.Errorf("%s: the room at %v is taken", c.what, p)
		}
	}
}

func TestReadingDirection(t *testing.T) {
	var r reading
	for i := range 9 {
		r.add(geom.Pt(float64(i), 0), 0)
	}
	for i := range 3 {
		r.add(geom.Pt(100+float64(i), 0), 210)
		r.add(geom.Pt(200+float64(i), 0), 90)
	}
	if got := r.main(nil, 40); got != 0 {
		t.Errorf("main direction %g", got)
	}
	for _, c := range []struct{ x, want float64 }{{4, 0}, {101, 30}, {201, 0}, {400, 0}} {
		if got := r.near(geom.Pt(c.x, 1), 20, 0); got != c.want {
			t.Errorf("at %g labels run along %g, want %g", c.x, got, c.want)
		}
	}
	if got := (&reading{}).main(nil, 107); got != 17 {
		t.Errorf("without texts, along %g, want 17", got)
	}
}

// fixture is a drawing of the writer's own tests.
func fixture(t *testing.T, name string) *dxf.Drawing {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("..", "..", "..", "takeoff", "dxf", "edit", "testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	d, err := dxf.Parse(name, b)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// TestAttribute writes labels into the attribute that symbols have, and beside
// those that have none; every change is reported and taken back.
func TestAttribute(t *testing.T) {
	for _, name := range []string{"r12-handles.in.dxf", "r2000.in.dxf", "r2018.in.dxf"} {
		d := fixture(t, name)
		ins, _, err := d.Inserts(dxf.Options{})
		if err != nil {
			t.Fatal(err)
		}
		s := sheet{drawing: name, height: 2, layers: "E-FIRE-{kind}", views: []view{{level: "Level 1"}}}
		with, tag := 0, ""
		for i := range ins {
			in := &ins[i]
			at := geom.Pt(in.Pos.X, in.Pos.Y)
			if len(in.Attribs) > 0 && with == 0 {
				tag = in.Attribs[0].Tag
				with++
			}
			s.marks = append(s.marks, mark{id: in.Block, text: "1-00" + string(rune('1'+i)), kind: kindAddress, at: at, symbol: geom.Around(at, 4, 4), handle: in.Handle.String(), nested: len(in.Path) > 0})
		}
		if tag == "" {
			t.Fatalf("%s: no symbol with an attribute", name)
		}
		s.attribute = strings.ToLower(tag)
		into := attributesOf(d, &s)
		a, err := annotate(d, s)
		if err != nil {
			t.Fatal(err)
		}
		changed := 0
		for _, f := range a.Findings {
			if f.Code == codeAttribute {
				changed++
				if f.Severity != takeoff.Note || f.Handle == "" {
					t.Errorf("%s: %v", name, f)
				}
			}
		}
		if len(into) == 0 || changed != len(into) || a.Labels != len(s.marks)-changed {
			t.Errorf("%s: %d to change, %d changed, %d texts for %d devices", name, len(into), changed, a.Labels, len(s.marks))
		}
		if back, err := edit.Strip(name, a.Bytes); err != nil || !bytes.Equal(back, d.Bytes) {
			t.Errorf("%s: the old values do not come back (%v)", name, err)
		}
	}
}

// TestForeignLayer leaves a layer that has our name alone and says so.
func TestForeignLayer(t *testing.T) {
	d, err := dxf.Open(filepath.Join("..", "..", "..", "testdata", "traps", "turned", "level-1.dxf"))
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	const theirs = "A-WALL"
	s := sheet{drawing: d.Name, height: 2, layers: theirs, marks: []mark{{id: "L1-001", text: "1-001", kind: kindAddress}}}
	a, err := annotate(d, s)
	if err != nil {
		t.Fatal(err)
	}
	if len(a.Findings) != 1 || a.Findings[0].Code != codeLayerHad || !strings.Contains(a.Findings[0].Message, theirs) {
		t.Errorf("findings %v", a.Findings)
	}
}

// TestNoPlace draws a label that fits nowhere and reports where.
func TestNoPlace(t *testing.T) {
	var b strings.Builder
	writeTags(&b, "0 SECTION\n2 ENTITIES")
	for y := -900; y <= 900; y += 10 { // lines so close that no text of 20 fits between two
		writeTags(&b, fmt.Sprintf("0 LINE\n8 A-WALL\n10 -900\n20 %d\n11 900\n21 %d", y, y))
	}
	writeTags(&b, "0 ENDSEC\n0 EOF")
	d, err := dxf.Parse("lines.dxf", []byte(b.String()))
	if err != nil {
		t.Fatal(err)
	}
	s := sheet{drawing: "lines.dxf", height: 20, layers: "E-FIRE-{kind}", walls: []string{"A-WALL"},
		marks: []mark{{id: "L1-001", text: "1-001", kind: kindAddress, symbol: geom.Around(geom.Point{}, 4, 4)}}}
	a, err := annotate(d, s)
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, f := range a.Findings {
		if f.Code == codeNoPlace && f.Placed {
			n++
		}
	}
	if n != 1 || a.Unplaced != 1 || !bytes.Contains(a.Bytes, []byte("1-001")) {
		t.Errorf("%d findings for %d labels without a place", n, a.Unplaced)
	}
}

// marked counts the records with our extended data by type and kind.
func marked(drawing []byte) map[string]int {
	kinds, typ, ours := map[string]int{}, "", false
	lines := strings.Split(strings.ReplaceAll(string(drawing), "\r\n", "\n"), "\n")
	for i := 0; i+1 < len(lines); i += 2 {
		code, value := strings.TrimSpace(lines[i]), lines[i+1]
		switch {
		case code == "0":
			typ = value
		case code == "1000" && ours:
			kinds[typ+" "+value]++
		}
		ours = code == "1001" && value == "LOOPWRIGHT"
	}
	return kinds
}

// TestEndsAndTaps counts the marks of a looped and a branched circuit.
func TestEndsAndTaps(t *testing.T) {
	d := fixture(t, "r2000.in.dxf")
	s := everything(d)
	a, err := annotate(d, s)
	if err != nil {
		t.Fatal(err)
	}
	out, err := dxf.Parse("out.dxf", a.Bytes)
	if err != nil {
		t.Fatal(err)
	}
	drawn, _, err := out.Texts(dxf.Options{})
	if err != nil {
		t.Fatal(err)
	}
	texts, kinds := map[string]int{}, marked(a.Bytes)
	for _, x := range drawn {
		texts[x.Text]++
	}
	ends := min(2, len(s.marks))
	for what, want := range map[string]int{"EOL": ends + 1, "SLC-1 OUT": 1, "SLC-1 RETURN": 1, "NAC-1": 3, "TO LEVEL 2": 1, "ADD ISO SLC-1": 1, "DEVICE SCHEDULE": 1, "RISER DIAGRAM": 1} {
		// NAC-1 stands at its homerun, in the note at the shaft and in the riser diagram, which names the end too.
		if texts[what] != want {
			t.Errorf("%d texts %q, want %d", texts[what], what, want)
		}
	}
	for what, want := range map[string]int{"LWPOLYLINE ROUT-TTAP": 1, "LWPOLYLINE ISOL": 1, "SOLID HOME": 3} {
		if kinds[what] != want {
			t.Errorf("%d of %q, want %d; all: %v", kinds[what], what, want, kinds)
		}
	}
}

// Where a CAD program drops our marks, the layers are known by their names.
func TestEveryKindOfLayerIsKnownAgain(t *testing.T) {
	for k := range looks {
		if !slices.Contains(edit.Layers, string(k)) {
			t.Errorf("edit.Layers lacks %s", k)
		}
	}
	if len(edit.Layers) != len(looks) {
		t.Errorf("edit.Layers has %d names and there are %d kinds", len(edit.Layers), len(looks))
	}
}
