package verify

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/dxf/tags"
)

var updateEdits = flag.Bool("update-edits", false, "write the expected drawings of testdata/edit anew")

// additions are the edits that the files in testdata/edit name; device is 0
// for drawings without handles.
func additions(device tags.Handle) map[string]edit.Addition {
	return map[string]edit.Addition{
		"label": {
			Layers:   []edit.Layer{{Name: "FA-LABEL", Color: 1}},
			Entities: []edit.Entity{edit.Text{Base: edit.Base{Layer: "FA-LABEL", Kind: "label", Device: device}, At: edit.XY{X: 42, Y: 33.25}, Height: 2.5, Value: "1-023"}},
		},
		"everything": sampleAddition(edit.XY{X: 10, Y: 20}, 2.5, device),
		"attribute":  {Attribs: []edit.AttribChange{{InsertHandle: device, Tag: "TAG", Value: "S-1 / 90"}}},
	}
}

// TestEditGolden holds (in, edit, out): NAME.in.dxf with the edit of that name
// must give NAME.EDIT.dxf, where a person can read the difference.
func TestEditGolden(t *testing.T) {
	files, err := filepath.Glob("../edit/testdata/*.in.dxf")
	if err != nil || len(files) == 0 {
		t.Fatal("no drawings in testdata/edit", err)
	}
	for _, f := range files {
		in, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		stem := strings.TrimSuffix(f, ".in.dxf")
		outs, _ := filepath.Glob(stem + ".*.dxf")
		for _, out := range outs {
			add := strings.TrimSuffix(strings.TrimPrefix(out, stem+"."), ".dxf")
			if add == "in" {
				continue
			}
			t.Run(filepath.Base(stem)+"/"+add, func(t *testing.T) { golden(t, in, add, out) })
		}
	}
}

func golden(t *testing.T, in []byte, add, out string) {
	device := tags.Handle(0)
	if bytes.Contains(in, []byte("$HANDSEED")) {
		device = 0x24
	}
	a, ok := additions(device)[add]
	if !ok {
		t.Fatalf("no addition %q", add)
	}
	e := editLaws(t, out, in, a)
	if e == nil {
		t.Fatal("refused")
	}
	if *updateEdits {
		if err := os.WriteFile(out, e.Bytes, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(e.Bytes, want) {
		t.Errorf("got\n%s\nwant %s", e.Bytes, out)
	}
}

// fixtures are small drawings of every version, by name.
func fixtures(t testing.TB) map[string][]byte {
	m := map[string][]byte{}
	for _, v := range fixtureVersions {
		m[v+" handles"] = fixture(v, true)
		if v >= "AC1012" {
			continue
		}
		bare := fixture(v, false)
		m[v+" bare"] = bare
		for _, table := range []string{"APPID", "STYLE", "LAYER"} {
			m[v+" without "+table] = dropTable(bare, table)
		}
		m[v+" without TABLES"] = dropSection(bare, "TABLES")
		m[v+" entities only"] = dropSection(dropSection(dropSection(bare, "TABLES"), "HEADER"), "BLOCKS")
		m[v+" empty TABLES"] = dropTable(dropTable(dropTable(bare, "APPID"), "STYLE"), "LAYER")
	}
	return m
}

// TestEditEveryVersion edits every small drawing as text with every line end
// and as binary. Converting and editing must give the same bytes in either
// order, which checks the binary emitter against the text one.
func TestEditEveryVersion(t *testing.T) {
	for name, in := range fixtures(t) {
		device := tags.Handle(0)
		if strings.Contains(name, "handles") {
			device = 0x24
		}
		for add, a := range additions(device) {
			if add == "attribute" && device == 0 {
				continue
			}
			t.Run(name+"/"+add, func(t *testing.T) {
				e := editLaws(t, name, in, a)
				if e == nil {
					d, _ := dxf.Parse(name, in)
					_, err := edit.Add(d, a)
					t.Fatal(err)
				}
				for _, eol := range []string{"\r\n", "\r"} {
					c := editLaws(t, name, toEOL(in, eol), a)
					if c == nil || !bytes.Equal(c.Bytes, toEOL(e.Bytes, eol)) {
						t.Errorf("with line ends %q the edit differs", eol)
					}
				}
				width := 2
				if d, _ := dxf.Parse(name, in); d.Version < "AC1012" {
					width = 1
				}
				c := editLaws(t, name, binaryTwin(t, in, width), a)
				if c == nil || !bytes.Equal(c.Bytes, binaryTwin(t, e.Bytes, width)) {
					t.Errorf("the binary edit differs")
				}
			})
		}
	}
}

// TestEditModelSpaceOwner tries every way to find the owner of new entities.
func TestEditModelSpaceOwner(t *testing.T) {
	in := fixture("AC1015", true)
	noName := replaceOnce(t, in, "*Model_Space", "*U")
	noOwner := bytes.ReplaceAll(noName, []byte("330\n1F\n"), nil)
	layout := "  0\nLAYOUT\n  5\n28\n330\nC\n100\nAcDbPlotSettings\n  1\n\n100\nAcDbLayout\n  1\nModel\n330\n1F\n  0\nACDBPLACEHOLDER\n"
	for name, b := range map[string][]byte{
		"by name":         replaceOnce(t, in, "*Model_Space", "*MODEL_SPACE"),
		"by true name":    replaceOnce(t, noOwner, "*U\n", "*U\n1001\nACDBDYNAMICBLOCKTRUENAME2\n1000\n*MODEL_SPACE\n"),
		"by first entity": noName,
		"by layout":       replaceOnce(t, noOwner, "  0\nACDBPLACEHOLDER\n", layout),
	} {
		t.Run(name, func(t *testing.T) {
			e := editLaws(t, name, b, additions(0x24)["label"])
			if e == nil {
				t.Fatal("refused")
			}
			if at := bytes.LastIndex(e.Bytes, []byte("  0\nTEXT\n")); !bytes.Contains(e.Bytes[at:], []byte("\n330\n1F\n100\nAcDbEntity\n")) {
				t.Errorf("the new text does not belong to 1F:\n%s", e.Bytes[len(e.Bytes)-900:])
			}
		})
	}
}

// TestEditLayerTaken: a layer of our name that is not ours is never reused.
func TestEditLayerTaken(t *testing.T) {
	in := replaceOnce(t, fixture("AC1009", false), "  0\nENDTAB\n  0\nTABLE\n  2\nSTYLE",
		"  0\nLAYER\n  2\nFa-Label\n 70\n1\n 62\n-3\n  6\nDASHED\n  0\nENDTAB\n  0\nTABLE\n  2\nSTYLE")
	e := editLaws(t, "taken", in, additions(0)["label"])
	if e == nil || e.Layers["FA-LABEL"] != "FA-LABEL-2" {
		t.Fatalf("layers are %v", e)
	}
	if n := bytes.Count(e.Bytes, []byte("FA-LABEL-2\n")); n != 2 {
		t.Errorf("FA-LABEL-2 is there %d times, want its record and the text", n)
	}
}

// TestEditSeed: $HANDSEED is raised where it is too low, otherwise left alone.
func TestEditSeed(t *testing.T) {
	for _, c := range []struct {
		seed, want string
	}{{"2B", "2F"}, {"FFFF", "FFFF"}, {"5", "2F"}, {"2E", "2F"}, {"2F", "2F"}, {"0", "2F"}, {" 2B", " 2F"}} {
		in := replaceOnce(t, fixture("AC1015", true), "$HANDSEED\n  5\n2B\n", "$HANDSEED\n  5\n"+c.seed+"\n")
		in = replaceOnce(t, in, "  5\n27\n", "  5\n2A\n")
		e := editLaws(t, c.seed, in, additions(0x24)["label"])
		if e == nil || !bytes.Contains(e.Bytes, []byte("$HANDSEED\n  5\n"+c.want+"\n")) {
			t.Errorf("seed %s: want %s", c.seed, c.want)
		}
	}
}

// TestEditHandlesAvoidReferences: a handle that only a dangling reference names
// is not given to a new record.
func TestEditHandlesAvoidReferences(t *testing.T) {
	in := replaceOnce(t, fixture("AC1015", true), "390\nF\n", "390\nF\n1001\nACAD\n1005\n7F\n")
	e := editLaws(t, "dangling", in, additions(0x24)["label"])
	if e == nil || !bytes.Contains(e.Bytes, []byte("  0\nTEXT\n  5\n83\n")) { // 80 to 82: application, style, layer
		t.Errorf("the text has not the handle 83")
	}
}

// BenchmarkEdit labels a big drawing; the numbers to compare are bytes per
// second and memory against the size of the drawing.
func BenchmarkEdit(b *testing.B) {
	path := os.Getenv("LOOPWRIGHT_BIG_DXF")
	if path == "" {
		b.Skip("set LOOPWRIGHT_BIG_DXF to a big drawing")
	}
	in, err := os.ReadFile(path)
	if err != nil {
		b.Fatal(err)
	}
	a := edit.Addition{Layers: additions(0x24)["label"].Layers}
	for i := range 10000 {
		a.Entities = append(a.Entities, edit.Text{Base: edit.Base{Layer: "FA-LABEL", Kind: "label"}, At: edit.XY{X: float64(i), Y: 1}, Height: 2, Value: fmt.Sprint(i)})
	}
	d, err := dxf.Parse(path, in)
	if err != nil {
		b.Fatal(err)
	}
	var out []byte
	b.Run("edit", func(b *testing.B) {
		b.SetBytes(int64(len(in)))
		b.ReportAllocs()
		for b.Loop() {
			e, err := edit.Add(d, a)
			if err != nil {
				b.Fatal(err)
			}
			out = e.Bytes
		}
	})
	b.Run("check", func(b *testing.B) {
		b.SetBytes(int64(len(in)))
		b.ReportAllocs()
		for b.Loop() {
			if ps := compare(in, out); len(ps) > 0 {
				b.Fatal(ps)
			}
		}
	})
	b.Run("strip", func(b *testing.B) {
		b.SetBytes(int64(len(in)))
		b.ReportAllocs()
		for b.Loop() {
			if _, err := edit.Strip(path, out); err != nil {
				b.Fatal(err)
			}
		}
	})
}
