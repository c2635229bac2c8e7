package workbook_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"loopwright/cmd/internal/workbook"
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
	got, err := workbook.ReadBack(path)
	if err != nil {
		t.Fatal(err)
	}
	if got.Job != in.Job.Name || len(got.Devices) != len(in.Devices) || len(got.Circuits) != len(in.Circuits) {
		t.Errorf("job %q, %d devices, %d circuits", got.Job, len(got.Devices), len(got.Circuits))
	}
	byKey := map[string]workbook.DeviceRow{}
	for _, d := range got.Devices {
		byKey[d.Key] = d
	}
	for _, want := range []workbook.DeviceRow{
		{Key: "D01", Found: 77, HasFound: true, Done: true},
		{Key: "D02", Found: 78, HasFound: true, Remark: "moved to the other side"},
		{Key: "=1+1", Serial: "00A17"},
		{Key: "D04"}, {Key: "D05"}, {Key: "D06"},
	} {
		d := byKey[want.Key]
		if d.Found != want.Found || d.HasFound != want.HasFound || d.Done != want.Done || d.Serial != want.Serial || d.Remark != want.Remark {
			t.Errorf("%s: %+v", want.Key, d)
		}
	}
	for _, d := range in.Devices {
		if r := byKey[d.ID]; r.Address != d.Address || r.Type != d.Type || r.Circuit != d.Circuit {
			t.Errorf("%s came back as %+v", d.ID, r)
		}
	}
	for _, c := range got.Circuits {
		if want := c.Circuit == "SLC-1"; c.HasFound != want || want && c.FoundOhm != 3.42 {
			t.Errorf("%+v", c)
		}
	}
	if len(got.Problems) != 3 {
		t.Fatalf("problems: %v", got.Problems)
	}
	for i, words := range []string{"seven", "perhaps", "open"} {
		if p := got.Problems[i]; !strings.Contains(p.Message, words) || !strings.Contains(p.Cell, "!") {
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
	got, err := workbook.ReadBack(path)
	if err != nil {
		t.Fatal(err)
	}
	found := false
	for _, d := range got.Devices {
		found = found || d.Key == "D14" && d.Found == 5
	}
	if !found || len(got.Devices) != 16 {
		t.Errorf("D14 found %v, %d devices", found, len(got.Devices))
	}
	if len(got.Problems) != 2 {
		t.Errorf("problems: %v", got.Problems)
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
		{foreign, "no takeoff workbook"},
	} {
		if _, err := workbook.ReadBack(tt.path); err == nil || !strings.Contains(err.Error(), tt.words) || !strings.Contains(err.Error(), filepath.Base(tt.path)) {
			t.Errorf("%s: %v", filepath.Base(tt.path), err)
		}
	}
}
