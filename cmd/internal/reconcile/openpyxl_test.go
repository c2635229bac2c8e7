package reconcile

import (
	"fmt"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"loopwright/cmd/internal/build"
	"loopwright/cmd/internal/outcome"
	"loopwright/testdata/against"
)

// compareScript prints every cell in which two workbooks differ, value or
// formula, as another library reads them; the lists of findings may differ.
const compareScript = `
import sys, openpyxl
a, b, va, vb = [openpyxl.load_workbook(f, data_only=v) for v in (False, True) for f in sys.argv[1:3]]
assert a.sheetnames == b.sheetnames
for n in a.sheetnames:
    if n in ("Findings", "Summary"):
        continue
    for r in range(1, max(a[n].max_row, b[n].max_row) + 1):
        for c in range(1, max(a[n].max_column, b[n].max_column) + 1):
            x, y = a[n].cell(r, c), b[n].cell(r, c)
            if x.value != y.value or va[n].cell(r, c).value != vb[n].cell(r, c).value:
                print(n, a[n].cell(r, 1).value, x.value, "->", y.data_type, repr(y.value))
`

// TestAgainstOpenpyxl: filling the last columns changes nothing else,
// and a note that looks like a formula is a text.
func TestAgainstOpenpyxl(t *testing.T) {
	python := against.Python(t, "openpyxl")
	o := demoOutcome(t)
	one, other := at(t, o, "SLC-1", 1), at(t, o, "SLC-1", 47)
	j := demoJob(t)
	folder := filepath.Dir(j.File)
	if _, err := build.Run(j, filepath.Join(folder, "out"), outcome.Known{}, nil); err != nil {
		t.Fatal(err)
	}
	file := write(t, filepath.Join(folder, "field.json"), fmt.Sprintf(export, one, other))
	if _, err := Run(j, []string{file}, filepath.Join(folder, "as-built"), nil); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(python, "-c", compareScript, filepath.Join(folder, "out", "takeoff.xlsx"), filepath.Join(folder, "as-built", "takeoff.xlsx"))
	got, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, got)
	}
	for _, want := range []string{
		"Devices " + one + " None -> n 1", "Devices " + one + " None -> s 'yes'",
		"Devices " + other + " None -> n 74", "Devices " + other + " None -> s 'yes'", "Devices " + other + ` None -> s '=1+1\nsecond line'`,
		"Loop SLC-1 None -> n 12.5",
	} {
		if !strings.Contains(string(got), want+"\n") {
			t.Errorf("not filled in: %s", want)
		}
	}
	if n := strings.Count(string(got), "\n"); n != 6 {
		t.Errorf("%d cells are other, want 6:\n%s", n, got)
	}
}
