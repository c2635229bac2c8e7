package reconcile

import (
	"encoding/json"
	"fmt"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"loopwright/assign/ledger"
	"loopwright/assign/sheet"
	"loopwright/cmd/internal/build"
	"loopwright/cmd/internal/outcome"
	"loopwright/testdata/against"
)

// fillScript fills a form with another PDF library.
const fillScript = `
import json, sys
import pikepdf
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

func fillForm(t *testing.T, in, out string, texts map[string]string, ticks ...string) string {
	t.Helper()
	python := against.Python(t, "pikepdf")
	values, err := json.Marshal([]any{texts, append([]string{}, ticks...)})
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(python, "-c", fillScript, in, out)
	cmd.Stdin = strings.NewReader(string(values))
	if msg, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, msg)
	}
	return out
}

// TestAgainstPikepdfThreeSources: filled sheets, a test sheet and an export of the page about
// the same loop come together in one ledger.
func TestAgainstPikepdfThreeSources(t *testing.T) {
	against.Python(t, "pikepdf")
	o := demoOutcome(t)
	one, two, three := at(t, o, "SLC-1", 1), at(t, o, "SLC-1", 47), at(t, o, "SLC-1", 46)
	j := demoJob(t)
	folder := filepath.Dir(j.File)
	out := filepath.Join(folder, "out")
	if _, err := build.Run(j, out, outcome.Known{}, nil); err != nil {
		t.Fatal(err)
	}
	name := func(id, what string) string { return sheet.FieldName("SLC-1", id, what) }
	switches := fillForm(t, filepath.Join(out, "switch-sheets.pdf"), filepath.Join(folder, "switches.pdf"),
		map[string]string{name(two, sheet.FieldFound): "9", name(three, sheet.FieldSerial): "S-1", name(three, sheet.FieldRemark): "above the ceiling \u00e9"},
		name(one, sheet.FieldSet), name(one, sheet.FieldMounted), name(three, sheet.FieldTested))
	tests := fillForm(t, filepath.Join(out, "test-sheet.pdf"), filepath.Join(folder, "tests.pdf"),
		map[string]string{name("FACP", sheet.FieldOhm): "12,5", name("FACP", sheet.FieldInitials): "AB", name("FACP", sheet.FieldDate): "2026-03-31"})
	page := write(t, filepath.Join(folder, "page.json"), fmt.Sprintf(export, one, two)) // says 74 about the second
	r, err := Run(j, []string{switches, tests, page}, filepath.Join(folder, "as-built"), nil)
	if err != nil {
		t.Fatal(err)
	}
	rows := ledgerRows(t, j.File)
	if g := rows[one]; g.State != ledger.Installed || g.Done != "set mounted done 2026-03-31" || g.Found != "1" {
		t.Errorf("%+v", g)
	}
	if g := rows[two]; g.Found != "9; 74" {
		t.Errorf("%+v", g)
	}
	if g := rows[three]; g.State != ledger.Planned || g.Done != "tested" || g.Serial != "S-1" || g.Remark != "above the ceiling \u00e9" {
		t.Errorf("%+v", g)
	}
	if len(r.Readings) != 2 || r.Readings[0].Verdict != "as computed" || *r.Readings[0].Ohm != 12.5 || r.Readings[0].Initials != "AB" || r.Readings[0].Date != "2026-03-31" {
		t.Errorf("%+v", r.Readings)
	}
	var cs []string
	for _, d := range r.Differences {
		if d.Code != codeOpen {
			cs = append(cs, d.Code)
		}
	}
	if strings.Join(cs, " ") != codeContradict {
		t.Errorf("differences %v, want the contradiction alone: both sources read the same ohms", cs)
	}
}
