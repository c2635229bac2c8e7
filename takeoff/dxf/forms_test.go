package dxf

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loopwright/takeoff/dxf/tags"
	"loopwright/testdata/against"
)

// TestAgainstOpenDrawingsForms writes every ASCII drawing of the reference folder in other
// forms, line ends and binary, and expects the same reading.
func TestAgainstOpenDrawingsForms(t *testing.T) {
	dir := against.Folder(t, "dxf", "open")
	files, _ := filepath.Glob(filepath.Join(dir, "*.dxf"))
	n := 0
	for _, name := range files {
		raw, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if len(raw) > 1<<20 || bytes.HasPrefix(raw, []byte(sentinel)) {
			continue
		}
		n++
		src := strings.ReplaceAll(string(raw), "\r\n", "\n")
		want := digest(t, src)
		forms := map[string]string{
			"CRLF": strings.ReplaceAll(src, "\n", "\r\n"),
			"BOM":  "\xef\xbb\xbf" + src,
		}
		if !strings.Contains(src, "\r") {
			forms["CR"] = strings.ReplaceAll(src, "\n", "\r")
		}
		if !strings.Contains(src, "\n999\n") && len(onlyFaults(t, src)) == 0 {
			forms["binary"] = string(toBinary(src, 2))
			forms["binary R12"] = string(toBinary(src, 1))
		}
		for form, s := range forms {
			if got := digest(t, s); got != want {
				t.Errorf("%s as %s: %s", filepath.Base(name), form, firstDifference(got, want))
			}
		}
	}
	if n < 20 {
		t.Errorf("only %d drawings", n)
	}
}

// TestAgainstOpenDrawingsDamage cuts real drawings off and takes single lines out of their
// entities. Damage must never pass in silence, and must cost no more than the
// records around it.
func TestAgainstOpenDrawingsDamage(t *testing.T) {
	dir := against.Folder(t, "dxf", "open")
	files, _ := filepath.Glob(filepath.Join(dir, "*.dxf"))
	rnd := rand.New(rand.NewPCG(1, 2))
	for _, name := range files {
		raw, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		whole := mustParse(t, string(raw))
		if len(raw) > 1<<20 || len(raw) < 1000 || whole.eof == whole.idx.Len() {
			continue
		}
		eof := whole.idx.Start(whole.eof)
		for range 20 {
			cut := whole.Body + rnd.IntN(eof-whole.Body)
			d, err := Parse("cut.dxf", raw[:cut])
			if err == nil && len(d.Findings) == 0 {
				t.Errorf("%s cut off at %d: no finding", filepath.Base(name), cut)
			}
		}
		entities, ok := whole.section("ENTITIES")
		body, end := whole.idx.Start(entities.first), whole.idx.Start(entities.last)
		if whole.Binary || !ok || len(whole.idx.Faults) > 0 || end-body < 200 {
			continue
		}
		before := len(mustTexts(t, whole, Options{Paper: true})) + whole.idx.Len()
		for range 20 {
			at := nextLine(raw, body+rnd.IntN(end-body-100))
			next := nextLine(raw, at)
			damaged := string(raw[:at]) + string(raw[next:])
			d := mustParse(t, damaged)
			_, found, _ := d.Inserts(Options{})
			if len(d.Findings)+len(found) == 0 {
				t.Errorf("%s without line %d: no finding", filepath.Base(name), whole.Line(at))
			}
			if after := len(mustTexts(t, d, Options{Paper: true})) + d.idx.Len(); before-after > 8 {
				t.Errorf("%s without line %d: %d records and texts lost", filepath.Base(name), whole.Line(at), before-after)
			}
		}
	}
}

// nextLine is where the line after an offset begins, in a drawing whose lines end
// with LF or CRLF as those of the reference folder do.
func nextLine(b []byte, at int) int { return at + bytes.IndexByte(b[at:], '\n') + 1 }

func onlyFaults(t *testing.T, src string) []tags.Fault { return mustParse(t, src).idx.Faults }

// digest writes out all that is read, without offsets.
func digest(t *testing.T, src string) string {
	d := mustParse(t, src)
	var b strings.Builder
	in, _ := mustInserts(t, d, Options{Paper: true})
	for _, i := range in {
		fmt.Fprintf(&b, "%+v\n", i)
	}
	for _, x := range mustTexts(t, d, Options{Paper: true}) {
		x.Offset = 0
		fmt.Fprintf(&b, "%+v\n", x)
	}
	for _, s := range mustShapes(t, d, Options{Paper: true}) {
		s.Offset = 0
		fmt.Fprintf(&b, "%+v\n", s)
	}
	fmt.Fprintln(&b, d.Units(), len(d.Layers), len(d.blocks))
	return b.String()
}

func firstDifference(a, b string) string {
	x, y := strings.Split(a, "\n"), strings.Split(b, "\n")
	for i := range min(len(x), len(y)) {
		if x[i] != y[i] {
			return fmt.Sprintf("line %d\n got %.300s\nwant %.300s", i, x[i], y[i])
		}
	}
	return fmt.Sprintf("%d lines, want %d", len(x), len(y))
}
