package workbook_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"loopwright/cmd/internal/returned"
	"loopwright/cmd/internal/workbook/back"
)

// fill opens a workbook as a person would and types into it.
func fill(t testing.TB, path string, do func(f *excelize.File)) {
	t.Helper()
	f, err := excelize.OpenFile(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	do(f)
	if err := f.Save(); err != nil {
		t.Fatal(err)
	}
}

// place finds the cell in a row, by its first column, and under a head.
func place(t testing.TB, f *excelize.File, sheet, key, head string) string {
	t.Helper()
	rows, err := f.GetRows(sheet)
	if err != nil {
		t.Fatal(err)
	}
	col, row := 0, 0
	for r, cells := range rows {
		for c, v := range cells {
			if v == head && col == 0 {
				col = c + 1
			}
		}
		if len(cells) > 0 && cells[0] == key {
			row = r + 1
		}
	}
	if col == 0 || row == 0 {
		t.Fatalf("no cell for %s under %s", key, head)
	}
	where, _ := excelize.CoordinatesToCellName(col, row)
	return where
}

func TestReadBack(t *testing.T) {
	in := small(t)
	path := file(t, in)
	fill(t, path, func(f *excelize.File) {
		set := func(key, head string, v any) {
			if err := f.SetCellValue("Devices", place(t, f, "Devices", key, head), v); err != nil {
				t.Fatal(err)
			}
		}
		set("D01", "found address", 77)
		set("D01", "done", "yes")
		set("D02", "found address", "78")
		set("D02", "remark", "moved to the other side")
		set("=1+1", "serial", "00A17")
		set("D04", "found address", "seven")
		set("D05", "done", "perhaps")
		f.SetCellValue("Loop", place(t, f, "Loop", "SLC-1", "found, ohm"), 3.42)
		f.SetCellValue("Loop", place(t, f, "Loop", "NAC-1", "found, ohm"), "open")
		f.SetSheetName("Devices", "as built")
	})
	got, err := back.Read(path)
	if err != nil {
		t.Fatal(err)
	}
	if got.Job != in.Job.Name || len(got.Entries) != len(in.Devices) {
		t.Errorf("job %q, %d devices", got.Job, len(got.Entries))
	}
	byKey := map[string]returned.Entry{}
	for _, d := range got.Entries {
		byKey[d.ID] = d
	}
	for _, want := range []returned.Entry{
		{ID: "D01", Found: "77", Ticks: []string{returned.Done}},
		{ID: "D02", Found: "78", Note: "moved to the other side"},
		{ID: "=1+1", Serial: "00A17"},
		{ID: "D04"}, {ID: "D05"}, {ID: "D06"},
	} {
		d := byKey[want.ID]
		if d.Found != want.Found || !slices.Equal(d.Ticks, want.Ticks) || d.Serial != want.Serial || d.Note != want.Note {
			t.Errorf("%s: %+v", want.ID, d)
		}
	}
	for _, d := range in.Devices {
		if r := byKey[d.ID]; r.Planned != d.Address || r.Circuit != d.Circuit {
			t.Errorf("%s came back as %+v", d.ID, r)
		}
	}
	if rs := got.Readings; len(rs) != 1 || rs[0].Circuit != "SLC-1" || rs[0].Ohm != "3.42" {
		t.Errorf("readings %+v", rs)
	}
	if len(got.Remarks) != 3 {
		t.Fatalf("problems: %v", got.Remarks)
	}
	for i, words := range []string{"seven", "perhaps", "open"} {
		if p := got.Remarks[i]; !strings.Contains(p.Text, words) || !strings.Contains(p.Where, "!") {
			t.Errorf("%v", p)
		}
	}
}

// TestReadBackAfterEdits: rows sorted, a column put in, a row added by hand, one doubled.
func TestReadBackAfterEdits(t *testing.T) {
	path := file(t, small(t))
	fill(t, path, func(f *excelize.File) {
		f.SetCellValue("Devices", place(t, f, "Devices", "D14", "found address"), 5)
		if err := f.InsertCols("Devices", "F", 2); err != nil {
			t.Fatal(err)
		}
		if err := f.DuplicateRowTo("Devices", 8, 30); err != nil {
			t.Fatal(err)
		}
		f.SetCellValue("Devices", "AA40", "by hand")
	})
	got, err := back.Read(path)
	if err != nil {
		t.Fatal(err)
	}
	found := false
	for _, d := range got.Entries {
		found = found || d.ID == "D14" && d.Found == "5"
	}
	if !found || len(got.Entries) != 16 {
		t.Errorf("D14 found %v, %d devices", found, len(got.Entries))
	}
	if len(got.Remarks) != 2 {
		t.Errorf("problems: %v", got.Remarks)
	}
}

func TestReadBackRefuses(t *testing.T) {
	dir := t.TempDir()
	write := func(name string, data []byte) string {
		p := filepath.Join(dir, name)
		if err := os.WriteFile(p, data, 0o666); err != nil {
			t.Fatal(err)
		}
		return p
	}
	whole := written(t, small(t))
	foreign := filepath.Join(dir, "foreign.xlsx")
	f := excelize.NewFile()
	f.SetCellValue("Sheet1", "A1", "key")
	if err := f.SaveAs(foreign); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct{ path, words string }{
		{filepath.Join(dir, "none.xlsx"), "no such file"},
		{write("text.xlsx", []byte("id,type\n")), "not a readable .xlsx"},
		{write("empty.xlsx", nil), "not a readable .xlsx"},
		{write("cut.xlsx", whole[:len(whole)/2]), "not a readable .xlsx"},
		{foreign, "not a takeoff workbook"},
	} {
		if _, err := back.Read(tt.path); err == nil || !strings.Contains(err.Error(), tt.words) || !strings.Contains(err.Error(), filepath.Base(tt.path)) {
			t.Errorf("%s: %v", filepath.Base(tt.path), err)
		}
	}
}
