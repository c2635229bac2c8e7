package sheet

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"loopwright/assign"
	"loopwright/takeoff"
	"loopwright/testdata/against"
)

// fills are what somebody types on site, in several scripts, and what must come back.
var fills = map[string]string{
	"SLC-1/D-1/found":        "101",
	"SLC-1/D-1/serial":       "SN (7)\\x",
	"SLC-1/D-1/remark":       "é ß ü – „quoted“",
	"SLC-1/D-2/remark":       "Zażółć gęślą jaźń",
	"SLC-1/D-3/remark":       "図書館 𠮷野",
	"SLC-1/D-4/remark":       "Łódź €5 ﬁne",
	"SLC-1/a%2Fb%2Ec/remark": "slash",
}

var ticked = []string{"SLC-1/D-1/set", "SLC-1/D-1/mounted", "SLC-1/D-2/tested"}

func formSheet(t testing.TB) string {
	t.Helper()
	c := every(t, assign.Scheme{Name: "binary7"})
	c.Rows = c.Rows[:30]
	c.Rows[4].ID = "a/b.c"
	doc, err := SwitchSheets(Job{Name: "Test"}, []Circuit{c, {Name: "NAC-1", Kind: takeoff.NAC, Rows: []Row{{Order: 1, ID: "H-1"}}}}, SwitchOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return saved(t, doc.PDF)
}

func readFile(t testing.TB, f string) []Entry {
	t.Helper()
	data, err := os.ReadFile(f)
	if err != nil {
		t.Fatal(err)
	}
	es, err := ReadForm(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return es
}

func TestUnfilledSheetReadsBackEmpty(t *testing.T) {
	es := readFile(t, formSheet(t))
	if len(es) != 31 {
		t.Fatalf("%d entries, want 31", len(es))
	}
	for _, e := range es {
		if e != (Entry{Circuit: e.Circuit, ID: e.ID}) {
			t.Errorf("%+v is not empty", e)
		}
	}
	if !slices.ContainsFunc(es, func(e Entry) bool { return e.Circuit == "SLC-1" && e.ID == "a/b.c" }) {
		t.Error("the id with a slash and a full stop did not come back")
	}
}

// The sheet is filled in by three other programs; what was typed comes back.
func TestAgainstFillersOfForms(t *testing.T) {
	for name, fill := range map[string]func(testing.TB, string, string){"pypdf": fillPython("pypdf", pypdfFill), "pikepdf": fillPython("pikepdf", pikepdfFill), "qpdf": fillQPDF} {
		t.Run(name, func(t *testing.T) {
			in := formSheet(t)
			out := filepath.Join(filepath.Dir(in), "filled.pdf")
			fill(t, in, out)
			checkFilled(t, readFile(t, out))
			packed := filepath.Join(filepath.Dir(in), "packed.pdf")
			output(t, "qpdf", "--object-streams=generate", out, packed)
			checkFilled(t, readFile(t, packed))
		})
	}
}

func checkFilled(t *testing.T, es []Entry) {
	t.Helper()
	if len(es) != 31 {
		t.Errorf("%d entries, want 31", len(es))
	}
	got, ticks := map[string]string{}, []string{}
	for _, e := range es {
		for what, v := range e.texts() {
			if *v != "" {
				got[FieldName(e.Circuit, e.ID, what)] = *v
			}
		}
		for what, v := range e.ticks() {
			if *v {
				ticks = append(ticks, FieldName(e.Circuit, e.ID, what))
			}
		}
	}
	for name, want := range fills {
		if got[name] != want {
			t.Errorf("%s: %q came back as %q", name, want, got[name])
		}
	}
	if len(got) != len(fills) {
		t.Errorf("%d texts came back, want %d: %q", len(got), len(fills), got)
	}
	slices.Sort(ticks)
	want := slices.Sorted(slices.Values(ticked))
	if !slices.Equal(ticks, want) {
		t.Errorf("ticks %v, want %v", ticks, want)
	}
}

const pypdfFill = `
import json, sys
from pypdf import PdfReader, PdfWriter
from pypdf.generic import NameObject, TextStringObject
texts, ticks = json.load(sys.stdin)
w = PdfWriter()
w.clone_document_from_reader(PdfReader(sys.argv[1]))
for page in w.pages:
    for ref in page.get("/Annots", []):
        a = ref.get_object()
        name = str(a.get("/T"))
        if name in texts:
            a[NameObject("/V")] = TextStringObject(texts[name])
        if name in ticks:
            a[NameObject("/V")] = a[NameObject("/AS")] = NameObject("/Yes")
with open(sys.argv[2], "wb") as f:
    w.write(f)
`

const pikepdfFill = `
import json, sys, pikepdf
texts, ticks = json.load(sys.stdin)
with pikepdf.open(sys.argv[1]) as pdf:
    for f in pdf.Root.AcroForm.Fields:
        name = str(f.T)
        if name in texts:
            f.V = pikepdf.String(texts[name])
        if name in ticks:
            f.V = f.AS = pikepdf.Name.Yes
    pdf.save(sys.argv[2])
`

func fillPython(library, script string) func(testing.TB, string, string) {
	return func(t testing.TB, in, out string) {
		input, err := json.Marshal([]any{fills, ticked})
		if err != nil {
			t.Fatal(err)
		}
		cmd := exec.Command(against.Python(t, library), "-c", script, in, out)
		cmd.Stdin = bytes.NewReader(input)
		if msg, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("%v\n%s", err, msg)
		}
	}
}

// fillQPDF changes the values in qpdf's JSON form of the file, unpacked: qpdf
// 11.3 loses the first change to an object that shares a stream with others.
func fillQPDF(t testing.TB, in, out string) {
	plain := out + ".plain"
	output(t, "qpdf", "--object-streams=disable", in, plain)
	in = plain
	var doc struct {
		QPDF [2]json.RawMessage `json:"qpdf"`
	}
	if err := json.Unmarshal([]byte(output(t, "qpdf", "--json-output", in)), &doc); err != nil {
		t.Fatal(err)
	}
	var objects map[string]map[string]any
	if err := json.Unmarshal(doc.QPDF[1], &objects); err != nil {
		t.Fatal(err)
	}
	changed := map[string]any{}
	for key, o := range objects {
		v, ok := o["value"].(map[string]any)
		if !ok {
			continue
		}
		name, _ := v["/T"].(string)
		name = strings.TrimPrefix(name, "u:")
		if text, ok := fills[name]; ok {
			v["/V"] = "u:" + text
			changed[key] = map[string]any{"value": v}
		}
		if slices.Contains(ticked, name) {
			v["/V"], v["/AS"] = "/Yes", "/Yes"
			changed[key] = map[string]any{"value": v}
		}
	}
	update, err := json.Marshal(map[string]any{"qpdf": []any{doc.QPDF[0], changed}})
	if err != nil {
		t.Fatal(err)
	}
	f := filepath.Join(filepath.Dir(in), "update.json")
	if err := os.WriteFile(f, update, 0o600); err != nil {
		t.Fatal(err)
	}
	output(t, "qpdf", in, "--update-from-json="+f, out)
}

// PDFDocEncoding against another implementation, byte by byte.
func TestAgainstPikepdfDocEncoding(t *testing.T) {
	const script = `
import pikepdf, json
print(json.dumps([bytes([i]).decode("pdfdoc", "replace") for i in range(256)]))`
	var want []string
	against.Ask(t, "pikepdf", script, nil, &want)
	for i := range 256 {
		got, err := decodeText([]byte{byte(i)})
		if err != nil || got != want[i] && want[i] != "\uFFFD" {
			t.Errorf("byte %#x: %q, want %q (%v)", i, got, want[i], err)
		}
	}
}

func TestReadFormRefuses(t *testing.T) {
	plain, err := newPen(Job{Name: "Test"}, "x")
	if err != nil {
		t.Fatal(err)
	}
	plain.AddPage()
	doc, err := plain.document()
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		data []byte
		want string
	}{
		"no PDF":    {[]byte("not a PDF at all"), "this PDF cannot be read"},
		"nothing":   {nil, "this PDF cannot be read"},
		"no fields": {doc.PDF, "no fields of a switch sheet"},
	} {
		t.Run(name, func(t *testing.T) {
			if _, err := ReadForm(bytes.NewReader(c.data)); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("%v, want an error with %q", err, c.want)
			}
		})
	}
}
