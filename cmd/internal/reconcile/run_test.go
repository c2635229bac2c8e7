package reconcile

import (
	"archive/zip"
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loopwright/assign/ledger"
	"loopwright/cmd/internal/build"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook/back"
	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/dxf/verify"
)

func TestReadRefuses(t *testing.T) {
	dir := t.TempDir()
	var other bytes.Buffer
	z := zip.NewWriter(&other)
	if w, err := z.Create("a.txt"); err != nil {
		t.Fatal(err)
	} else if _, err := w.Write([]byte("text")); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct{ name, content, want string }{
		{"empty", "", "the file is empty"},
		{"a picture", "\x89PNG\r\n\x1a\n...", "not a filled PDF sheet, a takeoff workbook"},
		{"csv", "id,found\nL1-001,4\n", "not a filled PDF sheet"},
		{"cut export", `{"format":"loopwright field page","ver`, "damaged"},
		{"another JSON", `{"devices":[]}`, "not an export of the field page"},
		{"another zip", other.String(), "not a readable .xlsx workbook"},
		{"cut zip", other.String()[:40], "not a readable .xlsx workbook"},
		{"cut PDF", "%PDF-1.7\n1 0 obj\n<<", "PDF"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			file := write(t, filepath.Join(dir, strings.ReplaceAll(tt.name, " ", "-")), tt.content)
			_, err := Read(file)
			if err == nil || !strings.Contains(err.Error(), tt.want) || strings.Count(err.Error(), file) != 1 {
				t.Errorf("%v\nwant %s, and the file named once", err, tt.want)
			}
		})
	}
	for _, name := range []string{dir, filepath.Join(dir, "nowhere")} {
		if _, err := Read(name); err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("%s: %v", name, err)
		}
	}
	huge := filepath.Join(dir, "huge")
	f, err := os.Create(huge)
	if err != nil {
		t.Fatal(err)
	}
	if err := f.Truncate(maxFile + 1); err != nil {
		t.Fatal(err)
	}
	f.Close()
	if _, err := Read(huge); err == nil || !strings.Contains(err.Error(), "too large for a file from site") {
		t.Error(err)
	}
}

const export = `{"format":"loopwright field page","version":1,"job":"Saltmarsh Branch Library","revision":"","entries":[
{"id":"%[1]s","circuit":"SLC-1","address":1,"found":1,"done":true,"problem":false,"at":"2026-03-31T10:00:00.000Z"},
{"id":"%[2]s","circuit":"SLC-1","address":47,"found":74,"done":true,"problem":false,"note":"=1+1\nsecond line"}],
"readings":[{"circuit":"SLC-1","end":"FACP","ohm":12.5,"initials":"AB"}]}`

// TestThereAndBack takes an export through the ledger, the drawing and the
// workbook, and the workbook back through reconcile: the ledger stays as it is.
func TestThereAndBack(t *testing.T) {
	o := demoOutcome(t)
	one, other := at(t, o, "SLC-1", 1), at(t, o, "SLC-1", 47)
	j := demoJob(t)
	folder := filepath.Dir(j.File)
	file := write(t, filepath.Join(folder, "field.json"), fmt.Sprintf(export, one, other))
	dir := filepath.Join(folder, "as-built")
	r, err := Run(j, []string{file}, dir, nil)
	if err != nil {
		t.Fatal(err)
	}
	if strings.Join(r.Outputs, " ") != "takeoff.xlsx differences.csv readings.csv plans/level-1.dxf reconcile.json" {
		t.Errorf("outputs %v", r.Outputs)
	}
	first := files(t, folder)
	rows := ledgerRows(t, j.File)
	if g := rows[one]; g.Found != "1" || g.Done != "done 2026-03-31" || g.State != ledger.Installed || g.Address != 1 {
		t.Errorf("%+v", g)
	}
	if g := rows[other]; g.Found != "74" || g.Address != 47 || g.Remark != "=1+1\nsecond line" || g.State != ledger.Installed {
		t.Errorf("%+v", g)
	}
	if !strings.Contains(first["as-built/differences.csv"], "F705,warning,address,SLC-1,"+other) || !strings.Contains(first["as-built/readings.csv"], "SLC-1,FACP,12.5,,11.49") {
		t.Errorf("%s\n%s", first["as-built/differences.csv"], first["as-built/readings.csv"])
	}
	checkDrawing(t, first["level-1.dxf"], first["as-built/plans/level-1.dxf"])

	if _, err := Run(j, []string{file}, dir, nil); err != nil {
		t.Fatal(err)
	}
	same(t, first, files(t, folder), "run again")

	back, err := back.Read(filepath.Join(dir, "takeoff.xlsx"))
	if err != nil || len(back.Remarks) > 0 {
		t.Fatal(err, back.Remarks)
	}
	for _, d := range back.Entries {
		switch want := rows[d.ID]; {
		case d.Found != want.Found, (len(d.Ticks) > 0) != (want.State == ledger.Installed), d.Note != want.Remark:
			t.Errorf("workbook %+v, ledger %+v", d, want)
		}
	}
	if _, err := Run(j, []string{filepath.Join(dir, "takeoff.xlsx")}, filepath.Join(folder, "second"), nil); err != nil {
		t.Fatal(err)
	}
	if got := files(t, folder); got["job.ledger.csv"] != first["job.ledger.csv"] {
		t.Errorf("through the workbook the ledger became\n%s", got["job.ledger.csv"])
	}
}

// TestWorkIsKept: a workbook that was filled in further since it was written is
// kept when another one takes its name.
func TestWorkIsKept(t *testing.T) {
	o := demoOutcome(t)
	j := demoJob(t)
	folder := filepath.Dir(j.File)
	file := write(t, filepath.Join(folder, "field.json"), fmt.Sprintf(export, at(t, o, "SLC-1", 1), at(t, o, "SLC-1", 47)))
	dir := filepath.Join(folder, "as-built")
	for i, want := range []int{0, 1} {
		r, err := Run(j, []string{file}, dir, nil)
		if err != nil || len(r.Kept) != want {
			t.Fatalf("run %d: %v, %v", i, err, r.Kept)
		}
		write(t, filepath.Join(dir, "takeoff.xlsx"), "filled in by hand")
	}
	if data, err := os.ReadFile(filepath.Join(dir, "takeoff.changed-1.xlsx")); err != nil || string(data) != "filled in by hand" {
		t.Errorf("%q, %v", data, err)
	}
}

// checkDrawing looks at the as-built layer, and that nothing else has changed.
func checkDrawing(t *testing.T, was, is string) {
	t.Helper()
	if err := verify.Check("level-1.dxf", []byte(was), []byte(is)); err != nil {
		t.Error(err)
	}
	if plain, err := edit.Strip("level-1.dxf", []byte(is)); err != nil || string(plain) != was {
		t.Errorf("without the layer it is not the drawing that it was: %v", err)
	}
	for _, want := range []string{"74 (PLANNED 47)", "ASBT-ADDR"} {
		if !strings.Contains(is, want) {
			t.Errorf("the drawing does not say %q", want)
		}
	}
}

func ledgerRows(t *testing.T, jobFile string) map[string]ledger.Row {
	t.Helper()
	name := strings.TrimSuffix(jobFile, ".yaml") + ".ledger.csv"
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	l, err := ledger.Parse(name, data)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]ledger.Row{}
	for _, r := range l.Rows {
		out[r.ID] = r
	}
	return out
}

// files reads all files below a folder.
func files(t *testing.T, folder string) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := filepath.Walk(folder, func(path string, info os.FileInfo, err error) error {
		if err != nil || info.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		rel, _ := filepath.Rel(folder, path)
		out[filepath.ToSlash(rel)] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func same(t *testing.T, was, is map[string]string, when string) {
	t.Helper()
	for name := range was {
		if was[name] != is[name] {
			t.Errorf("%s: %s is another", when, name)
		}
	}
	if len(was) != len(is) {
		t.Errorf("%s: %d files, were %d", when, len(is), len(was))
	}
}

// TestNothingWritten: what fails leaves every file as it was.
func TestNothingWritten(t *testing.T) {
	o := demoOutcome(t)
	j := demoJob(t)
	folder := filepath.Dir(j.File)
	dir := filepath.Join(folder, "as-built")
	good := write(t, filepath.Join(folder, "good.json"), fmt.Sprintf(export, at(t, o, "SLC-1", 1), at(t, o, "SLC-1", 47)))
	if _, err := build.Run(j, filepath.Join(folder, "out"), outcome.Known{}, nil); err != nil {
		t.Fatal(err)
	}
	bad := write(t, filepath.Join(folder, "bad.json"), "{")
	foreign := write(t, filepath.Join(folder, "foreign.json"), `{"format":"loopwright field page","version":1,"job":"Another","revision":"","entries":[]}`)
	was := files(t, folder)
	for _, tt := range []struct {
		name  string
		files []string
		dir   string
		want  string
	}{
		{"damaged", []string{good, bad}, dir, "bad.json"},
		{"another job", []string{good, foreign}, dir, "belongs to the job"},
		{"over its own input", []string{filepath.Join(folder, "out", "takeoff.xlsx"), good}, filepath.Join(folder, "out"), "would be overwritten"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if _, err := Run(j, tt.files, tt.dir, nil); err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("%v, want %s", err, tt.want)
			}
			same(t, was, files(t, folder), tt.name)
		})
	}
}
