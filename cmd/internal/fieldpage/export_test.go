package fieldpage

import (
	"bytes"
	"encoding/json"
	"io"
	"reflect"
	"strings"
	"testing"
)

// exports are files as the page writes them: cases of the tests and seeds of the fuzzing.
var exports = []string{
	`{"format":"loopwright field page","version":1,"job":"","revision":"","entries":[]}`,
	`{"format":"loopwright field page","version":1,"job":"A","revision":"2","exported":"2026-03-31T10:00:00.000Z","entries":[
 {"id":"L1-001","circuit":"SLC-1","address":90,"found":9,"done":true,"problem":true,"note":"a\n\"b\" </script>","at":"2026-03-31T10:00:00.000Z"},
 {"id":"L1-001","circuit":"PWR-1","address":0,"done":false,"problem":false},{"id":"L1-002","circuit":"","address":0,"found":0,"done":false,"problem":false}],
 "readings":[{"circuit":"SLC-1","end":"FACP","ohm":12.25,"initials":"AB","at":"x"},{"circuit":"SLC-1","end":"L1-001"}]}`,
	"\ufeff" + `{"format":"loopwright field page","version":1,"job":"消防","revision":"","entries":null}`,
}

// comesBack fails unless an export is the same after it was written and read.
func comesBack(t *testing.T, e export) {
	t.Helper()
	var b, c bytes.Buffer
	if err := e.write(&b); err != nil {
		t.Fatal(err)
	}
	again, err := parseExport(bytes.NewReader(b.Bytes()))
	if err != nil {
		t.Fatalf("what was written is refused: %v\n%s", err, b.Bytes())
	}
	if len(e.Readings) == 0 {
		e.Readings = again.Readings // none and an empty list are the same
	}
	if !reflect.DeepEqual(e, again) {
		t.Fatalf("came back otherwise:\n%+v\n%+v", e, again)
	}
	if err := again.write(&c); err != nil || !bytes.Equal(b.Bytes(), c.Bytes()) {
		t.Fatalf("other bytes the second time: %v", err)
	}
}

// write writes the export as the page does: two blanks in, a line end at the end.
func (e export) write(w io.Writer) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(e)
}

func TestParseExport(t *testing.T) {
	for _, s := range exports {
		e, err := parseExport(strings.NewReader(s))
		if err != nil {
			t.Errorf("%v\n%s", err, s)
			continue
		}
		comesBack(t, e)
	}
	e, err := parseExport(strings.NewReader(exports[1]))
	if err != nil {
		t.Fatal(err)
	}
	if len(e.Entries) != 3 || *e.Entries[0].Found != 9 || e.Entries[1].Found != nil || *e.Entries[2].Found != 0 || *e.Readings[0].Ohm != 12.25 || e.Readings[1].Ohm != nil {
		t.Errorf("%+v", e)
	}
}

func TestParseExportRefuses(t *testing.T) {
	full := exports[1]
	edit := func(old, new string) string { return strings.Replace(full, old, new, 1) }
	for _, tt := range []struct{ name, in, want string }{
		{"nothing", "", "not an export of the field page, or is damaged"},
		{"cut off", full[:200], "line 2: unexpected end"},
		{"not JSON", "id,address\n1,2\n", "line 1"},
		{"other JSON", `{"format":"geo","version":1}`, `its format is "geo"`},
		{"a list", `[1,2]`, "cannot unmarshal array"},
		{"later version", edit(`"version":1`, `"version":2`), "version 2, but this program reads version 1"},
		{"two values", full + "{}", "line 4: invalid character '{' after top-level value"},
		{"not UTF-8", edit("AB", "\xff"), "not UTF-8"},
		{"unknown key", edit(`"done":true`, `"done":true,"serial":"1"`), `unknown field "serial"`},
		{"text for a number", edit(`"found":9`, `"found":"9"`), "line 2: json: cannot unmarshal string"},
		{"half an address", edit(`"found":9`, `"found":9.5`), "cannot unmarshal number 9.5"},
		{"too large a number", edit(`"found":9`, `"found":99999999999999999999`), "cannot unmarshal number"},
		{"endless ohms", edit(`12.25`, `1e999`), "cannot unmarshal number 1e999"},
		{"no id", edit(`"id":"L1-001"`, `"id":""`), "entry 1 of the export names no device"},
		{"twice", edit(`"PWR-1"`, `"SLC-1"`), `entry 2 of the export: L1-001 is listed twice on circuit "SLC-1"`},
		{"address below none", edit(`"address":90`, `"address":-1`), "address -1"},
		{"endless note", edit(`a\n`, strings.Repeat("x", 10_001)), "longer than the page allows"},
		{"end twice", edit(`"end":"L1-001"`, `"end":"FACP"`), "reading 2 of the export: end FACP of circuit SLC-1 is listed twice"},
		{"reading of nothing", edit(`"end":"FACP"`, `"end":""`), "reading 1 of the export names no circuit or no end"},
		{"nested", strings.Repeat("[", 100_000), "exceeded max depth"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := parseExport(strings.NewReader(tt.in))
			if err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("%v\nwant %s", err, tt.want)
			}
		})
	}
}

func TestParseExportBoundsSize(t *testing.T) {
	if _, err := parseExport(endless{}); err == nil || !strings.Contains(err.Error(), "larger than 64 MB") {
		t.Error(err)
	}
}

// endless is a file without an end.
type endless struct{}

func (endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = ' '
	}
	return len(p), nil
}

func FuzzExport(f *testing.F) {
	for _, s := range exports {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		if e, err := parseExport(bytes.NewReader(data)); err == nil {
			comesBack(t, e)
		}
	})
}

func TestPath(t *testing.T) {
	for _, tt := range []struct{ name, in, want string }{
		{"a line", "0,0 1,0 1,2 -0.5,3", "M0 0h100v-200l-150-100"},
		{"steps below the grid", "0,0 0.001,0 0.004,0.004 0.01,0", "M0 0h1"},
		{"out of bounds", "0,0 1e300,0 1,1", "M0 0l100-100"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var p path
			p.line(points(t, tt.in), identity)
			if p.String() != tt.want {
				t.Errorf("%s, want %s", p.String(), tt.want)
			}
		})
	}
}
