package verify

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/dxf/tags"
)

// FuzzEdit edits whatever reads as a drawing: every tag of the original is
// there as before, the new ones are well formed, Strip gives the input back,
// and adding twice is adding once. compare compares record by record on
// its own account; here the tags are compared once more in the plainest way.
func FuzzEdit(f *testing.F) {
	for _, b := range fixtures(f) {
		f.Add(b)
		f.Add(toEOL(b, "\r\n"))
		width := 2
		if tags.NewSource("", b).Version < "AC1012" {
			width = 1
		}
		f.Add(binaryTwin(f, b, width))
	}
	golden, _ := filepath.Glob("../edit/testdata/*.dxf")
	for _, g := range golden {
		b, err := os.ReadFile(g)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, in []byte) {
		d, err := dxf.Parse("fuzz.dxf", in)
		if err != nil {
			return
		}
		for _, device := range []tags.Handle{0, 0x24} {
			for _, add := range []string{"label", "everything", "attribute"} {
				e := editLaws(t, add, in, additions(device)[add])
				if e == nil {
					continue
				}
				base, _ := edit.Strip("fuzz.dxf", in)
				tagsKept(t, base, e)
				_ = d
			}
		}
	})
}

// tagsKept checks that the tags of before, in order, are among those of after.
func tagsKept(t testing.TB, before []byte, e *edit.Result) {
	t.Helper()
	b, a := tags.NewSource("before", before), tags.NewSource("after", e.Bytes)
	sb, sa := b.Scanner(b.Body, len(before)), a.Scanner(a.Body, len(e.Bytes))
	prev := ""
	for {
		want, ok := sb.Next()
		if !ok {
			return
		}
		raw := before[want.Start:want.End]
		for {
			got, more := sa.Next()
			if !more {
				t.Fatalf("the tag %q at byte %d is lost", raw, want.Start)
			}
			if bytes.Equal(e.Bytes[got.Start:got.End], raw) {
				break
			}
			if changedOnPurpose(e, prev, want, b, got, a) {
				break
			}
		}
		prev = string(b.Raw(want))
	}
}

// changedOnPurpose accepts $HANDSEED and the attributes that were to change.
func changedOnPurpose(e *edit.Result, prev string, want tags.Tag, b *tags.Source, got tags.Tag, a *tags.Source) bool {
	if want.Code != got.Code {
		return false
	}
	old, now := b.Text(want), a.Text(got)
	if want.Code == 5 && string(bytes.TrimSpace([]byte(prev))) == "$HANDSEED" {
		was, _ := b.Handle(want)
		is, ok := a.Handle(got)
		return ok && is > was
	}
	for _, c := range e.Attribs {
		if want.Code == 1 && c.Old == old && now == c.Value { // which has nothing to escape
			return true
		}
	}
	return false
}
