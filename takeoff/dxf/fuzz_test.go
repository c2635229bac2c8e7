package dxf

import (
	"bytes"
	"io"
	"runtime"
	"strings"
	"testing"
	"unicode/utf8"
)

// fuzzSeeds are the drawings of the test tables, in both forms.
func fuzzSeeds() [][]byte {
	var texts []string
	add := func(s string) { texts = append(texts, s) }
	add(plain)
	add(strings.ReplaceAll(plain, "\n", "\r\n"))
	add(strings.ReplaceAll(plain, "\n", "\r"))
	for _, c := range insertCases {
		add(drawingOf("", c.layers, c.blocks, c.entities))
	}
	for _, c := range textCases {
		add(drawingOf("9 $ACADVER\n1 AC1032", "", c.blocks, c.entities))
	}
	for _, c := range shapeCases {
		add(drawingOf("", "", c.blocks, c.entities))
	}
	add(dynamic("1001 AcDbBlockRepBTag\n1070 1\n1005 2B5", "102 {ACAD_XDICTIONARY\n360 2D9\n102 }\n",
		"0 DICTIONARY\n5 2D9\n3 AcDbBlockRepresentation\n360 2DA\n0 DICTIONARY\n5 2DA\n3 AcDbRepData\n360 2DB\n0 ACDB_BLOCKREPRESENTATION_DATA\n5 2DB\n340 2B5"))
	for _, c := range mtextCases {
		add(drawingOf("", "", "", "0 MTEXT\n1 "+c.in))
	}
	var out [][]byte
	for _, s := range texts {
		out = append(out, []byte(s), toBinary(s, 2), toBinary(s, 1))
	}
	return out
}

// FuzzParse reads anything: it must not panic and not take memory out of
// proportion.
func FuzzParse(f *testing.F) {
	for _, s := range fuzzSeeds() {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		if len(b) > 1<<20 {
			return
		}
		keep := bytes.Clone(b)
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		d, err := Parse("fuzz.dxf", b)
		runtime.ReadMemStats(&after)
		if grown := after.TotalAlloc - before.TotalAlloc; grown > 1<<20+400*uint64(len(b)) {
			t.Errorf("reading %d bytes took %d bytes of memory", len(b), grown)
		}
		if err != nil {
			return
		}
		opt := Options{limit: 3000, Paper: true}
		in, _, err := d.Inserts(opt)
		if err == nil && len(in) > 3000 {
			t.Errorf("%d inserts", len(in))
		}
		for i := range in {
			if !in[i].Transform.near() || in[i].XScale < 0 || in[i].Rotation < 0 || in[i].Rotation >= 360 {
				t.Errorf("insert %+v", in[i])
			}
		}
		texts, _, _ := d.Texts(opt)
		for i := range texts {
			if !utf8.ValidString(texts[i].Text) {
				t.Errorf("text %q", texts[i].Text)
			}
		}
		d.Shapes(opt)
		if err == nil {
			for _, blk := range d.blocks[:min(len(d.blocks), 8)] {
				if blk.node.shapes+blk.node.texts < 3000 {
					d.BlockExtent(blk.name)
				}
			}
		}
		d.Units()
		_ = WriteSurveyJSON(io.Discard, []*Drawing{d}, SurveyOptions{Inserts: true, Options: opt})
		if !bytes.Equal(keep, b) {
			t.Error("reading changed the bytes")
		}
	})
}

// FuzzPlain: resolving codes of texts never panics and gives valid text.
func FuzzPlain(f *testing.F) {
	for _, c := range mtextCases {
		f.Add(c.in)
	}
	f.Fuzz(func(t *testing.T, s string) {
		s = strings.ToValidUTF8(s, "?")
		for _, out := range []string{plainMText(s), plainText(s)} {
			if !utf8.ValidString(out) {
				t.Errorf("%q becomes %q", s, out)
			}
			if len(out) > 4*len(s)+16 {
				t.Errorf("%d bytes become %d", len(s), len(out))
			}
		}
	})
}
