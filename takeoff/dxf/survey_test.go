package dxf

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// surveyDrawing has one of each thing that a survey shows.
func surveyDrawing() string {
	return drawingOf("9 $ACADVER\n1 AC1024\n9 $DWGCODEPAGE\n3 ANSI_1252\n9 $INSUNITS\n70 1",
		"0 LAYER\n5 10\n2 E-FIRE\n70 0\n62 1\n0 LAYER\n5 11\n2 E-OFF\n70 0\n62 -1",
		block("SMK", "")+block("TYPROOM", "0 INSERT\n5 2F1\n8 E-FIRE\n66 1\n2 SMK\n10 1\n20 2\n50 90\n0 ATTRIB\n5 2F2\n8 0\n10 1\n20 2\n1 S-1\n2 TAG\n0 ATTRIB\n5 2F3\n8 0\n10 1\n20 2\n1 \"quoted\" \\U+03A9\n2 NOTE\n0 SEQEND\n5 2F4"),
		"0 INSERT\n5 300\n8 0\n2 TYPROOM\n10 10\n20 20\n0 INSERT\n5 301\n8 E-OFF\n2 SMK\n10 0.0000001\n20 -3\n42 -1\n0 INSERT\n5 301\n8 E-FIRE\n2 GONE\n0 MTEXT\n5 302\n8 A-ANNO\n10 1\n20 2\n40 6\n1 COR^IRI\\PDOR")
}

// TestSurveyJSON compares with a file that a person can read, and checks that it
// is JSON, the same twice, and the same from the binary form.
func TestSurveyJSON(t *testing.T) {
	write := func(src string) []byte {
		d, err := Parse("level-1.dxf", []byte(src))
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		opt := SurveyOptions{Inserts: true, Legend: func(_ *Survey, eff string) string { return map[string]string{"SMK": "Smoke detector"}[eff] }}
		if err := WriteSurveyJSON(&b, []*Drawing{d, d}, opt); err != nil {
			t.Fatal(err)
		}
		return b.Bytes()
	}
	got := write(surveyDrawing())
	if !json.Valid(got) {
		t.Fatalf("no JSON:\n%s", got)
	}
	if !bytes.Equal(got, write(surveyDrawing())) {
		t.Error("the second time differs")
	}
	golden := filepath.Join("testdata", "survey.json")
	if os.Getenv("LOOPWRIGHT_UPDATE") == "1" {
		if err := os.WriteFile(golden, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if want = bytes.ReplaceAll(want, []byte("\r\n"), []byte("\n")); !bytes.Equal(got, want) {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	bin := bytes.ReplaceAll(write(string(toBinary(surveyDrawing(), 2))), []byte(`"binary":true`), []byte(`"binary":false`))
	if a, b := withoutLines(string(got)), withoutLines(string(bin)); a != b { // a binary file has no lines
		t.Errorf("binary form:\n%s\nwant\n%s", b, a)
	}
}

func withoutLines(s string) string {
	parts := strings.Split(s, `,"line":`)
	for i := 1; i < len(parts); i++ {
		parts[i] = strings.TrimLeft(parts[i], "0123456789")
	}
	return strings.Join(parts, "")
}

func TestSurveyWithoutInserts(t *testing.T) {
	var b bytes.Buffer
	d := mustParse(t, surveyDrawing())
	opt := SurveyOptions{Units: func(*Drawing) (string, string) { return "mm", "job" }}
	if err := WriteSurveyJSON(&b, []*Drawing{d}, opt); err != nil {
		t.Fatal(err)
	}
	if s := b.String(); strings.Contains(s, `"inserts":[`) || !strings.Contains(s, `"units":"mm","units_from":"job"`) {
		t.Errorf("got %s", s)
	}
	opt.limit = 1
	if err := WriteSurveyJSON(&b, []*Drawing{d}, opt); err == nil {
		t.Error("no error beyond the limit")
	}
}

func TestUnits(t *testing.T) {
	for _, c := range []struct {
		header, name, from string
	}{
		{"9 $INSUNITS\n70 1", "in", "header"},
		{"9 $INSUNITS\n70 2\n9 $LUNITS\n70 4", "ft", "header"},
		{"9 $INSUNITS\n70 6", "m", "header"},
		{"9 $INSUNITS\n70 0\n9 $LUNITS\n70 4", "in", "assumed"},
		{"9 $LUNITS\n70 3", "in", "assumed"},
		{"9 $LUNITS\n70 2\n9 $MEASUREMENT\n70 1", "", "unknown"},
		{"9 $INSUNITS\n70 99", "", "unknown"},
		{"", "", "unknown"},
	} {
		u := mustParse(t, drawingOf(c.header, "", "", "")).Units()
		if u.Name != c.name || u.From != c.from {
			t.Errorf("%q: %+v", c.header, u)
		}
	}
	if unitNames[24] != "us-mi" || unitNames[8] != "uin" || unitNames[10] != "yd" {
		t.Error("names of units do not stand where their numbers say")
	}
}

func TestDuplicateHandles(t *testing.T) {
	entities := "0 LINE\n5 A1\n0 LINE\n5 a1\n0 LINE\n5 FFFFFFFFFFFFFFFF\n0 LINE\n5 ffffffffffffffff\n0 LINE\n5 zz\n0 LINE\n5 zz\n0 LINE\n0 LINE\n100 X\n5 A1\n0 DIMSTYLE\n5 A1\n105 B7"
	f := mustParse(t, drawingOf("9 $HANDSEED\n5 A1", "", "", entities)).duplicateHandles()
	if len(f) != 2 || f[0].Handle != "A1" || f[1].Handle != "FFFFFFFFFFFFFFFF" || f[0].Line != 19 {
		t.Errorf("%+v", f)
	}
	many := mustParse(t, drawingOf("", "", "", strings.Repeat("0 LINE\n5 C\n", 200))).duplicateHandles()
	if len(many) != maxListed+1 || !strings.Contains(many[maxListed].Message, "149 more") {
		t.Errorf("%d findings", len(many))
	}
}

func TestStructureViews(t *testing.T) {
	src := surveyDrawing()
	d := mustParse(t, src)
	var names []string
	for _, s := range d.sections {
		names = append(names, s.name)
		if !s.closed || !strings.HasPrefix(src[d.idx.Start(s.last):], "  0\nENDSEC") || !strings.HasPrefix(src[s.start:], "  0\nSECTION") {
			t.Errorf("section %+v", s)
		}
	}
	if !slices.Equal(names, []string{"HEADER", "TABLES", "BLOCKS", "ENTITIES"}) {
		t.Errorf("sections %v", names)
	}
	var tables []string
	for _, tab := range d.tables {
		tables = append(tables, tab.name)
		if !strings.HasPrefix(src[d.idx.Start(tab.last):], "  0\nENDTAB") || !strings.HasPrefix(src[tab.start:], "  0\nTABLE") {
			t.Errorf("table %+v", tab)
		}
	}
	if !slices.Contains(tables, "LAYER") {
		t.Errorf("tables %v", tables)
	}
	b, ok := d.Block("typroom")
	if !ok || !strings.HasPrefix(src[b.start:], "  0\nBLOCK") || !strings.HasPrefix(src[d.idx.Start(b.last):], "  0\nENDBLK") {
		t.Errorf("block %+v", b)
	}
}

// TestRegistry: every code says what to do.
func TestRegistry(t *testing.T) {
	for k := 101; k <= 119; k++ {
		if code := fmt.Sprintf("D%d", k); Advice(code) == "" {
			t.Errorf("%s has no advice", code)
		}
	}
	if len(registry) != 19 {
		t.Errorf("%d codes", len(registry))
	}
}
