package verify

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"strings"
	"testing"

	"loopwright/takeoff/dxf/tags"
)

// fixtureVersions are the releases that small drawings of our own are made for.
var fixtureVersions = []string{"", "AC1004", "AC1006", "AC1009", "AC1012", "AC1014", "AC1015", "AC1018", "AC1021", "AC1024", "AC1027", "AC1032"}

// fixture is a small complete drawing: a line and an insert with an attribute
// in model space, a text in paper space where the version has it. Up to R12 it
// comes with handles or without.
func fixture(version string, handles bool) []byte {
	f := &fixtureWriter{}
	f.owned, f.styled = version >= "AC1012", version >= "AC1015"
	f.handles = handles || f.owned
	f.header(version)
	f.tables()
	f.blocks()
	f.entities()
	if f.owned {
		f.add("0", "SECTION", "2", "OBJECTS", "0", "DICTIONARY", "5", "C", "330", "0", "100", "AcDbDictionary",
			"0", "ACDBPLACEHOLDER", "5", "F", "330", "C", "0", "ENDSEC")
	}
	f.add("0", "EOF")
	return []byte(f.String())
}

type fixtureWriter struct {
	strings.Builder
	owned   bool // from R13: owners and subclass markers
	styled  bool // from R2000: lineweights and plot styles
	handles bool
}

// add writes codes and values; codes are padded as CAD programs do.
func (f *fixtureWriter) add(words ...string) {
	for i := 0; i < len(words); i += 2 {
		fmt.Fprintf(f, "%3s\n%s\n", words[i], words[i+1])
	}
}

func (f *fixtureWriter) header(version string) {
	f.add("999", "a small drawing of our own", "0", "SECTION", "2", "HEADER")
	if version != "" {
		f.add("9", "$ACADVER", "1", version)
	}
	if version != "" {
		f.add("9", "$DWGCODEPAGE", "3", "ANSI_1252")
	}
	if f.handles {
		if !f.owned {
			f.add("9", "$HANDLING", "70", "1")
		}
		f.add("9", "$HANDSEED", "5", "2B")
	}
	f.add("9", "$EXTMAX", "10", "100.0", "20", "60.0", "30", "0.0", "0", "ENDSEC")
}

func (f *fixtureWriter) table(name, handle string) {
	f.add("0", "TABLE", "2", name)
	if f.owned {
		f.add("5", handle, "330", "0", "100", "AcDbSymbolTable")
	}
	f.add("70", "1")
}

func (f *fixtureWriter) record(typ, class, handle, owner string) {
	f.add("0", typ)
	if f.owned {
		f.add("5", handle, "330", owner, "100", "AcDbSymbolTableRecord", "100", class)
	}
}

func (f *fixtureWriter) tables() {
	f.add("0", "SECTION", "2", "TABLES")
	f.table("LAYER", "2")
	f.record("LAYER", "AcDbLayerTableRecord", "10", "2")
	f.add("2", "0", "70", "0", "62", "7", "6", "Continuous")
	if f.styled {
		f.add("370", "-3", "390", "F")
	}
	f.add("0", "ENDTAB")
	f.table("STYLE", "3")
	f.record("STYLE", "AcDbTextStyleTableRecord", "11", "3")
	f.add("2", "Standard", "70", "0", "40", "0.0", "41", "1.0", "50", "0.0", "71", "0", "42", "2.5", "3", "txt", "4", "", "0", "ENDTAB")
	f.table("APPID", "9")
	f.record("APPID", "AcDbRegAppTableRecord", "12", "9")
	f.add("2", "ACAD", "70", "0", "0", "ENDTAB")
	if f.owned {
		f.table("BLOCK_RECORD", "1")
		f.record("BLOCK_RECORD", "AcDbBlockTableRecord", "1F", "1")
		f.add("2", "*Model_Space")
		f.record("BLOCK_RECORD", "AcDbBlockTableRecord", "1B", "1")
		f.add("2", "*Paper_Space")
		f.record("BLOCK_RECORD", "AcDbBlockTableRecord", "18", "1")
		f.add("2", "SMK", "0", "ENDTAB")
	}
	f.add("0", "ENDSEC")
}

// entity writes the head of an entity.
func (f *fixtureWriter) entity(typ, class, handle, owner string) {
	f.add("0", typ)
	if f.handles {
		f.add("5", handle)
	}
	if f.owned {
		f.add("330", owner, "100", "AcDbEntity")
	}
	f.add("8", "0")
	if f.owned && class != "" {
		f.add("100", class)
	}
}

func (f *fixtureWriter) blocks() {
	f.add("0", "SECTION", "2", "BLOCKS")
	f.entity("BLOCK", "AcDbBlockBegin", "20", "18")
	f.add("2", "SMK", "70", "2", "10", "0.0", "20", "0.0", "30", "0.0", "3", "SMK", "1", "")
	f.entity("CIRCLE", "AcDbCircle", "21", "18")
	f.add("10", "0.0", "20", "0.0", "30", "0.0", "40", "3.0")
	f.entity("ENDBLK", "AcDbBlockEnd", "22", "18")
	f.add("0", "ENDSEC")
}

func (f *fixtureWriter) entities() {
	f.add("0", "SECTION", "2", "ENTITIES")
	f.entity("LINE", "AcDbLine", "23", "1F")
	f.add("10", "0.0", "20", "0.0", "30", "0.0", "11", "100.0", "21", "60.0", "31", "0.0")
	f.entity("INSERT", "AcDbBlockReference", "24", "1F")
	f.add("66", "1", "2", "SMK", "10", "40.0", "20", "30.0", "30", "0.0")
	f.entity("ATTRIB", "AcDbText", "25", "24")
	f.add("10", "41.0", "20", "31.0", "30", "0.0", "40", "2.0", "1", "S-1")
	if f.owned {
		f.add("100", "AcDbAttribute")
	}
	f.add("2", "TAG", "70", "0")
	f.entity("SEQEND", "", "26", "24")
	f.entity("TEXT", "AcDbText", "27", "1F")
	f.add("10", "0.0", "20", "0.0", "30", "0.0", "40", "2.0", "1", "  0")
	if f.owned {
		f.add("100", "AcDbText")
	}
	f.add("0", "ENDSEC")
}

// dropTable removes a table from a text drawing.
func dropTable(b []byte, name string) []byte {
	from := bytes.Index(b, []byte("  0\nTABLE\n  2\n"+name+"\n"))
	end := []byte("  0\nENDTAB\n")
	to := from + bytes.Index(b[from:], end) + len(end)
	return append(bytes.Clone(b[:from]), b[to:]...)
}

// dropSection removes a section from a text drawing.
func dropSection(b []byte, name string) []byte {
	from := bytes.Index(b, []byte("  0\nSECTION\n  2\n"+name+"\n"))
	end := []byte("  0\nENDSEC\n")
	to := from + bytes.Index(b[from:], end) + len(end)
	return append(bytes.Clone(b[:from]), b[to:]...)
}

// replaceOnce replaces the first old and fails where there is none.
func replaceOnce(t testing.TB, b []byte, old, text string) []byte {
	t.Helper()
	if !bytes.Contains(b, []byte(old)) {
		t.Fatalf("%q is not in the drawing", old)
	}
	return bytes.Replace(b, []byte(old), []byte(text), 1)
}

// binaryTwin turns a text drawing into a binary one, written independently of
// the emitter under test. Comments have no place there and are left out.
func binaryTwin(t testing.TB, text []byte, width int) []byte {
	t.Helper()
	out := []byte("AutoCAD Binary DXF\r\n\x1a\x00")
	src := tags.NewSource("text", text)
	sc := src.Scanner(src.Body, len(text))
	for {
		tag, ok := sc.Next()
		if !ok {
			return out
		}
		if tag.Code == 999 {
			continue
		}
		switch {
		case width == 2:
			out = append(out, byte(tag.Code), byte(tag.Code>>8))
		case tag.Code >= 255:
			out = append(out, 255, byte(tag.Code), byte(tag.Code>>8))
		default:
			out = append(out, byte(tag.Code))
		}
		f, _ := src.Float(tag)
		n, _ := src.Int(tag)
		switch c := tag.Code; {
		case c >= 10 && c < 60 || c >= 110 && c < 150 || c >= 210 && c < 240:
			out = binary.LittleEndian.AppendUint64(out, math.Float64bits(f))
		case c >= 60 && c < 80 || c >= 170 && c < 180 || c >= 270 && c < 290 || c >= 370 && c < 390 || c == 1070:
			out = append(out, byte(n), byte(n>>8))
		case c >= 90 && c < 100 || c == 1071:
			out = binary.LittleEndian.AppendUint32(out, uint32(n))
		default:
			out = append(append(out, src.Raw(tag)...), 0)
		}
	}
}

// toEOL changes the line ends of a text drawing.
func toEOL(b []byte, eol string) []byte { return bytes.ReplaceAll(b, []byte("\n"), []byte(eol)) }
