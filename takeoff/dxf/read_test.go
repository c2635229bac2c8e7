package dxf

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// plain is a small drawing that every way of writing must read alike.
var plain = drawingOf("9 $ACADVER\n1 AC1015\n9 $INSUNITS\n70 4", "0 LAYER\n2 E-FIRE\n70 0\n62 1",
	block("SMK", "0 CIRCLE\n8 0\n10 0\n20 0\n40 5"),
	"0 INSERT\n5 2F1\n8 E-FIRE\n66 1\n2 SMK\n10 1.5\n20 -2.25\n30 0\n50 90\n0 ATTRIB\n5 2F2\n8 0\n10 1\n20 2\n40 3\n1 S-1\n2 TAG\n0 SEQEND\n5 2F3\n"+
		"0 TEXT\n5 2F4\n8 A-ANNO\n10 1\n20 2\n40 6\n1 CORRIDOR")

// TestEncodingsOfTheFile reads the same drawing in every form a file may have.
func TestEncodingsOfTheFile(t *testing.T) {
	noPad := func(s string) string {
		lines := strings.Split(s, "\n")
		for i := 0; i < len(lines); i += 2 {
			lines[i] = strings.TrimLeft(lines[i], " ")
		}
		return strings.Join(lines, "\n")
	}
	mixed := func(s string) string {
		var b strings.Builder
		for i, line := range strings.SplitAfter(s, "\n") {
			b.WriteString(strings.TrimSuffix(line, "\n"))
			if strings.HasSuffix(line, "\n") {
				b.WriteString([]string{"\n", "\r\n", "\r"}[i%3])
			}
		}
		return b.String()
	}
	table := []struct {
		name, src string
		eol       string
		pad       int
	}{
		{"LF", plain, "\n", 3},
		{"CRLF", strings.ReplaceAll(plain, "\n", "\r\n"), "\r\n", 3},
		{"CR", strings.ReplaceAll(plain, "\n", "\r"), "\r", 3},
		{"mixed line ends", mixed(plain), "\n", 3},
		{"no padding", noPad(plain), "\n", 1},
		{"wide padding", "     0\n" + strings.TrimPrefix(plain, "  0\n"), "\n", 6},
		{"trailing blanks on codes", strings.ReplaceAll(plain, "  0\n", "  0 \t\n"), "\n", 3},
		{"tab padding", strings.ReplaceAll(plain, "  8\n", "\t8\n"), "\n", 3},
		{"byte-order mark", "\xef\xbb\xbf" + plain, "\n", 3},
		{"comments", strings.ReplaceAll(plain, "  0\nTEXT\n", "999\n0\n999\nINSERT\n  0\nTEXT\n"), "\n", 3},
		{"small letters", strings.ReplaceAll(strings.ReplaceAll(plain, "INSERT", "insert "), "SECTION", " Section "), "\n", 3},
		{"no line end at the end", strings.TrimSuffix(plain, "\n"), "\n", 3},
		{"no EOF", strings.TrimSuffix(plain, "  0\nEOF\n"), "\n", 3},
		{"rubbish after EOF", plain + "hello\nworld\n  0\nINSERT\n", "\n", 3},
		{"end-of-file characters", plain + "\x1a\x1a\x00", "\n", 3},
		{"blank lines after EOF", plain + "\n\n", "\n", 3},
		{"no ENDSEC", strings.ReplaceAll(plain, "  0\nENDSEC\n", ""), "\n", 3},
		{"binary R13 and later", string(toBinary(plain, 2)), "", 0},
		{"binary R12", string(toBinary(plain, 1)), "", 0},
	}
	for _, c := range table {
		t.Run(c.name, func(t *testing.T) {
			d := mustParse(t, c.src)
			if d.EOL != c.eol || d.CodePad != c.pad {
				t.Errorf("line end %q pad %d, want %q %d", d.EOL, d.CodePad, c.eol, c.pad)
			}
			in, f := mustInserts(t, d, Options{})
			texts := mustTexts(t, d, Options{})
			if len(f) != 0 {
				t.Errorf("findings %v", f)
			}
			got := fmt.Sprintf("%s %v", d.Version, d.Units())
			for _, i := range in {
				got += fmt.Sprintf("|%s %s %s %v %v %v %s=%s", i.Effective, i.Layer, i.Handle, i.Pos, i.Rotation, i.Visible, i.Attribs[0].Tag, i.Attribs[0].Value)
			}
			for _, x := range texts {
				got += fmt.Sprintf("|%s %s %v %v", x.Text, x.Layer, x.Pos, x.Height)
			}
			want := "AC1015 {mm header}|SMK E-FIRE 2F1 {1.5 -2.25 0} 90 true TAG=S-1|CORRIDOR A-ANNO {1 2 0} 6"
			if got != want {
				t.Errorf("got  %s\nwant %s", got, want)
			}
		})
	}
}

// sectionOf writes a section of compact text.
func sectionOf(name, content string) string {
	return tagLines("0 SECTION\n2 " + name + "\n" + content + "\n0 ENDSEC\n")
}

// TestDamage reads damaged drawings: what is found, where, and what survives.
func TestDamage(t *testing.T) {
	text := func(s string) string { return "0 TEXT\n8 0\n10 0\n20 0\n40 1\n1 " + s }
	two := drawingOf("", "", "", text("ONE")+"\n"+text("TWO"))
	table := []struct {
		name, src string
		texts     string
		codes     string
		message   string // part of the first finding
	}{
		{"sound", two, "ONE TWO", "", ""},
		{"a line is missing", strings.Replace(two, " 40\n1\n  1\nONE\n", " 40\n  1\nONE\n", 1), "TWO", "D101", `line 15: expected a group code, found "ONE"; reading resumes at line 16`},
		{"a line too many", strings.Replace(two, " 10\n0\n", " 10\n0\noops\n", 1), "TWO", "D101", `line 11: expected a group code, found "oops"`},
		{"two places", strings.ReplaceAll(two, " 40\n1\n", " 40\n1\n???\n"), "", "D101 D101", "line 15"},
		{"cut off inside a tag", string(cutAt(t, []byte(two), "TWO")), "ONE", "D102", "cut off inside section ENTITIES, which begins at line 1"},
		{"cut off between tags", two[:strings.LastIndex(two, "  0\nENDSEC")], "ONE TWO", "D102", "cut off inside section ENTITIES"},
		{"cut off after ENTITIES", strings.TrimSuffix(two, "  0\nEOF\n"), "ONE TWO", "D103", "its entities are complete"},
		{"cut off inside the tag after ENTITIES", strings.TrimSuffix(two, "EOF\n"), "ONE TWO", "D103 D102", "its entities are complete"},
		{"cut off before ENTITIES", sectionOf("HEADER", "9 $ACADVER\n1 AC1015"), "", "D102", "before its ENTITIES section"},
		{"cut off after ENTITIES, with more", strings.TrimSuffix(two, "EOF\n") + "LINE\n", "ONE TWO", "D105 D103", "1 record outside any section is not read"},
		{"end of section missing", strings.Replace(two, "  0\nENDSEC\n", "", 1), "ONE TWO", "D105", "section ENTITIES has no ENDSEC: part of it may be missing"},
		{"end of block missing", sectionOf("BLOCKS", "0 BLOCK\n2 A\n0 LINE") + two, "ONE TWO", "D105", `block "A" has no ENDBLK`},
		{"end of table missing", sectionOf("TABLES", "0 TABLE\n2 LAYER\n0 LAYER\n2 A") + two, "ONE TWO", "D105", "table LAYER has no ENDTAB"},
		{"cut off inside a block", strings.TrimSuffix(sectionOf("BLOCKS", "0 BLOCK\n2 A\n0 LINE"), "  0\nENDSEC\n"), "", "D102", "inside section BLOCKS"},
		{"no section name", strings.Replace(two, "  2\nENTITIES\n", "", 1), "", "D105 D105", "no name"},
		{"section in a section", strings.Replace(two, "  0\nTEXT\n", "  0\nSECTION\n  2\nENTITIES\n  0\nTEXT\n", 1), "ONE TWO", "D105", "has no ENDSEC"},
		{"entities twice", strings.Replace(two, "  0\nENDSEC\n", "  0\nENDSEC\n"+strings.Replace(strings.TrimSuffix(two, "  0\nEOF\n"), "ONE", "TRE", 1), 1), "ONE TWO TRE TWO", "", ""},
		{"a value that reads 0", strings.Replace(two, "\nONE\n", "\n0\n", 1), "0 TWO", "", ""},
		{"a value that reads like a record", strings.Replace(two, "\nONE\n", "\n  0\n", 1), "  0 TWO", "", ""},
		{"number that is none", strings.Replace(two, " 10\n0\n", " 10\n1,5\n", 1), "TWO", "", ""},
		{"ENDSEC alone", strings.Replace(two, "  0\nSECTION\n", "  0\nENDSEC\n  0\nSECTION\n", 1), "ONE TWO", "D109", "ENDSEC without a section"},
		{"section not opened", strings.Replace(two, "  0\nSECTION\n  2\nENTITIES\n", "", 1), "", "D105 D105", "2 records outside any section are not read"},
		{"records between sections", sectionOf("HEADER", "9 $ACADVER\n1 AC1015") + tagLines("0 LINE\n0 LINE") + two, "ONE TWO", "D105", "2 records outside any section are not read"},
		{"minimal", "0\nEOF\n", "", "D105", "there is no ENTITIES section"},
	}
	for _, c := range table {
		t.Run(c.name, func(t *testing.T) {
			d := mustParse(t, c.src)
			var got []string
			for _, x := range mustTexts(t, d, Options{}) {
				got = append(got, x.Text)
			}
			if s := strings.Join(got, " "); s != c.texts {
				t.Errorf("texts %q, want %q", s, c.texts)
			}
			if s := codes(d.Findings); s != c.codes {
				t.Errorf("findings %s, want %s: %+v", s, c.codes, d.Findings)
			}
			if c.message != "" && (len(d.Findings) == 0 || !strings.Contains(d.Findings[0].Message, c.message)) {
				t.Errorf("findings %+v, want %q", d.Findings, c.message)
			}
		})
	}
}

// TestNoDrawing refuses what is no drawing, quickly and without taking memory
// that the input does not justify.
func TestNoDrawing(t *testing.T) {
	long := strings.Repeat("x", 100<<20)
	table := []struct{ name, src, want string }{
		{"empty", "", "not a DXF drawing"},
		{"text", "Dear Sir,\nplease find attached\n", "not a DXF drawing"},
		{"other binary", "PK\x03\x04\x14\x00\x06\x00\x08\x00", "not a DXF drawing"},
		{"sentinel alone", sentinel, "not a DXF drawing"},
		{"one line of 100 MB", long, "not a DXF drawing"},
		{"a value of 100 MB", "  0\nSECTION\n  2\nENTITIES\n  0\nTEXT\n  1\n" + long, "line 7 has a value longer than 16 MiB"},
		{"a binary string without end", sentinel + "\x00\x00SECTION\x00\x02\x00ENTITIES\x00\x00\x00TEXT\x00\x01\x00" + long, "has a value longer than 16 MiB"},
	}
	for _, c := range table {
		t.Run(c.name, func(t *testing.T) {
			src := []byte(c.src)
			var err error
			grown := testing.AllocsPerRun(1, func() { _, err = Parse("x.dxf", src) })
			if err == nil || !strings.Contains(err.Error(), c.want) || !strings.HasPrefix(err.Error(), "x.dxf: ") {
				t.Errorf("error %v, want %q", err, c.want)
			}
			if grown > 1000 {
				t.Errorf("%v allocations", grown)
			}
		})
	}
}

// TestBinaryLengthClaims checks that lengths told by a binary file are not
// believed beyond its end.
func TestBinaryLengthClaims(t *testing.T) {
	head := sentinel + "\x00\x00SECTION\x00\x02\x00ENTITIES\x00"
	for name, tail := range map[string]string{
		"chunk past the end":  "\x00\x00IMAGE\x00\x36\x01\xffabc",
		"vertex count 2^31-1": "\x00\x00LWPOLYLINE\x00\x5a\x00\xff\xff\xff\x7f\x00\x00EOF\x00",
		"half a number":       "\x00\x00LINE\x00\x0a\x00\x01\x02",
	} {
		t.Run(name, func(t *testing.T) {
			d := mustParse(t, head+tail)
			if s := mustShapes(t, d, Options{}); len(s) != 0 {
				t.Errorf("shapes %v", s)
			}
		})
	}
}

// TestOpenMapped reads a file that is large enough to be mapped and cut into
// chunks that are read side by side.
func TestOpenMapped(t *testing.T) {
	src := generatedPlan(3500)
	for name, b := range map[string][]byte{"ascii": src, "binary": toBinary(string(src), 2), "binary R12": toBinary(string(src), 1)} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "big.dxf")
			if err := os.WriteFile(path, b, 0o600); err != nil {
				t.Fatal(err)
			}
			d, err := Open(path)
			if err != nil {
				t.Fatal(err)
			}
			defer d.Close()
			in, _ := mustInserts(t, d, Options{})
			if len(in) != 3500*7 {
				t.Errorf("%d inserts, want %d", len(in), 3500*7)
			}
		})
	}
}

func TestOpenErrors(t *testing.T) {
	if _, err := Open(filepath.Join(t.TempDir(), "none.dxf")); err == nil {
		t.Error("a missing file opens")
	}
	if _, err := Open(t.TempDir()); err == nil || !strings.Contains(err.Error(), "folder") {
		t.Errorf("a folder opens: %v", err)
	}
}
