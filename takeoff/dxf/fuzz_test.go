package dxf

import (
	"bytes"
	"io"
	"runtime"
	"slices"
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

// FuzzParse reads anything: it must not panic, not take memory out of proportion,
// and the index must tile the file and be the same however the file is cut.
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
		checkTiling(t, d)
		checkCuts(t, d)
		opt := Options{Limit: 3000, Paper: true}
		in, _, err := d.Inserts(opt)
		if err == nil && len(in) > 3000 {
			t.Errorf("%d inserts", len(in))
		}
		for i := range in {
			if !in[i].Transform.finite() || in[i].XScale < 0 || in[i].Rotation < 0 || in[i].Rotation >= 360 {
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
			for _, blk := range d.Blocks[:min(len(d.Blocks), 8)] {
				if blk.node.shapes+blk.node.texts < 3000 {
					d.BlockExtent(blk.Name)
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

// checkTiling: records follow each other without gap, and the tags of a record
// without faults, put together, are its bytes.
func checkTiling(t *testing.T, d *Drawing) {
	last := -1
	for i := range min(d.eof+1, d.idx.len()) {
		start, end := d.idx.start(i), d.idx.stop(i)
		if last >= 0 && start != last || end < start {
			t.Fatalf("record at %d after one that ends at %d", start, last)
		}
		last = end
		at := start
		sc := d.Scanner(start, end)
		for {
			tag, ok := sc.Next()
			if !ok {
				break
			}
			if tag.Start != at || tag.ValStart < tag.Start || tag.ValEnd < tag.ValStart || tag.End < tag.ValEnd || tag.End > end {
				t.Fatalf("tag %+v at %d", tag, at)
			}
			at = tag.End
			d.Text(tag)
			d.Float(tag)
			d.Int(tag)
		}
		if len(sc.Faults) == 0 && at != end && len(bytes.Trim(d.Bytes[at:end], " \t\r\n\x00\x1a")) > 0 {
			t.Fatalf("tags end at %d, the record at %d", at, end)
		}
	}
}

// checkCuts: reading in small chunks gives what one walk gives.
func checkCuts(t *testing.T, d *Drawing) {
	for _, size := range []int{7, 64, 301} {
		x := buildIndex(&d.Source, size)
		if !slices.Equal(x.at, d.idx.at) || x.end != d.idx.end {
			t.Fatalf("chunks of %d: %d records end %d, want %d end %d", size, x.len(), x.end, d.idx.len(), d.idx.end)
		}
	}
}

// FuzzPlain: resolving codes of texts never panics and gives valid text.
func FuzzPlain(f *testing.F) {
	for _, c := range mtextCases {
		f.Add(c.in)
	}
	f.Fuzz(func(t *testing.T, s string) {
		s = strings.ToValidUTF8(s, "?")
		for _, out := range []string{PlainMText(s), PlainText(s), decodeEscapes(s)} {
			if !utf8.ValidString(out) {
				t.Errorf("%q becomes %q", s, out)
			}
			if len(out) > 4*len(s)+16 {
				t.Errorf("%d bytes become %d", len(s), len(out))
			}
		}
	})
}
