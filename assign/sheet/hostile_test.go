package sheet

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"runtime"
	"strings"
	"testing"
	"unicode/utf16"
)

// smallPDF writes a document of these objects, the first of them the catalog,
// with a plain cross-reference table.
func smallPDF(objects ...string) []byte {
	var b bytes.Buffer
	b.WriteString("%PDF-1.7\n")
	var offsets []int
	for i, o := range objects {
		offsets = append(offsets, b.Len())
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", i+1, o)
	}
	start := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(objects)+1)
	for _, at := range offsets {
		fmt.Fprintf(&b, "%010d 00000 n \n", at)
	}
	fmt.Fprintf(&b, "trailer\n<</Size %d/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n", len(objects)+1, start)
	return b.Bytes()
}

// smallForm is a document of one empty page with one field, object 4, and
// whatever else that needs, objects 5, 6, ...
func smallForm(fields ...string) []byte {
	return smallPDF(append([]string{"<</Type/Catalog/Pages 2 0 R/AcroForm<</Fields[4 0 R]>>>>", "<</Type/Pages/Kids[3 0 R]/Count 1>>",
		"<</Type/Page/Parent 2 0 R/MediaBox[0 0 9 9]>>"}, fields...)...)
}

// deflated packs zeroes, blanks or whatever repeats, without ever holding it.
func deflated(head string, fill byte, n int) string {
	var b bytes.Buffer
	w, _ := zlib.NewWriterLevel(&b, zlib.BestCompression)
	w.Write([]byte(head))
	block := bytes.Repeat([]byte{fill}, 1<<20)
	for ; n > 0; n -= len(block) {
		w.Write(block[:min(n, len(block))])
	}
	w.Close()
	return b.String()
}

// shared writes a document in which objects 4 to 4+n-1 are the same stream of
// objects, each said to hold one field, and the form names all of those.
func shared(n int, stream string) []byte {
	var b bytes.Buffer
	b.WriteString("%PDF-1.7\n")
	at := func(number int, body string) (offset int) {
		offset = b.Len()
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", number, body)
		return offset
	}
	refs := strings.Builder{}
	for i := range n {
		fmt.Fprintf(&refs, "%d 0 R ", 4+n+i)
	}
	places := []int{0, at(1, "<</Type/Catalog/Pages 2 0 R/AcroForm<</Fields["+refs.String()+"]>>>>"),
		at(2, "<</Type/Pages/Kids[3 0 R]/Count 1>>"), at(3, "<</Type/Page/Parent 2 0 R/MediaBox[0 0 9 9]>>")}
	same := at(4, stream)
	table := []byte{}
	entry := func(kind byte, at, within int) {
		table = append(table, kind, byte(at>>24), byte(at>>16), byte(at>>8), byte(at), byte(within>>8), byte(within))
	}
	for i, p := range places {
		entry(byte(min(i, 1)), p, 0)
	}
	for range n {
		entry(1, same, 0)
	}
	for i := range n {
		entry(2, 4+i, 0)
	}
	start := b.Len()
	entry(1, start, 0)
	packed := deflated(string(table), 0, 0)
	at(4+2*n, fmt.Sprintf("<</Type/XRef/Size %d/W[1 4 2]/Root 1 0 R/Filter/FlateDecode/Length %d>>\nstream\n%s\nendstream", 5+2*n, len(packed), packed))
	fmt.Fprintf(&b, "startxref\n%d\n%%%%EOF\n", start)
	return b.Bytes()
}

func stream(entries, content string) string {
	return fmt.Sprintf("<<%s/Length %d>>\nstream\n%s\nendstream", entries, len(content), content)
}

// No file takes more than a bounded share of a computer, however it is made. A
// bound on what is ever allocated bounds the time as well.
func TestHostileForms(t *testing.T) {
	field := "<</FT/Tx/T(SLC-1/D-1/remark)/V(x)>>"
	big := deflated("4 0 "+field, ' ', 200<<20)
	many := deflated(strings.Repeat("9 0 ", 1<<20), ' ', 0)
	self := func(width int) []byte { return smallForm("<</Kids[" + strings.Repeat("4 0 R ", width) + "]>>") }
	for name, data := range map[string][]byte{
		"one stream that unpacks to 200 MB":      shared(1, stream("/Type/ObjStm/N 1/First 4/Filter/FlateDecode", big)),
		"a hundred streams of 15 MB":             shared(100, stream("/Type/ObjStm/N 1/First 4/Filter/FlateDecode", deflated("4 0 "+field, ' ', 15<<20))),
		"ten thousand names of one large stream": shared(10_000, stream("/Type/ObjStm/N 1/First 4", "4 0 "+field+strings.Repeat(" ", 1<<20))),
		"a million objects in a stream":          shared(1, stream(fmt.Sprintf("/Type/ObjStm/N %d/First %d/Filter/FlateDecode", 1<<20, 4<<20), many)),
		"ten million objects promised":           bytes.Replace(shared(1, stream("/Type/ObjStm/N 1/First 4", "5 0 "+field)), []byte("/Size 7"), []byte("/Size 10000000/Index[0 10000000]"), 1),
		"a field below itself":                   self(1),
		"a field ten times below itself":         self(10),
		"a field a thousand times below itself":  self(1000),
		"a form within itself":                   smallPDF("<</Type/Catalog/Pages 2 0 R/AcroForm 1 0 R/Fields 3 0 R>>", "<</Type/Pages/Kids[]/Count 0>>", "3 0 R"),
		"a value that is itself":                 smallForm("<</T(SLC-1/D-1/remark)/V 4 0 R>>"),
		"an endless chain of references":         smallForm("<</T(SLC-1/D-1/remark)/V 5 0 R>>", "6 0 R", "5 0 R"),
		"a long name a thousand times":           smallForm("<</T("+strings.Repeat("n", 60_000)+")/Kids["+strings.Repeat("5 0 R ", 1000)+"]>>", "<</T("+strings.Repeat("m", 60_000)+")/Kids["+strings.Repeat("6 0 R ", 1000)+"]>>", "<</T(x)>>"),
		"a long value a hundred thousand times":  smallForm("<</Kids["+strings.Repeat("5 0 R ", 100_000)+"]>>", "<</T(SLC-1/D-1/remark)/V 6 0 R>>", "("+strings.Repeat("v", 1<<20)+")"),
		"arrays within arrays":                   smallForm("<</T(SLC-1/D-1/remark)/V " + strings.Repeat("[", 1<<20) + ">>"),
		"a table that comes before itself":       bytes.Replace(smallForm(field), []byte("/Root 1 0 R"), []byte("/Root 1 0 R/Prev 9"), 1),
		"a megabyte of the word obj":             append([]byte("%PDF-1.7\n"), strings.Repeat("1 0 obj\n", 1<<17)...),
		"the word obj and a megabyte of lines":   append([]byte("%PDF-1.7\n"+strings.Repeat("1 0 obj\n", 1<<10)), strings.Repeat("%\n\r", 1<<19)...),
		"a megabyte of the word stream":          append([]byte("%PDF-1.7\n1 0 obj\n<</Length 9>>\n"), strings.Repeat("stream\n", 1<<17)...),
		"a megabyte of brackets":                 append([]byte("%PDF-1.7\n1 0 obj\n"), strings.Repeat("<<", 1<<19)...),
		"a megabyte of the word trailer":         append([]byte("%PDF-1.7\n"), strings.Repeat("trailer<<>>\nstartxref\n9\n", 1<<16)...),
	} {
		t.Run(name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			es, err := ReadForm(bytes.NewReader(data))
			runtime.ReadMemStats(&after)
			t.Logf("%d bytes: %d entries, %.200v, %d MB", len(data), len(es), err, (after.TotalAlloc-before.TotalAlloc)>>20)
			if mb := (after.TotalAlloc - before.TotalAlloc) >> 20; mb > 4000 {
				t.Errorf("%d MB were taken for a file of %d bytes", mb, len(data))
			}
		})
	}
}

// coded writes a text in one of the ways in which programs write texts.
func coded(text string, way int) string {
	var units bytes.Buffer
	for _, u := range utf16.Encode([]rune(text)) {
		units.Write([]byte{byte(u >> 8), byte(u)})
	}
	switch way % 4 {
	case 0:
		return "(" + escaped("\xfe\xff"+units.String()) + ")"
	case 1:
		return fmt.Sprintf("<FEFF%X>", units.Bytes())
	case 2:
		return "(" + escaped("\xef\xbb\xbf"+text) + ")"
	}
	return textString(text)
}

// escaped writes every byte of a literal in octal digits: the plainest way there is.
func escaped(s string) string {
	var b strings.Builder
	for i := range len(s) {
		fmt.Fprintf(&b, "\\%03o", s[i])
	}
	return b.String()
}

// What stands in a small form comes back, whatever is written and in whatever
// way; with a byte of the file changed nothing breaks.
func FuzzReadForm(f *testing.F) {
	for way := range 16 {
		f.Add("SLC-1", "L1-023", "101", way, 0, byte(0))
	}
	for text, id := range fills {
		f.Add("a/b.c%", text, id, 5, 0, byte(0))
	}
	f.Add("SLC-1", "D-1", "x", 0, 40, byte('<'))
	f.Add("", "", "", 1, 200, byte(' '))
	f.Fuzz(func(t *testing.T, circuit, id, text string, way, at int, b byte) {
		circuit, id, text = strings.ToValidUTF8(circuit, "?"), strings.ToValidUTF8(id, "?"), strings.ToValidUTF8(text, "?")
		if len(circuit)+len(id)+len(text) > 2000 {
			return
		}
		way &= 15
		name, value := coded(FieldName(circuit, id, FieldRemark), way), coded(text, way)
		fields := []string{"<</FT/Tx/T" + name + "/V" + value + ">>"}
		switch way / 4 {
		case 1: // the value apart
			fields = []string{"<</FT/Tx/T" + name + "/V 5 0 R>>", value}
		case 2: // the field below another without a name
			fields = []string{"<</Kids[5 0 R]>>", "<</FT/Tx/T" + name + "/V" + value + ">>"}
		case 3: // the field's look apart
			fields = []string{"<</FT/Tx/T" + name + "/V" + value + "/Kids[5 0 R]>>", "<</Subtype/Widget>>"}
		}
		data := smallForm(fields...)
		if at > 0 {
			data[at%len(data)] = b
		}
		es, err := ReadForm(bytes.NewReader(data))
		switch {
		case err == nil && len(es) == 0:
			t.Error("no entries and no error")
		case at > 0:
			return
		case err != nil:
			t.Fatalf("%v\n%s", err, data)
		case len(es) != 1 || es[0].Circuit != circuit || es[0].ID != id || es[0].Remark != strings.TrimSpace(text):
			t.Errorf("%q %q %q came back as %+v", circuit, id, text, es)
		}
	})
}

// Any bytes whatever, from small documents on.
func FuzzReadFormBytes(f *testing.F) {
	f.Add(smallForm("<</Kids[5 0 R 6 0 R]>>", "<</FT/Tx/T(SLC-1/D-1/found)/V(101)>>", "<</FT/Btn/T(SLC-1/D-1/set)/V/Yes>>"))
	f.Add(shared(2, stream("/Type/ObjStm/N 1/First 4", "6 0 <</T(a/b/ohm)/V(1)>>")))
	f.Add([]byte("%PDF-1.7\ntrailer<</Root 1 0 R>>"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 4096 {
			return
		}
		if es, err := ReadForm(bytes.NewReader(data)); err == nil && len(es) == 0 {
			t.Error("no entries and no error")
		}
	})
}
