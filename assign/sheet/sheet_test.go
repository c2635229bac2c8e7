package sheet

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/image/font/gofont/goregular"
	"pgregory.net/rapid"

	"loopwright/assign"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
	"loopwright/testdata/against"
)

// samples draws one document of each kind.
func samples(t testing.TB, j Job) map[string]Document {
	t.Helper()
	c := every(t, assign.Scheme{Name: "binary7"})
	c.Rows = c.Rows[:25]
	extent := geom.Box{Max: geom.Pt(30, 20)}
	plan := Plan{Level: "Level 1", Layout: FitPlan(j, extent),
		Lines:  []PlanLine{{Points: []geom.Point{{X: 0, Y: 0}, {X: 30, Y: 0}, {X: 30, Y: 20}, {X: 0, Y: 20}}, Closed: true}},
		Texts:  []PlanText{{At: geom.Pt(3, 3), Height: 0.3, Rotation: 90, Text: "ROOM"}},
		Routes: []PlanRoute{{Circuit: "SLC-1", Ways: [][]geom.Point{{{X: 1, Y: 1}, {X: 9, Y: 1}}}}},
		Marks:  []PlanMark{{ID: "D-1", Key: "S", At: geom.Pt(9, 1), Text: "1", TextAt: geom.Pt(9.5, 1)}},
		Legend: []PlanKind{{Key: "S", Name: "Smoke detector", Count: 1}}}
	out := map[string]Document{}
	add := func(name string, d Document, err error) {
		t.Helper()
		if err != nil {
			t.Fatal(name, err)
		}
		out[name] = d
	}
	d, err := SwitchSheets(j, []Circuit{c}, SwitchOptions{})
	add("switch sheets", d, err)
	d, err = Labels(j, usualGrid, []Sticker{{Circuit: "SLC-1", ID: "D-1", Address: 90, Room: "103 READING ROOM"}})
	add("labels", d, err)
	d, err = TestSheet(j, []Test{{Circuit: "SLC-1", Kind: takeoff.SLC, Panel: "P", Pathway: "A", Ends: []End{{ID: "P", Return: true, Ohm: 17.5, Ohm20: 14.4, Limit: 50}}}})
	add("test sheet", d, err)
	d, err = Plans(j, []Plan{plan})
	add("plans", d, err)
	return out
}

// usualGrid is a common sheet of thirty on letter paper.
var usualGrid = Grid{Columns: 3, Rows: 10, Size: geom.Pt(2.625*0.0254, 0.0254), Margins: geom.Pt(0.1875*0.0254, 0.5*0.0254), Pitch: geom.Pt(2.75*0.0254, 0.0254)}

func TestSameValuesSameBytes(t *testing.T) {
	for _, j := range []Job{{Name: "Test"}, {Name: "Test", Units: measure.Metric, Revision: "B", Date: time.Date(2026, 3, 31, 0, 0, 0, 0, time.UTC)}} {
		first := samples(t, j)
		for name, d := range samples(t, j) {
			if !bytes.Equal(d.PDF, first[name].PDF) {
				t.Errorf("%s differ from run to run", name)
			}
			// The drawing library writes the clock's date: none but the job's may be left.
			dates, jobs := bytes.Count(d.PDF, []byte("(D:")), bytes.Count(d.PDF, []byte("(D:20260331)"))
			if dates != jobs || (jobs > 0) == j.Date.IsZero() {
				t.Errorf("%s carry %d dates, %d of them the job's", name, dates, jobs)
			}
		}
	}
}

// qpdf finds nothing wrong with any document.
func TestAgainstQPDF(t *testing.T) {
	qpdf := against.Program(t, "qpdf")
	for _, units := range []measure.System{measure.Imperial, measure.Metric} {
		for name, d := range samples(t, Job{Name: "Test", Units: units, Revision: "é"}) {
			out, err := exec.Command(qpdf, "--check", saved(t, d.PDF)).CombinedOutput()
			if err != nil || bytes.Contains(out, []byte("WARNING")) {
				t.Errorf("%s: %v\n%s", name, err, out)
			}
		}
	}
}

// Every address stands once in its row, as text that can be selected.
func TestAgainstPopplerAddressesOncePerRow(t *testing.T) {
	c := every(t, assign.Scheme{Name: "binary7"})
	doc, err := SwitchSheets(Job{Name: "Test"}, []Circuit{c}, SwitchOptions{})
	if err != nil {
		t.Fatal(err)
	}
	var got, want []string
	for _, ws := range words(t, saved(t, doc.PDF)) {
		for _, w := range large(ws) {
			got = append(got, w.Text)
		}
	}
	for a := 1; a <= 127; a++ {
		want = append(want, fmt.Sprint(a))
	}
	if !slices.Equal(got, want) {
		t.Errorf("addresses %v", got)
	}
}

// Stickers fall on the grid: each address in its own cell, from the start on.
func TestAgainstPopplerLabelsOnGrid(t *testing.T) {
	for _, start := range []int{0, 1, 8, 30} {
		g := usualGrid
		g.Start = start
		var ss []Sticker
		for a := range 35 {
			ss = append(ss, Sticker{Circuit: "SLC-1", ID: "D", Type: "x", Address: 300 + a, Room: "R"})
		}
		doc, err := Labels(Job{Name: "Test"}, g, ss)
		if err != nil {
			t.Fatal(err)
		}
		seen := 0
		for page, ws := range words(t, saved(t, doc.PDF)) {
			for _, w := range ws {
				var address int
				if _, err := fmt.Sscanf(w.Text, "%d", &address); err != nil || w.height() < 30 {
					continue
				}
				seen++
				place := address - 300 + max(start, 1) - 1
				if page != place/30 {
					t.Fatalf("start %d: address %d is on page %d", start, address, page)
				}
				// The cell by the maker's measures, in inches.
				x, y := 0.1875+2.75*float64(place%3), 0.5+float64(place%30/3)
				if w.XMin/72 < x || w.XMax/72 > x+2.625 || w.YMin/72 < y-0.1 || w.YMax/72 > y+1 {
					t.Errorf("start %d: address %d lies at %+v, outside of its label at %g, %g in", start, address, w, x, y)
				}
			}
		}
		if seen != 35 {
			t.Errorf("start %d: %d labels, want 35", start, seen)
		}
	}
}

// Lengths on paper against the meaning of the scales: at 1/8 in to the foot, 80 ft are 10 in.
func TestScales(t *testing.T) {
	for _, c := range []struct {
		units        measure.System
		w, h         float64 // metres
		sheet        string
		scale        int
		length, want float64 // metres, inches
	}{
		{measure.Imperial, 80 * 0.3048, 40 * 0.3048, "tabloid", 96, 80 * 0.3048, 10},
		{measure.Imperial, 30 * 0.3048, 20 * 0.3048, "tabloid", 48, 4 * 0.3048, 1},
		{measure.Imperial, 200 * 0.3048, 90 * 0.3048, "tabloid", 192, 16 * 0.3048, 1},
		{measure.Imperial, 300 * 0.3048, 90 * 0.3048, "18 x 24 in", 192, 16 * 0.3048, 1},
		{measure.Metric, 15, 10, "A3", 50, 0.5, 10 / 25.4},
		{measure.Metric, 60, 30, "A3", 200, 20, 100 / 25.4},
		{measure.Metric, 400, 100, "A3", 2000, 20, 10 / 25.4},
	} {
		l := FitPlan(Job{Units: c.units}, geom.Box{Max: geom.Pt(c.w, c.h)})
		if l.Sheet != c.sheet || l.Scale != c.scale || !l.Standard {
			t.Errorf("%g m x %g m: %s at 1:%d, want %s at 1:%d", c.w, c.h, l.Sheet, l.Scale, c.sheet, c.scale)
		}
		if got := l.Points(c.length) / 72; math.Abs(got-c.want) > 1e-9 {
			t.Errorf("1:%d: %g m are %g in on paper, want %g", l.Scale, c.length, got, c.want)
		}
	}
	if l := FitPlan(Job{}, geom.Box{Max: geom.Pt(90000, 10)}); l.Standard || !l.holds() {
		t.Errorf("90 km: %+v", l)
	}
}

// Whatever fits on a layout lies on it, and the scale bar is as long as it says.
func TestLayoutHoldsItsExtent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := Job{Units: rapid.SampledFrom([]measure.System{measure.Imperial, measure.Metric}).Draw(t, "units")}
		low := geom.Pt(rapid.Float64Range(-1e4, 1e4).Draw(t, "x"), rapid.Float64Range(-1e4, 1e4).Draw(t, "y"))
		e := geom.Box{Min: low, Max: low.Add(geom.Pt(rapid.Float64Range(0, 3000).Draw(t, "w"), rapid.Float64Range(0, 3000).Draw(t, "h")))}
		l := FitPlan(j, e)
		for _, p := range []geom.Point{e.Min, e.Max} {
			if x, y := l.at(p); x < l.area.x-1e-6 || x > l.area.x+l.area.w+1e-6 || y < l.area.y-1e-6 || y > l.area.y+l.area.h+1e-6 {
				t.Fatalf("%v lies at %g, %g, outside of %+v", p, x, y, l.area)
			}
		}
		units, w := l.barLength(j.Units)
		m := float64(units)
		if j.Units != measure.Metric {
			m *= 0.3048
		}
		if math.Abs(l.Metres(w)-m) > 1e-6*m || w > 500 {
			t.Fatalf("a bar of %d units is %g points long at 1:%d", units, w, l.Scale)
		}
	})
}

// A wall of 30 m is as long on the rendered page as the scale says.
func TestAgainstPixelsPlanIsToScale(t *testing.T) {
	for _, units := range []measure.System{measure.Imperial, measure.Metric} {
		j := Job{Name: "Test", Units: units}
		extent := geom.Box{Max: geom.Pt(30, 20)}
		l := FitPlan(j, extent.Grow(1))
		wall := PlanLine{Points: []geom.Point{{X: 0, Y: 0}, {X: 30, Y: 0}, {X: 30, Y: 20}, {X: 0, Y: 20}}, Closed: true}
		doc, err := Plans(j, []Plan{{Level: "Level 1", Layout: l, Lines: []PlanLine{wall}}})
		if err != nil {
			t.Fatal(err)
		}
		const dpi = 144
		pic := scans(t, saved(t, doc.PDF), dpi)[0]
		var upright []int // columns of pixels that hold a long light line
		for x := range pic.w {
			light := 0
			for y := range pic.h {
				if v := pic.pix[y*pic.w+x]; v > 120 && v < 250 {
					light++
				}
			}
			if float64(light) > 18/0.0254*dpi/float64(l.Scale) {
				upright = append(upright, x)
			}
		}
		if len(upright) < 2 {
			t.Fatalf("%d upright lines were found", len(upright))
		}
		got := float64(upright[len(upright)-1]-upright[0]) / dpi * 0.0254 * float64(l.Scale)
		if tolerance := 2.0 / dpi * 0.0254 * float64(l.Scale); math.Abs(got-30) > tolerance {
			t.Errorf("%s: 30 m measure %.2f m at 1:%d", units, got, l.Scale)
		}
	}
}

func TestFieldNames(t *testing.T) {
	if got := FieldName("SLC-1", "L1-023", FieldFound); got != "SLC-1/L1-023/found" {
		t.Error(got)
	}
	rapid.Check(t, func(t *rapid.T) {
		circuit, id := rapid.String().Draw(t, "circuit"), rapid.String().Draw(t, "id")
		name := FieldName(circuit, id, FieldOhm)
		c, d, what, ok := parseFieldName(name)
		if !ok || c != circuit || d != id || what != FieldOhm || strings.Contains(name, ".") {
			t.Fatalf("%q: %q %q %q %v", name, c, d, what, ok)
		}
	})
}

// What the switch drawing shows is written out beside it.
func TestAgainstPopplerRowSaysAll(t *testing.T) {
	set, _ := assign.Scheme{Name: "binary7"}.Encode(90)
	c := Circuit{Name: "SLC-1", Kind: takeoff.SLC, Panel: "FACP", Pathway: "A", Cable: "16/2", Scheme: assign.Scheme{Name: "binary7"}, Rows: []Row{
		{Order: 1, ID: "L1-023", Type: "Smoke detector", Level: "Level 1", Room: "103 READING ROOM", Address: 90, Span: 1, Setting: &set,
			Points: []assign.NumberedPoint{{Point: "90.1", Function: "smoke", Event: "111"}}, EndOfLine: 1,
			Options: []assign.OptionSetting{{Switch: "class A", On: true}, {Switch: "latch", On: false}},
			In:      []Neighbor{{Name: "FACP", Length: 10 * 0.3048}}, Out: []Neighbor{{Name: "L1-024", Address: 91, Length: 20 * 0.3048}}},
		{Order: 2, ID: "L1-900", Type: "Isolator", Isolates: true, In: []Neighbor{{Name: "L1-023", Address: 90, Length: 6.096}}},
	}}
	doc, err := SwitchSheets(Job{Name: "Test", Revision: "C", Date: time.Date(2026, 3, 31, 0, 0, 0, 0, time.UTC)}, []Circuit{c}, SwitchOptions{})
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Join(strings.Fields(output(t, "pdftotext", "-raw", saved(t, doc.PDF), "-")), " ")
	for _, want := range []string{"2+8+16+64 = 90", "Smoke detector", "103 READING ROOM", "Level 1 · L1-023", "90.1 smoke 111", "1 end-of-line resistor", "class A",
		"switch latch: OFF", "in: FACP, 10 ft", "out: L1-024 [91], 20 ft", "isolator: nothing to set", "out: none, the last", "page 1 of 1", "rev. C", "2026-03-31",
		"class of circuit SLC-1", "not an approval"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not on the sheet:\n%s", want, text)
		}
	}
}

// Bookmarks lead to each circuit and to each level within it.
func TestAgainstQPDFBookmarks(t *testing.T) {
	c := Circuit{Name: "SLC-9", Kind: takeoff.SLC}
	for i := range 12 {
		c.Rows = append(c.Rows, Row{Order: i + 1, ID: fmt.Sprint(i), Level: []string{"Basement", "Attic"}[i/9]})
	}
	doc, err := SwitchSheets(Job{Name: "Test"}, []Circuit{c}, SwitchOptions{})
	if err != nil {
		t.Fatal(err)
	}
	out := output(t, "qpdf", "--json", "--json-key=outlines", saved(t, doc.PDF))
	for _, want := range []string{`"title": "SLC-9"`, `"title": "Basement"`, `"title": "Attic"`} {
		if strings.Count(out, want) != 1 {
			t.Errorf("%s stands %d times among the bookmarks", want, strings.Count(out, want))
		}
	}
}

// lettered is a sheet of rooms in several scripts, one of which its own font lacks.
func lettered(t *testing.T) Document {
	t.Helper()
	c := Circuit{Name: "SLC-1", Rows: []Row{{ID: "1", Room: "図書館"}, {ID: "2", Room: "Łódź Ελλάς Привет ß"}}}
	doc, err := SwitchSheets(Job{Name: "Test"}, []Circuit{c}, SwitchOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

func TestLettersWithoutGlyph(t *testing.T) {
	doc := lettered(t)
	if len(doc.Findings) != 1 || doc.Findings[0].Code != codeNoGlyph || !strings.Contains(doc.Findings[0].Message, "図 (U+56F3)") {
		t.Errorf("findings %v", doc.Findings)
	}
}

func TestAgainstPopplerLetters(t *testing.T) {
	if !strings.Contains(output(t, "pdftotext", saved(t, lettered(t).PDF), "-"), "Łódź Ελλάς Привет ß") {
		t.Error("Polish, Greek and Cyrillic letters do not come back")
	}
}

// cjkFont is an open font of Debian's fonts-droid-fallback.
const cjkFont = "/usr/share/fonts/truetype/droid/DroidSansFallbackFull.ttf"

func TestAgainstPopplerJobFont(t *testing.T) {
	against.Program(t, "pdftotext")
	data, err := os.ReadFile(cjkFont)
	if err != nil {
		t.Fatal(err)
	}
	c := Circuit{Name: "SLC-1", Rows: []Row{{ID: "1", Room: "103 図書館 Lesesaal"}}}
	doc, err := SwitchSheets(Job{Name: "Test", Font: &Font{Name: "x.ttf", Data: data}}, []Circuit{c}, SwitchOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if len(doc.Findings) != 0 {
		t.Errorf("findings %v", doc.Findings)
	}
	if !strings.Contains(output(t, "pdftotext", saved(t, doc.PDF), "-"), "103 図書館 Lesesaal") {
		t.Error("the room's name does not come back")
	}
}

func TestFontsRefused(t *testing.T) {
	for name, data := range map[string]string{"collection": "ttcf....", "CFF": "OTTO....", "no TrueType": "PNG.....", "too short": "x", "cut": "\x00\x01\x00\x00\x00\x20"} {
		if _, err := SwitchSheets(Job{Font: &Font{Name: "x.ttf", Data: []byte(data)}}, nil, SwitchOptions{}); err == nil || !strings.Contains(err.Error(), "x.ttf") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A font that is cut off or changed anywhere is refused or used, and never breaks
// the program: its tables are read by a library that takes them at their word.
func TestDamagedFonts(t *testing.T) {
	whole := goregular.TTF
	if err := (&Font{Name: "x.ttf", Data: whole}).Check(); err != nil {
		t.Errorf("a sound font: %v", err)
	}
	refused := 0
	try := func(what string, data []byte) {
		if err := (&Font{Name: "x.ttf", Data: data}).Check(); err != nil {
			refused++
			if !strings.Contains(err.Error(), "x.ttf") {
				t.Errorf("%s: %v does not name the font", what, err)
			}
		}
	}
	for n := 4; n < len(whole); n += len(whole) / 60 {
		try(fmt.Sprint("cut after ", n), whole[:n])
	}
	rnd := rand.New(rand.NewPCG(1, 2))
	for range 100 {
		data := bytes.Clone(whole)
		at := rnd.IntN(600) // the table of tables, and the first of them
		data[at] ^= byte(1 + rnd.IntN(255))
		try(fmt.Sprint("changed at ", at), data)
	}
	if refused < 60 {
		t.Errorf("%d damaged fonts were refused", refused)
	}
}

// No text whatever breaks a sheet, and wrapping loses no word.
func TestAnyText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.String().Draw(t, "text")
		p, err := newPen(Job{Name: s}, s)
		if err != nil {
			t.Fatal(err)
		}
		p.AddPage()
		p.fit(10, 10, 50, s, style{size: 9})
		lines := p.wrap(s, rapid.Float64Range(1, 200).Draw(t, "width"), 3, style{size: 9})
		if got, want := strings.Fields(strings.Join(lines, " ")), strings.Fields(s); !slices.Equal(got, want) {
			t.Fatalf("%q wraps to %q", s, lines)
		}
		if _, err := p.document(); err != nil {
			t.Fatal(err)
		}
	})
}

func BenchmarkSwitchSheets2000(b *testing.B) {
	set, _ := assign.Scheme{Name: "binary7"}.Encode(90)
	var cs []Circuit
	for i := range 16 {
		c := Circuit{Name: fmt.Sprintf("SLC-%d", i), Kind: takeoff.SLC, Scheme: assign.Scheme{Name: "binary7"}}
		for k := range 125 {
			c.Rows = append(c.Rows, Row{Order: k, ID: fmt.Sprintf("L%d-%d", i, k), Type: "Smoke detector", Room: "103 READING ROOM", Level: "Level 1", Address: 90, Span: 1, Setting: &set})
		}
		cs = append(cs, c)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := SwitchSheets(Job{Name: "Test"}, cs, SwitchOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}
