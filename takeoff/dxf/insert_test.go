package dxf

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// show writes inserts compactly: name@x,y,z rotation xscale,yscale in path, and
// why hidden.
func show(in []Insert) string {
	r := func(f float64) string {
		s := fmt.Sprintf("%.6g", math.Round(f*1e6)/1e6)
		if s == "-0" {
			s = "0"
		}
		return s
	}
	var out []string
	for _, i := range in {
		s := fmt.Sprintf("%s@%s,%s,%s r%s %s,%s", i.Effective, r(i.Pos.X), r(i.Pos.Y), r(i.Pos.Z), r(i.Rotation), r(i.XScale), r(i.YScale))
		if len(i.Path) > 0 {
			s += " in " + strings.Join(i.Path, "/")
		}
		for _, a := range i.Attribs {
			s += fmt.Sprintf(" %s=%s@%s,%s", a.Tag, a.Value, r(a.Pos.X), r(a.Pos.Y))
		}
		if !i.Visible {
			s += " hidden"
		}
		out = append(out, s)
	}
	return strings.Join(out, "\n")
}

var dot = block("DOT", "0 POINT\n8 0\n10 0\n20 0")

// insertCases are blocks and entities, and the inserts that they amount to. They
// are seeds of FuzzParse too.
var insertCases = []struct {
	name, layers, blocks, entities string
	want                           string
	findings                       string
}{
	{"as it stands", "", dot, "0 INSERT\n8 0\n2 DOT\n10 1\n20 2\n30 3\n50 30\n41 2\n42 3", "DOT@1,2,3 r30 2,3", ""},
	{"names without regard to case", "", dot, "0 INSERT\n8 0\n2 dot", "DOT@0,0,0 r0 1,1", ""},
	{"negative rotation", "", dot, "0 INSERT\n8 0\n2 DOT\n50 -90", "DOT@0,0,0 r270 1,1", ""},
	{"mirrored in y", "", dot, "0 INSERT\n8 0\n2 DOT\n42 -1\n50 90", "DOT@0,0,0 r90 1,-1", ""},
	{"mirrored in x: the x axis points back", "", dot, "0 INSERT\n8 0\n2 DOT\n41 -1\n50 90", "DOT@0,0,0 r270 1,-1", ""},
	{"mirrored in both is a half turn", "", dot, "0 INSERT\n8 0\n2 DOT\n41 -2\n42 -2", "DOT@0,0,0 r180 2,2", ""},
	{"scale zero", "", dot, "0 INSERT\n8 0\n2 DOT\n41 0\n50 45", "DOT@0,0,0 r45 0,1", "D113"},
	{"z scale zero is no trouble", "", dot, "0 INSERT\n8 0\n2 DOT\n43 0", "DOT@0,0,0 r0 1,1", ""},
	{"base point", "", "0 BLOCK\n8 0\n2 B\n70 0\n10 10\n20 5\n30 0\n0 INSERT\n8 0\n2 DOT\n10 11\n20 5\n0 ENDBLK\n" + dot,
		"0 INSERT\n8 0\n2 B\n10 100\n20 100\n50 90", "B@100,100,0 r90 1,1\nDOT@100,101,0 r90 1,1 in B", ""},
	{"nested, turned and scaled", "", block("A", "0 INSERT\n8 0\n2 B\n10 10\n20 0\n50 90\n41 2") + block("B", "0 INSERT\n8 0\n2 DOT\n10 1\n20 1") + dot,
		"0 INSERT\n8 0\n2 A\n10 100\n20 0\n41 3\n42 3",
		"A@100,0,0 r0 3,3\nB@130,0,0 r90 6,3 in A\nDOT@127,6,0 r90 6,3 in A/B", ""},
	{"unequal scales skew what is turned inside", "", block("A", "0 INSERT\n8 0\n2 DOT\n50 45") + dot, "0 INSERT\n8 0\n2 A\n41 2\n42 1",
		// the x axis (1,1)/√2 becomes (2,1)/√2: direction atan(1/2), length √2.5
		fmt.Sprintf("A@0,0,0 r0 2,1\nDOT@0,0,0 r%.6g %.6g,%.6g in A", math.Atan2(1, 2)*180/math.Pi, math.Sqrt(2.5), math.Sqrt(2.5)), ""},
	{"array, turned; spacing is not scaled", "", dot, "0 INSERT\n8 0\n2 DOT\n10 1\n20 1\n41 5\n42 5\n50 90\n70 2\n71 2\n44 10\n45 3",
		"DOT@1,1,0 r90 5,5\nDOT@1,11,0 r90 5,5\nDOT@-2,1,0 r90 5,5\nDOT@-2,11,0 r90 5,5", ""},
	{"array with an attribute", "", dot, "0 INSERT\n8 0\n66 1\n2 DOT\n70 2\n44 10\n0 ATTRIB\n8 0\n10 1\n20 1\n40 1\n1 V\n2 T\n0 SEQEND",
		"DOT@0,0,0 r0 1,1 T=V@1,1\nDOT@10,0,0 r0 1,1 T=V@11,1", ""},
	{"elements on one spot are one", "", dot, "0 INSERT\n8 0\n2 DOT\n70 3\n71 2\n45 5", "DOT@0,0,0 r0 1,1\nDOT@0,5,0 r0 1,1", ""},
	{"counts of zero or less mean one", "", dot, "0 INSERT\n8 0\n2 DOT\n70 0\n71 -3", "DOT@0,0,0 r0 1,1", ""},
	{"extrusion 0,0,-1: x is mirrored", "", dot, "0 INSERT\n8 0\n2 DOT\n10 5\n20 7\n30 1\n50 30\n230 -1\n210 0\n220 0", "DOT@-5,7,-1 r150 1,-1", ""},
	// DXF reference, Arbitrary axis algorithm: N = (1,0,0), Ax = Wz×N = (0,1,0), Ay = N×Ax = (0,0,1)
	{"extrusion along x", "", dot, "0 INSERT\n8 0\n2 DOT\n10 5\n20 7\n30 1\n210 1\n220 0\n230 0", "DOT@1,5,7 r90 1,1", ""},
	{"attributes in a block inside a block", "", block("A", "0 INSERT\n8 0\n66 1\n2 DOT\n10 1\n20 0\n0 ATTRIB\n8 0\n10 2\n20 0\n40 1\n1 V\n2 T\n0 SEQEND") + dot,
		"0 INSERT\n8 0\n2 A\n10 100\n20 100\n50 90", "A@100,100,0 r90 1,1\nDOT@100,101,0 r90 1,1 in A T=V@100,102", ""},
	{"constant attribute of the block", "", block("C", "0 ATTDEF\n8 0\n10 1\n20 0\n40 1\n1 SMOKE\n3 p\n2 KIND\n70 2\n0 ATTDEF\n8 0\n10 0\n20 0\n1 none\n2 TAG\n70 0"),
		"0 INSERT\n8 0\n66 1\n2 C\n10 5\n20 5\n0 ATTRIB\n8 0\n10 5\n20 6\n40 1\n1 7\n2 TAG\n0 SEQEND\n0 INSERT\n8 0\n2 C\n50 90",
		"C@5,5,0 r0 1,1 TAG=7@5,6 KIND=SMOKE@6,5\nC@0,0,0 r90 1,1 KIND=SMOKE@0,1", ""},
	{"aligned attribute: the second point counts", "", dot, "0 INSERT\n8 0\n66 1\n2 DOT\n0 ATTRIB\n8 0\n10 1\n20 1\n11 2\n21 2\n72 1\n74 2\n40 1\n1 %%p5\n2 T\n0 SEQEND",
		"DOT@0,0,0 r0 1,1 T=±5@2,2", ""},
	{"attribute of several lines", "", dot, "0 INSERT\n8 0\n66 1\n2 DOT\n0 ATTRIB\n8 0\n10 1\n20 1\n40 1\n1 short\n2 T\n70 0\n101 Embedded Object\n10 9\n20 9\n40 9\n1 a\\Pb\n0 SEQEND",
		"DOT@0,0,0 r0 1,1 T=a\nb@1,1", ""},
	{"missing block", "", dot, "0 INSERT\n8 0\n2 GONE\n10 1\n20 1\n0 INSERT\n8 0\n2 GONE", "GONE@1,1,0 r0 1,1\nGONE@0,0,0 r0 1,1", "D110"},
	{"external reference", "", "0 BLOCK\n8 0\n2 XR\n70 4\n10 0\n20 0\n1 C:\\plan.dwg\n0 ENDBLK", "0 INSERT\n8 0\n2 XR", "XR@0,0,0 r0 1,1", "D111"},
	{"bound reference keeps its name", "", block("PLAN$0$SMK", ""), "0 INSERT\n8 0\n2 PLAN$0$SMK", "PLAN$0$SMK@0,0,0 r0 1,1", ""},
	{"cycle", "", block("A", "0 INSERT\n8 0\n2 B\n10 1\n20 0") + block("B", "0 INSERT\n8 0\n2 A\n0 INSERT\n8 0\n2 DOT") + dot,
		"0 INSERT\n8 0\n2 A", "A@0,0,0 r0 1,1\nB@1,0,0 r0 1,1 in A\nDOT@1,0,0 r0 1,1 in A/B", "D112"},
	{"a block in itself", "", block("A", "0 INSERT\n8 0\n2 A"), "0 INSERT\n8 0\n2 A", "A@0,0,0 r0 1,1", "D112"},
	{"no name", "", dot, "0 INSERT\n8 0\n10 0\n20 0", "", "D117"},
	{"a place that is no number", "", dot, "0 INSERT\n8 0\n2 DOT\n10 1;5\n20 0", "", "D108"},
	{"a place beyond all numbers", "", dot, "0 INSERT\n8 0\n2 DOT\n10 1e400\n20 0", "", "D108"},
	{"anonymous block without a source", "", block("*U7", ""), "0 INSERT\n8 0\n2 *U7", "*U7@0,0,0 r0 1,1", "D115"},
	{"block defined twice", "", block("A", "0 INSERT\n8 0\n2 DOT") + block("A", "") + dot, "0 INSERT\n8 0\n2 A", "A@0,0,0 r0 1,1\nDOT@0,0,0 r0 1,1 in A", ""},

	{"frozen and off layers", "0 LAYER\n2 F\n70 1\n62 7\n0 LAYER\n2 O\n70 0\n62 -7\n0 LAYER\n2 L\n70 4\n62 7", dot,
		"0 INSERT\n8 F\n2 DOT\n0 INSERT\n8 o\n2 DOT\n0 INSERT\n8 L\n2 DOT\n0 INSERT\n8 UNLISTED\n2 DOT\n0 INSERT\n8 L\n60 1\n2 DOT",
		"DOT@0,0,0 r0 1,1 hidden\nDOT@0,0,0 r0 1,1 hidden\nDOT@0,0,0 r0 1,1\nDOT@0,0,0 r0 1,1\nDOT@0,0,0 r0 1,1 hidden", ""},
	{"a frozen insert hides its content, one that is off only what is on its layer", "0 LAYER\n2 F\n70 1\n62 7\n0 LAYER\n2 O\n70 0\n62 -7\n0 LAYER\n2 L\n70 0\n62 7",
		block("A", "0 INSERT\n8 L\n2 DOT\n0 INSERT\n8 0\n2 DOT") + dot,
		"0 INSERT\n8 F\n2 A\n0 INSERT\n8 O\n2 A\n0 INSERT\n8 L\n60 1\n2 A",
		"A@0,0,0 r0 1,1 hidden\nDOT@0,0,0 r0 1,1 in A hidden\nDOT@0,0,0 r0 1,1 in A hidden\n" +
			"A@0,0,0 r0 1,1 hidden\nDOT@0,0,0 r0 1,1 in A\nDOT@0,0,0 r0 1,1 in A hidden\n" +
			"A@0,0,0 r0 1,1 hidden\nDOT@0,0,0 r0 1,1 in A hidden\nDOT@0,0,0 r0 1,1 in A hidden", ""},
	{"layer 0 is inherited through several blocks", "0 LAYER\n2 O\n70 0\n62 -7", block("A", "0 INSERT\n8 0\n2 B") + block("B", "0 INSERT\n8 0\n2 DOT") + dot,
		"0 INSERT\n8 O\n2 A", "A@0,0,0 r0 1,1 hidden\nB@0,0,0 r0 1,1 in A hidden\nDOT@0,0,0 r0 1,1 in A/B hidden", ""},
	{"paper space is left out", "", block("*Paper_Space0", "0 INSERT\n8 0\n2 DOT") + dot, "0 INSERT\n8 0\n67 1\n2 DOT\n0 INSERT\n8 0\n67 0\n2 DOT\n10 1", "DOT@1,0,0 r0 1,1", ""},
	{"content left in the block of model space", "", block("*Model_Space", "0 INSERT\n8 0\n2 DOT") + dot, "0 INSERT\n8 0\n2 DOT\n10 1", "DOT@0,0,0 r0 1,1\nDOT@1,0,0 r0 1,1", ""},
	{"dimension and table blocks are not entered", "", block("*D1", "0 INSERT\n8 0\n2 DOT") + dot, "0 DIMENSION\n8 0\n2 *D1\n10 0\n20 0\n0 ACAD_TABLE\n8 0\n2 *D1\n10 0\n20 0", "", ""},
}

func TestInserts(t *testing.T) {
	for _, c := range insertCases {
		t.Run(c.name, func(t *testing.T) {
			src := drawingOf("", c.layers, c.blocks, c.entities)
			for form, b := range map[string]string{"ascii": src, "binary": string(toBinary(src, 2))} {
				if form == "binary" && c.findings == codeBadNumber {
					continue // a double is always a number
				}
				d := mustParse(t, b)
				in, f := mustInserts(t, d, Options{})
				if got := show(in); got != c.want {
					t.Errorf("%s\n got %s\nwant %s", form, got, c.want)
				}
				if got := codes(f); got != c.findings {
					t.Errorf("%s: findings %s, want %s: %v", form, got, c.findings, f)
				}
			}
		})
	}
}

func TestPaperSpace(t *testing.T) {
	d := mustParse(t, drawingOf("", "", block("*Paper_Space0", "0 INSERT\n8 0\n2 DOT\n10 9")+dot,
		"0 INSERT\n8 0\n67 1\n2 DOT\n0 INSERT\n8 0\n2 DOT\n10 1\n0 TEXT\n67 1\n8 0\n1 sheet"))
	in, _ := mustInserts(t, d, Options{Paper: true})
	if got := show(in); got != "DOT@9,0,0 r0 1,1\nDOT@0,0,0 r0 1,1\nDOT@1,0,0 r0 1,1" || !in[0].Paper || !in[1].Paper || in[2].Paper {
		t.Errorf("got %s %+v", got, in)
	}
	if n := len(mustTexts(t, d, Options{})); n != 0 {
		t.Errorf("%d texts in model space", n)
	}
	if texts := mustTexts(t, d, Options{Paper: true}); len(texts) != 1 || !texts[0].Paper {
		t.Errorf("texts %v", texts)
	}
}

// dynamic is a drawing with an anonymous block and both ways to its source.
func dynamic(record, insert, objects string) string {
	return tagLines("0 SECTION\n2 TABLES\n0 TABLE\n2 BLOCK_RECORD\n5 1\n0 BLOCK_RECORD\n5 2B5\n2 XYZ\n0 BLOCK_RECORD\n5 2D2\n2 *U4\n" + record + "\n0 ENDTAB\n0 ENDSEC\n" +
		"0 SECTION\n2 BLOCKS\n" + block("XYZ", "") + block("*U4", "0 INSERT\n8 0\n2 DOT\n60 1\n0 INSERT\n8 0\n2 DOT") + dot + "0 ENDSEC\n" +
		"0 SECTION\n2 ENTITIES\n0 INSERT\n5 2BA\n" + insert + "8 0\n2 *U4\n0 ENDSEC\n0 SECTION\n2 OBJECTS\n" + objects + "\n0 ENDSEC\n0 EOF\n")
}

// TestDynamicBlocks follows an anonymous block to its source. The structure is
// that of a file written by a CAD program (ezdxf integration_tests, dynblk1.dxf).
func TestDynamicBlocks(t *testing.T) {
	byRecord := "1001 AcDbBlockRepBTag\n1070 1\n1005 2B5"
	byInsert := "102 {ACAD_XDICTIONARY\n360 2D9\n102 }\n"
	objects := "0 DICTIONARY\n5 2D9\n3 AcDbBlockRepresentation\n360 2DA\n0 DICTIONARY\n5 2DA\n3 AcDbRepData\n360 2DB\n0 ACDB_BLOCKREPRESENTATION_DATA\n5 2DB\n340 2B5"
	for _, c := range []struct {
		name, record, insert, objects, want string
	}{
		{"by the block record", byRecord, "", "", "XYZ"},
		{"by the dictionary", "", byInsert, objects, "XYZ"},
		{"broken dictionary", "", byInsert, strings.Replace(objects, "2DB\n340", "2DC\n340", 1), "*U4"},
		{"dangling record", "1001 AcDbBlockRepBTag\n1070 1\n1005 FFF", "", "", "*U4"},
		{"neither", "", "", "", "*U4"},
	} {
		t.Run(c.name, func(t *testing.T) {
			in, _ := mustInserts(t, mustParse(t, dynamic(c.record, c.insert, c.objects)), Options{})
			if len(in) != 3 || in[0].Effective != c.want || in[0].Block != "*U4" {
				t.Fatalf("got %+v", in)
			}
			if in[1].Visible || !in[2].Visible {
				t.Errorf("visibility state: %v %v", in[1].Visible, in[2].Visible)
			}
		})
	}
}

// TestClip cuts an insert with a boundary of two corners, 0,0 to 10,10 of the
// block, once moved and turned after it was clipped.
func TestClip(t *testing.T) {
	identity := "40 1\n40 0\n40 0\n40 0\n40 0\n40 1\n40 0\n40 0\n40 0\n40 0\n40 1\n40 0\n"
	moved := "40 1\n40 0\n40 0\n40 -100\n40 0\n40 1\n40 0\n40 0\n40 0\n40 0\n40 1\n40 0\n" // from the world, where it was at 100,0, to the block
	for _, c := range []struct{ name, boundary, enabled, matrices, hidden string }{
		{"in block coordinates", "10 0\n20 0\n10 10\n20 10\n", "1", identity + identity, " false true"},
		{"clipped where it stood then", "10 100\n20 0\n10 110\n20 10\n", "1", moved + identity, " false true"},
		{"switched off", "10 0\n20 0\n10 10\n20 10\n", "0", identity + identity, " false false"},
		{"polygon", "10 0\n20 0\n10 10\n20 0\n10 0\n20 10\n", "1", identity + identity, " false true"},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := mustParse(t, tagLines("0 SECTION\n2 BLOCKS\n"+block("A", "0 INSERT\n8 0\n2 DOT\n10 4\n20 5\n0 INSERT\n8 0\n2 DOT\n10 20\n20 5\n"+
				"0 LINE\n8 0\n10 -5\n20 4\n11 15\n21 4\n0 LINE\n8 0\n10 -5\n20 40\n11 15\n21 40")+dot+"0 ENDSEC\n"+
				"0 SECTION\n2 ENTITIES\n0 INSERT\n102 {ACAD_XDICTIONARY\n360 A1\n102 }\n8 0\n2 A\n10 50\n20 60\n50 90\n0 ENDSEC\n0 SECTION\n2 OBJECTS\n"+
				"0 DICTIONARY\n5 A1\n3 ACAD_FILTER\n360 A2\n0 DICTIONARY\n5 A2\n3 SPATIAL\n360 A3\n"+
				"0 SPATIAL_FILTER\n5 A3\n100 AcDbFilter\n100 AcDbSpatialFilter\n70 2\n"+c.boundary+"210 0\n220 0\n230 1\n11 0\n21 0\n31 0\n71 "+c.enabled+"\n72 0\n73 0\n"+c.matrices+
				"0 ENDSEC\n0 EOF\n"))
			in, f := mustInserts(t, d, Options{})
			got := ""
			for _, i := range in[1:] {
				got += fmt.Sprint(" ", !i.Visible)
			}
			shapes := mustShapes(t, d, Options{}) // one crosses the boundary, one is outside
			if len(shapes) != 2 || !shapes[0].Visible || shapes[1].Visible == (c.enabled == "1") {
				t.Errorf("shapes %+v", shapes)
			}
			if got != c.hidden || (len(f) == 1) != (c.enabled == "1") || len(f) != 0 && f[0].Code != codeClip {
				t.Errorf("clipped:%s, want%s; %v", got, c.hidden, f)
			}
		})
	}
}

// TestBombs refuses drawings that multiply without end, at once.
func TestBombs(t *testing.T) {
	var deep strings.Builder
	for i := range 30 {
		deep.WriteString(block(fmt.Sprint("L", i), strings.Repeat(fmt.Sprintf("0 INSERT\n8 0\n2 L%d\n", i+1), 10)))
	}
	deep.WriteString(block("L30", "0 INSERT\n8 0\n2 DOT\n0 TEXT\n8 0\n1 x\n0 LINE\n8 0\n10 0\n20 0\n11 1\n21 1") + dot)
	var chain strings.Builder
	for i := range 3000 {
		chain.WriteString(block(fmt.Sprint("C", i), fmt.Sprintf("0 INSERT\n8 0\n2 C%d\n", i+1)))
	}
	for _, c := range []struct{ name, blocks, entities, want string }{
		{"ten to the thirtieth", deep.String(), "0 INSERT\n8 0\n2 L0", "over the limit of 1000000; the insert of block \"L0\" at line"},
		{"array", dot, "0 INSERT\n8 0\n2 DOT\n70 32767\n71 32767\n44 1\n45 1", "expand to 1.07e+09 inserts"},
		{"array of arrays", block("A", "0 INSERT\n8 0\n2 DOT\n70 9999\n71 9999\n44 1\n45 1") + dot, "0 INSERT\n8 0\n2 A\n70 9999\n71 9999\n44 1\n45 1", "1e+16 inserts"},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := mustParse(t, drawingOf("", "", c.blocks, c.entities))
			var err error
			grown := testing.AllocsPerRun(1, func() { _, _, err = d.Inserts(Options{}) })
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("error %v, want %q", err, c.want)
			}
			if grown > 1000 {
				t.Errorf("%v allocations", grown)
			}
			if c.blocks == deep.String() {
				if _, _, err := d.Texts(Options{}); err == nil {
					t.Error("texts have no limit")
				}
				if _, _, err := d.Shapes(Options{}); err == nil {
					t.Error("shapes have no limit")
				}
				if e := d.BlockExtent("L0"); !e.Empty {
					t.Error("extent of a bomb")
				}
			}
		})
	}
	t.Run("a chain of 3000 blocks", func(t *testing.T) {
		in, f := mustInserts(t, mustParse(t, drawingOf("", "", chain.String(), "0 INSERT\n8 0\n2 C0")), Options{})
		if len(in) != maxDepth || codes(f) != codeTooDeep {
			t.Errorf("%d inserts, findings %v", len(in), f)
		}
	})
	t.Run("limit of one's own", func(t *testing.T) {
		d := mustParse(t, drawingOf("", "", dot, "0 INSERT\n8 0\n2 DOT\n70 5\n44 1"))
		if _, _, err := d.Inserts(Options{limit: 4}); err == nil {
			t.Error("no error")
		}
		if in, _ := mustInserts(t, d, Options{limit: 5}); len(in) != 5 {
			t.Errorf("%d inserts", len(in))
		}
	})
}
