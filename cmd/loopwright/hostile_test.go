package main

import (
	"bytes"
	"encoding/csv"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// The payloads that names, rooms and texts of a hostile job carry.
const (
	evilFormula = `=HYPERLINK("http://x.invalid","y")`
	evilScript  = `</script><img src=x onerror=alert(1)>`
	evilEscape  = "\x1b]0;owned\x07"
)

// hostileJob is a job of which every text is an attack.
const hostileJob = `job: '=1+1</title><script>alert(1)</script>'
revision: "@SUM(A1)\e[2J"
plans:
  - {devices: devices.csv, level: '+L1</script><svg onload=alert(1)>', units: ft}
types:
  - {type: '-t"><b>', name: '=cmd|calc</td><script>alert(2)</script>', match: [{block: X}], addresses: 1, points: [{function: '@f<i>', event: "111"}]}
panels:
  - {panel: '=P</text><script>alert(3)</script>', at: {level: '+L1</script><svg onload=alert(1)>', point: [1, 1]}}
circuits:
  - {circuit: '=S<1>', panel: '=P</text><script>alert(3)</script>'}
`

func hostileFolder(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.Write([]string{"id", "type", "level", "x", "y", "room"})
	for i, id := range []string{evilFormula, evilScript, "@a", "-1+1", "+b", "plain"} {
		w.Write([]string{id, `-t"><b>`, "+L1</script><svg onload=alert(1)>", string(rune('1' + i)), "5", evilFormula + evilScript})
	}
	w.Flush()
	file(filepath.Join(dir, "job.yaml"), strings.ReplaceAll(hostileJob, `\e[2J`, ""))(t)
	file(filepath.Join(dir, "devices.csv"), b.String())(t)
	return dir
}

// TestHostileTexts builds the hostile job and looks for its payloads in
// everything that another program would run.
func TestHostileTexts(t *testing.T) {
	dir := hostileFolder(t)
	var out, errs bytes.Buffer
	if code := Run([]string{"build", filepath.Join(dir, "job.yaml"), "-o", filepath.Join(dir, "out")}, strings.NewReader(""), &out, &errs); code != exitDone && code != exitFindings {
		t.Fatalf("exit %d: %s", code, errs.String())
	}
	if control := regexp.MustCompile("[\x00-\x08\x0b-\x1f\x7f]"); control.MatchString(out.String() + errs.String()) {
		t.Errorf("control characters reach the terminal: %q", out.String())
	}
	csvs, _ := filepath.Glob(filepath.Join(dir, "out", "*.csv"))
	if len(csvs) == 0 {
		t.Error("no CSV was written")
	}
	for _, name := range append(csvs, filepath.Join(dir, "job.ledger.csv")) {
		noFormulas(t, name)
	}
	noFormulasInWorkbook(t, filepath.Join(dir, "out", "takeoff.xlsx"))
	noScripts(t, filepath.Join(dir, "out", "field.html"))
}

// noFormulas fails if a cell of a CSV file would be run by a spreadsheet
// (OWASP, "CSV Injection": = + - @, tab and carriage return at the beginning).
func noFormulas(t *testing.T, name string) {
	t.Helper()
	f, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.FieldsPerRecord = -1
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	number := regexp.MustCompile(`^-?[0-9]+(\.[0-9]+)?$`)
	for i, row := range rows {
		for _, cell := range row {
			if cell != "" && strings.ContainsRune("=+-@\t\r", rune(cell[0])) && !number.MatchString(cell) {
				t.Errorf("%s:%d: %q would be run as a formula", filepath.Base(name), i+1, cell)
			}
		}
	}
}

// noFormulasInWorkbook fails if a formula holds a payload, or refers outside.
func noFormulasInWorkbook(t *testing.T, name string) {
	t.Helper()
	f, err := excelize.OpenFile(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	formulas, payloads := 0, 0
	for _, sheet := range f.GetSheetList() {
		rows, err := f.GetRows(sheet)
		if err != nil {
			t.Fatal(err)
		}
		for r, row := range rows {
			for c, value := range row {
				cell, _ := excelize.CoordinatesToCellName(c+1, r+1)
				formula, _ := f.GetCellFormula(sheet, cell)
				if formula != "" {
					formulas++
				}
				if strings.Contains(value, "HYPERLINK") {
					payloads++
				}
				if strings.Contains(formula, "HYPERLINK(\"http") || strings.Contains(formula, "cmd|") || strings.Contains(formula, "[") && strings.Contains(formula, "]!") {
					t.Errorf("%s!%s runs %s", sheet, cell, formula)
				}
			}
		}
	}
	if formulas < 20 || payloads == 0 {
		t.Errorf("%d formulas and %d payloads seen: the test has gone blind", formulas, payloads)
	}
}

// noScripts fails if a payload stands in the page as markup.
func noScripts(t *testing.T, name string) {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	page := string(data)
	for _, bad := range []string{"<script>alert", "<img src=x", "<svg onload", "<b>", "<i>"} {
		if at := strings.Index(page, bad); at >= 0 {
			t.Errorf("the page holds %q: ...%s...", bad, page[max(0, at-60):min(len(page), at+60)])
		}
	}
	if !strings.Contains(page, "alert") {
		t.Error("no payload is in the page at all: the test has gone blind")
	}
	if opened, closed := strings.Count(page, "<script"), strings.Count(page, "</script>"); opened != closed {
		t.Errorf("%d script elements are opened and %d closed", opened, closed)
	}
}

// TestDrawingCannotMoveTheTerminal surveys and builds a drawing whose names and
// texts hold control sequences.
func TestDrawingCannotMoveTheTerminal(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	e := "^[" // DXF writes a control character as ^ and a letter (DXF reference, group codes)
	file("plan.dxf", strings.Join([]string{"0", "SECTION", "2", "HEADER", "9", "$ACADVER", "1", "AC1009", "9", "$INSUNITS", "70", "1", "0", "ENDSEC",
		"0", "SECTION", "2", "BLOCKS", "0", "BLOCK", "8", "0", "2", "SMK" + e + "[2J" + evilEscape, "70", "0", "10", "0", "20", "0", "30", "0", "0", "POINT", "8", "0", "10", "0", "20", "0", "0", "ENDBLK", "8", "0", "0", "ENDSEC",
		"0", "SECTION", "2", "ENTITIES", "0", "INSERT", "8", "L" + evilEscape, "2", "SMK" + e + "[2J" + evilEscape, "10", "5", "20", "5", "30", "0",
		"0", "INSERT", "8", "0", "2", "GONE" + evilEscape, "10", "50", "20", "50", "30", "0",
		"0", "TEXT", "8", "0", "10", "1", "20", "1", "40", "5", "1", "101 " + e + "[31mROOM" + evilEscape, "0", "ENDSEC", "0", "EOF", ""}, "\n"))(t)
	file("job.yaml", `{job: T, plans: [{drawing: plan.dxf, level: L, units: in}], types: [{type: smoke, match: [{block: "SMK*"}], addresses: 1}], panels: [{panel: P, at: {level: L, point: [1, 1]}}]}`)(t)
	for _, args := range []string{"survey plan.dxf", "survey --json --inserts plan.dxf", "begin plan.dxf -o new.yaml", "check job.yaml", "build job.yaml", "build --json job.yaml"} {
		var out, errs bytes.Buffer
		code := Run(strings.Fields(args), strings.NewReader(""), &out, &errs)
		said := out.String() + errs.String()
		if code != exitDone && code != exitFindings {
			t.Errorf("%s: exit %d: %s", args, code, errs.String())
		}
		if strings.ContainsAny(said, "\x1b\x07\u009b\r") {
			t.Errorf("%s: a control character reaches the terminal: %q", args, said)
		}
		if !strings.Contains(said, "owned") && strings.HasPrefix(args, "survey") {
			t.Errorf("%s: the payload is not in it: the test has gone blind", args)
		}
	}
	noControls(t, "new.yaml", "out/points.csv", "job.ledger.csv")
}

// noControls fails if a text file holds a control sequence.
func noControls(t *testing.T, names ...string) {
	t.Helper()
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Error(err)
		}
		if bytes.ContainsAny(data, "\x1b\x07") {
			t.Errorf("%s holds a control sequence", name)
		}
	}
}
