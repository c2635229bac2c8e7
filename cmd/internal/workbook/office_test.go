package workbook_test

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook"
	"loopwright/takeoff"
	"loopwright/takeoff/measure"
	"loopwright/testdata/against"
)

// alwaysRecalculate makes LibreOffice forget the values that stand in a file: by
// its own default it would show ours and the comparison could not fail.
const alwaysRecalculate = `<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>`

// recalculate opens workbooks in LibreOffice, has it compute everything anew and
// returns the files that it saves. One call serves many files: starting it takes longest.
func recalculate(t testing.TB, paths ...string) []string {
	t.Helper()
	soffice := against.Program(t, "soffice")
	dir := t.TempDir()
	user := filepath.Join(dir, "profile", "user")
	if err := os.MkdirAll(user, 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(user, "registrymodifications.xcu"), []byte(alwaysRecalculate), 0o666); err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(dir, "out")
	cmd := exec.Command(soffice, "-env:UserInstallation=file://"+filepath.Join(dir, "profile"), "--headless", "--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", out)
	var saved []string
	for i, p := range paths {
		named := filepath.Join(dir, fmt.Sprintf("book-%d.xlsx", i))
		if err := os.Rename(p, named); err != nil {
			t.Fatal(err)
		}
		cmd.Args = append(cmd.Args, named)
		saved = append(saved, filepath.Join(out, filepath.Base(named)))
	}
	if b, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("soffice: %v\n%s", err, b)
	}
	return saved
}

// compare holds every formula cell of the sheets against the value that
// LibreOffice saved, and returns how many there were.
func compare(t testing.TB, sheets []workbook.Sheet, path string) int {
	t.Helper()
	f, err := excelize.OpenFile(path, excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	n, bad := 0, 0
	for _, s := range sheets {
		// GetRows reads a sheet in one pass; cell by cell a large one takes minutes.
		rows, err := f.GetRows(s.Name)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range s.Formulas() {
			n++
			got := cellOf(t, rows, c.At)
			if same(c.Value, got) {
				continue
			}
			if bad++; bad <= 20 {
				t.Errorf("%s!%s: we say %v, LibreOffice says %q; =%s", s.Name, c.At, c.Value, got, c.Formula)
			}
		}
	}
	if bad > 0 {
		t.Errorf("%d of %d formula cells differ", bad, n)
	}
	return n
}

func cellOf(t testing.TB, rows [][]string, where string) string {
	t.Helper()
	col, row, err := excelize.CellNameToCoordinates(where)
	if err != nil {
		t.Fatal(err)
	}
	if row > len(rows) || col > len(rows[row-1]) {
		return ""
	}
	return rows[row-1][col-1]
}

// same compares a value of ours with what stands in the saved file.
func same(want any, got string) bool {
	var w float64
	switch v := want.(type) {
	case string:
		return v == got
	case int:
		w = float64(v)
	case float64:
		w = v
	}
	g, err := strconv.ParseFloat(got, 64)
	return err == nil && math.Abs(g-w) <= 1e-9*math.Max(1, math.Abs(w))
}

func TestAgainstLibreOffice(t *testing.T) {
	against.Program(t, "soffice")
	metric := smallWith(t, func(j *job.Job) {
		j.Report = measure.Metric
		j.Types[5].Alarm = takeoff.Amps{A: 0.7, Known: true} // too much for its circuit
		j.Cables[1].Diameter = 0.012
	})
	ins := []*outcome.Outcome{small(t), metric, filled(t), priced(t), demo(t)}
	var paths []string
	for _, in := range ins {
		paths = append(paths, file(t, in))
	}
	for i, path := range recalculate(t, paths...) {
		sheets, err := workbook.Compose(ins[i])
		if err != nil {
			t.Fatal(err)
		}
		n := compare(t, sheets, path)
		t.Logf("%s: %d formula cells have equal values", ins[i].Job.Name, n)
		if n < 300 {
			t.Errorf("only %d formula cells were compared", n)
		}
	}
}

// TestAgainstLibreOfficeEdits changes one cell as a person would and lets LibreOffice compute:
// the whole workbook must then say what the program says of a job with that value.
func TestAgainstLibreOfficeEdits(t *testing.T) {
	against.Program(t, "soffice")
	edits := []struct {
		name string
		edit func(*job.Job)
	}{
		{"price of a smoke detector", func(j *job.Job) { j.Types[0].Material = 61.25 }},
		{"price that was missing", func(j *job.Job) { j.Types[1].Material = 75 }},
		{"hours of a smoke detector", func(j *job.Job) { j.Types[0].Hours = 2 }},
		{"waste", func(j *job.Job) { j.Allowances.Waste = 0.25 }},
		{"labor rate", func(j *job.Job) { j.Labor = 120 }},
		{"current that was missing", func(j *job.Job) { j.Types[5].Alarm = takeoff.Amps{A: 0.05, Known: true} }},
		{"battery", func(j *job.Job) { j.Panels[0].Battery = 12 }},
		{"diameter of a cable", func(j *job.Job) { j.Cables[1].Diameter = 0.25 * 0.0254 }},
		{"reel", func(j *job.Job) { j.Cables[0].Reel = 1000 * 0.3048 }},
		{"a battery margin", func(j *job.Job) { j.Battery.Margin = 0.5 }},
		{"price of the panel", func(j *job.Job) { j.Panels[0].Material = known(1450) }},
		{"price of its battery", func(j *job.Job) { j.Panels[0].BatteryMaterial = known(0) }},
		{"hours of the panel", func(j *job.Job) { j.Panels[0].Hours = known(12) }},
		{"hours of pulling", func(j *job.Job) { j.Cables[0].Hours = known(0.015 / 0.3048) }},
		{"price of an isolator, drawn and to add", func(j *job.Job) { j.Types[3].Material = 71 }},
		{"price of a box", func(j *job.Job) { j.Boxes[0].Material = known(5) }},
		{"hours of a box", func(j *job.Job) { j.Boxes[1].Hours = known(0.3) }},
		{"price of a resistor", func(j *job.Job) { j.EndOfLine.Material = known(2) }},
		{"cable in conduit", func(j *job.Job) { j.Conduit.Share = 0.3 }},
		{"price of conduit", func(j *job.Job) { j.Conduit.Sizes[0].Price = known(2 / 0.3048) }},
		{"hours of acceptance", func(j *job.Job) { j.Acceptance.Hours = known(9) }},
		{"number of an item", func(j *job.Job) { j.Items[0].Count = 5 }},
		{"overhead", func(j *job.Job) { j.Bid.Overhead = known(0.15) }},
		{"profit that was missing", func(j *job.Job) { j.Bid.Profit = known(0.08) }},
		{"sundries that were missing", func(j *job.Job) { j.Bid.Sundries = known(0.03) }},
		{"contingency that was missing", func(j *job.Job) { j.Bid.Contingency = known(0.05) }},
	}
	was := small(t)
	before, err := workbook.Compose(was)
	if err != nil {
		t.Fatal(err)
	}
	onCircuit := []struct {
		name string
		edit func(*outcome.Laid)
	}{
		{"most devices that a short may take", func(c *outcome.Laid) { c.MaxLostDevices = 5 }},
		{"zones that a short may take", func(c *outcome.Laid) { c.Limits.Zones = 2 }},
		{"capacitance of the cable", func(c *outcome.Laid) { c.Cable.Capacitance = 60e-12 / 0.3048 }},
		{"limit of capacitance, which is then not proved", func(c *outcome.Laid) { c.MaxCapacitance = 0.01e-6 }},
	}
	var paths, names []string
	var after [][]workbook.Sheet
	// What was laid and found stays as it is: only the number in the cell changes.
	// Several edits share a workbook, since LibreOffice takes longest to begin.
	const together = 6
	for i := 0; i < len(edits)+len(onCircuit); i += together {
		is := *was
		is.Circuits = slices.Clone(was.Circuits)
		var all []string
		is.Job = smallWith(t, func(j *job.Job) {
			for k := i; k < min(i+together, len(edits)); k++ {
				edits[k].edit(j)
				all = append(all, edits[k].name)
			}
		}).Job
		for k := max(i, len(edits)); k < min(i+together, len(edits)+len(onCircuit)); k++ {
			onCircuit[k-len(edits)].edit(&is.Circuits[0])
			all = append(all, onCircuit[k-len(edits)].name)
		}
		sheets, err := workbook.Compose(&is)
		if err != nil {
			t.Fatal(err)
		}
		path := file(t, was)
		if n := carryOver(t, path, before, sheets); n != len(all) {
			t.Errorf("%v: the edits change %d cells without a formula, want one each", all, n)
		}
		paths, after, names = append(paths, path), append(after, sheets), append(names, strings.Join(all, ", "))
	}
	for i, path := range recalculate(t, paths...) {
		t.Run(names[i], func(t *testing.T) { compare(t, after[i], path) })
	}
}

func known(v float64) job.Figure { return job.Figure{V: v, Known: true} }

// carryOver types into a workbook every number that differs between two
// compositions and stands in a cell without a formula.
func carryOver(t testing.TB, path string, before, after []workbook.Sheet) int {
	t.Helper()
	f, err := excelize.OpenFile(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	n := 0
	for i, s := range after {
		for _, c := range s.Cells() {
			if c.Formula != "" || before[i].Value(c.At) == c.Value {
				continue
			}
			n++
			if err := f.SetCellValue(s.Name, c.At, c.Value); err != nil {
				t.Fatal(err)
			}
		}
	}
	if err := f.Save(); err != nil {
		t.Fatal(err)
	}
	return n
}

// TestAgainstLibreOfficeBroken makes sure that the comparison can fail: a workbook
// whose values are those of another job does not pass.
func TestAgainstLibreOfficeBroken(t *testing.T) {
	against.Program(t, "soffice")
	other := smallWith(t, func(j *job.Job) { j.Allowances.Waste = 0.5 })
	sheets, err := workbook.Compose(other)
	if err != nil {
		t.Fatal(err)
	}
	probe := &probe{TB: t}
	compare(probe, sheets, recalculate(t, file(t, small(t)))[0])
	if probe.errors == 0 {
		t.Error("values of another job were taken for equal")
	}
}

// probe counts failures instead of failing.
type probe struct {
	testing.TB
	errors int
}

func (p *probe) Errorf(string, ...any) { p.errors++ }
func (p *probe) Helper()               {}
