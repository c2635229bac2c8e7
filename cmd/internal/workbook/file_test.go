package workbook_test

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"io"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook"
	"loopwright/cmd/internal/workbook/back"
	"loopwright/takeoff/measure"
)

func written(t testing.TB, in *outcome.Outcome) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := workbook.Write(&b, in); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestSameInputSameBytes(t *testing.T) {
	want := sha256.Sum256(written(t, small(t)))
	for range 3 {
		if got := sha256.Sum256(written(t, small(t))); got != want {
			t.Fatalf("%x, then %x", want, got)
		}
	}
}

// TestNoDatesButTheJobs looks into the file for the dates of its making.
func TestNoDatesButTheJobs(t *testing.T) {
	data := written(t, small(t))
	parts := unzip(t, data)
	core := parts["docProps/core.xml"]
	if !strings.Contains(core, "2026-03-31T00:00:00Z") || len(regexp.MustCompile(`\d{4}-\d\d-\d\dT`).FindAllString(core, -1)) != 2 {
		t.Errorf("core.xml: %s", core)
	}
	zr, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range zr.File {
		if f.ModifiedDate != 0 || f.ModifiedTime != 0 {
			t.Errorf("%s carries a date", f.Name)
		}
	}
}

func unzip(t testing.TB, data []byte) map[string]string {
	t.Helper()
	zr, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, f := range zr.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		b, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		out[f.Name] = string(b)
	}
	return out
}

// TestTextStaysText: what stands on a drawing never becomes a formula, whatever it begins with.
func TestTextStaysText(t *testing.T) {
	nasty := []string{"=1+1", "+cmd|' /C calc'!A0", "-2+3", "@SUM(A1)", "\tx", `=HYPERLINK("http://invalid.example","x")`, "<a>&\"'", "=1+1\x00\x07"}
	in := small(t)
	for i, s := range nasty {
		in.Devices[i].Room, in.Devices[i].Handle = s, s
		in.Findings = append(in.Findings, in.Findings[0])
		in.Findings[len(in.Findings)-1].Message = s
	}
	path := file(t, in)
	f, err := excelize.OpenFile(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	seen := 0
	for _, sheet := range []string{"Devices", "Findings"} {
		rows, err := f.GetRows(sheet)
		if err != nil {
			t.Fatal(err)
		}
		for r, cells := range rows {
			for c, v := range cells {
				if !slices.Contains(nasty, v) {
					continue
				}
				seen++
				where, _ := excelize.CoordinatesToCellName(c+1, r+1)
				if got, _ := f.GetCellFormula(sheet, where); got != "" {
					t.Errorf("%s!%s: %q became the formula %q", sheet, where, v, got)
				}
			}
		}
	}
	if seen < 2*(len(nasty)-1) {
		t.Errorf("only %d of the texts were found again", seen)
	}
	for name, part := range unzip(t, written(t, in)) {
		if strings.Contains(part, "TargetMode=\"External\"") || strings.Contains(name, "externalLink") {
			t.Errorf("%s links outside", name)
		}
	}
}

// TestSheetNames: levels are called what their builders call them.
func TestSheetNames(t *testing.T) {
	in := small(t)
	names := []string{"A/B: [east] * ?", "Level with a very long name indeed, wing 7", "Level with a very long name indeed, wing 8", "'quoted'", "", "Etage 1 é 😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀"}
	level := in.Take.Levels[0]
	in.Take.Levels = nil
	for _, n := range names {
		l := level
		l.Name = n
		in.Take.Levels = append(in.Take.Levels, l)
	}
	f, err := excelize.OpenFile(file(t, in))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	seen := map[string]bool{}
	for _, s := range f.GetSheetList() {
		if seen[strings.ToLower(s)] {
			t.Errorf("two sheets are called %s", s)
		}
		seen[strings.ToLower(s)] = true
	}
}

// TestEmptyJob: nothing on the plans is a workbook with empty tables, not a failure.
func TestEmptyJob(t *testing.T) {
	in := small(t)
	in.Devices, in.Circuits, in.Findings, in.Take.Devices, in.Take.Rooms = nil, nil, nil, nil, nil
	if rows, err := back.Read(file(t, in)); err != nil || len(rows.Entries) != 0 {
		t.Errorf("%v %v", rows, err)
	}
	in.Job = &job.Job{Name: "x", Report: measure.Metric}
	in.Take.Levels = nil
	if _, err := back.Read(file(t, in)); err != nil {
		t.Error(err)
	}
}

// TestCalculatesOnLoad: programs that trust stored values must compute anew all the same.
func TestCalculatesOnLoad(t *testing.T) {
	parts := unzip(t, written(t, small(t)))
	if !strings.Contains(parts["xl/workbook.xml"], `fullCalcOnLoad="true"`) {
		t.Error("the workbook does not ask for a calculation on load")
	}
	for name, part := range parts {
		if strings.HasPrefix(name, "xl/worksheets/sheet") && regexp.MustCompile(`<f>[^<]*</f></c>`).MatchString(part) {
			// An empty text is the only value that may be left out.
			for _, m := range regexp.MustCompile(`<c [^>]*><f>[^<]*</f></c>`).FindAllString(part, -1) {
				if !strings.Contains(m, `t="str"`) {
					t.Errorf("%s: a formula without its value: %s", name, m)
				}
			}
		}
	}
}
