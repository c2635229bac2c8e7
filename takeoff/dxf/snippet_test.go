package dxf

import (
	"bytes"
	"encoding/binary"
	"math"
	"strconv"
	"strings"
	"testing"
)

// tagLines turns compact text into a drawing: one tag a line, "code value", with
// blank lines and indentation ignored. The value may be empty.
func tagLines(compact string) string {
	var b strings.Builder
	for line := range strings.SplitSeq(compact, "\n") {
		line = strings.TrimLeft(line, " \t")
		if line == "" {
			continue
		}
		code, value, _ := strings.Cut(line, " ")
		b.WriteString(strings.Repeat(" ", max(0, 3-len(code))) + code + "\n" + value + "\n")
	}
	return b.String()
}

// drawingOf wraps sections given as compact text: header variables, layer table
// entries and blocks may be "".
func drawingOf(header, layers, blocks, entities string) string {
	var b strings.Builder
	if header != "" {
		b.WriteString("0 SECTION\n2 HEADER\n" + header + "\n0 ENDSEC\n")
	}
	if layers != "" {
		b.WriteString("0 SECTION\n2 TABLES\n0 TABLE\n2 LAYER\n70 1\n" + layers + "\n0 ENDTAB\n0 ENDSEC\n")
	}
	if blocks != "" {
		b.WriteString("0 SECTION\n2 BLOCKS\n" + blocks + "\n0 ENDSEC\n")
	}
	b.WriteString("0 SECTION\n2 ENTITIES\n" + entities + "\n0 ENDSEC\n0 EOF\n")
	return tagLines(b.String())
}

// block makes a block definition with base point 0,0.
func block(name, content string) string {
	return "0 BLOCK\n8 0\n2 " + name + "\n70 0\n10 0\n20 0\n30 0\n" + content + "\n0 ENDBLK\n"
}

func mustParse(t testing.TB, src string) *Drawing {
	t.Helper()
	d, err := Parse("test.dxf", []byte(src))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func mustInserts(t testing.TB, d *Drawing, opt Options) ([]Insert, []Finding) {
	t.Helper()
	in, f, err := d.Inserts(opt)
	if err != nil {
		t.Fatal(err)
	}
	return in, f
}

func mustTexts(t testing.TB, d *Drawing, opt Options) []Text {
	t.Helper()
	texts, _, err := d.Texts(opt)
	if err != nil {
		t.Fatal(err)
	}
	return texts
}

func mustShapes(t testing.TB, d *Drawing, opt Options) []Shape {
	t.Helper()
	s, _, err := d.Shapes(opt)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func codes(fs []Finding) string {
	var out []string
	for _, f := range fs {
		out = append(out, f.Code)
	}
	return strings.Join(out, " ")
}

// sentinel is what a binary drawing begins with.
const sentinel = "AutoCAD Binary DXF\r\n\x1a\x00"

// toBinary translates an ASCII drawing to binary DXF with group codes of width
// bytes. It is written from the published description of the format and shares
// no code with the reader.
func toBinary(src string, width int) []byte {
	var b bytes.Buffer
	b.WriteString(sentinel)
	lines := strings.Split(strings.TrimSuffix(strings.ReplaceAll(src, "\r\n", "\n"), "\n"), "\n")
	for i := 0; i+1 < len(lines); i += 2 {
		code, _ := strconv.Atoi(strings.TrimSpace(lines[i]))
		switch {
		case width == 2:
			binary.Write(&b, binary.LittleEndian, uint16(code))
		case code >= 255:
			b.WriteByte(255)
			binary.Write(&b, binary.LittleEndian, uint16(code))
		default:
			b.WriteByte(byte(code))
		}
		binaryValue(&b, code, lines[i+1])
	}
	return b.Bytes()
}

func binaryValue(b *bytes.Buffer, code int, value string) {
	num := strings.TrimSpace(value)
	f, _ := strconv.ParseFloat(num, 64)
	in := func(from, to int) bool { return code >= from && code <= to }
	switch {
	case in(10, 59), in(110, 149), in(210, 239), in(460, 469), in(1010, 1059):
		binary.Write(b, binary.LittleEndian, math.Float64bits(f))
	case in(60, 79), in(170, 179), in(270, 289), in(370, 389), in(400, 409), in(1060, 1070):
		binary.Write(b, binary.LittleEndian, int16(f))
	case in(90, 99), in(420, 429), in(440, 459), code == 1071:
		binary.Write(b, binary.LittleEndian, int32(f))
	case in(160, 169):
		binary.Write(b, binary.LittleEndian, int64(f))
	case in(290, 299):
		b.WriteByte(byte(f))
	case in(310, 319), code == 1004:
		b.WriteByte(byte(len(value)))
		b.WriteString(value)
	default:
		b.WriteString(value + "\x00")
	}
}

// cutAt returns what stands before a mark, which must be there.
func cutAt(t testing.TB, src []byte, mark string) []byte {
	t.Helper()
	before, _, ok := bytes.Cut(src, []byte(mark))
	if !ok {
		t.Fatalf("the drawing holds no %q", mark)
	}
	return before
}
