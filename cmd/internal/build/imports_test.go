package build

import (
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// imports is the import graph of the project: each package, and what of ours it
// imports. The test fails for a package without a row, for an import that its
// row does not name and for one that it names in vain, so that the graph is
// decided on and never just grows.
var imports = map[string][]string{
	"takeoff/dxf/verify": {"takeoff/dxf/edit", "takeoff/dxf/tags"},
	"takeoff/dxf/edit":   {"takeoff/dxf", "takeoff/dxf/tags"},
	"takeoff/dxf/tags":   {"takeoff/parallel"},
	"takeoff/geom":       {},
	"takeoff/where":      {},
	"takeoff/parallel":   {},
	"takeoff/measure":    {},
	"takeoff/dxf":        {"takeoff/dxf/tags", "takeoff/parallel", "takeoff/where"},
	"takeoff/words":      {"takeoff/geom"},
	"takeoff/plan":       {"takeoff/dxf", "takeoff/dxf/edit", "takeoff/geom", "takeoff/words"},
	"takeoff/recognize":  {"takeoff/dxf", "takeoff/geom", "takeoff/words"},
	"takeoff/figures":    {"takeoff/dxf", "takeoff/geom", "takeoff/plan", "takeoff/words"},
	"takeoff/units":      {"takeoff/geom", "takeoff/measure", "takeoff/plan", "takeoff/words"},
	"takeoff/levels":     {"takeoff/geom"},
	"takeoff/rooms":      {"takeoff/dxf", "takeoff/geom", "takeoff/plan", "takeoff/words"},
	"takeoff/inspect": {"takeoff", "takeoff/dxf", "takeoff/geom", "takeoff/plan", "takeoff/recognize", "takeoff/units", "takeoff/words",
		"takeoff/parallel", "takeoff/rooms", "takeoff/measure"},
	"takeoff": {"takeoff/dxf", "takeoff/figures", "takeoff/geom", "takeoff/levels", "takeoff/measure", "takeoff/plan", "takeoff/recognize", "takeoff/rooms",
		"takeoff/units", "takeoff/where", "takeoff/words", "takeoff/parallel"},
	"takeoff/label": {"takeoff/geom"},

	"route/circuit": {},
	"route/tour":    {"takeoff/geom"},
	"route/loops":   {"route/tour", "takeoff/geom"},
	"route/tree":    {"takeoff/geom"},
	"route/wire":    {"takeoff/measure", "route/circuit"},
	"route/fault":   {"takeoff/geom", "takeoff/measure", "route/circuit"},
	"route/path":    {"takeoff/geom", "takeoff/measure", "takeoff/parallel"},
	"route": {"takeoff", "takeoff/geom", "takeoff/measure", "takeoff/words", "route/circuit", "route/path", "route/tour", "route/loops",
		"route/tree", "route/wire", "route/fault", "takeoff/parallel"},

	"assign":        {"takeoff", "takeoff/measure"},
	"assign/pair":   {"takeoff/geom"},
	"assign/matrix": {"assign", "takeoff", "takeoff/measure", "takeoff/words"},
	"assign/ledger": {"assign", "assign/pair", "takeoff", "takeoff/geom", "takeoff/measure"},
	"assign/sheet":  {"assign", "takeoff", "takeoff/geom", "takeoff/measure"},

	"cmd/internal/program": {},
	"cmd/internal/commit":  {"takeoff/where"},
	"cmd/internal/begin": {"takeoff/where", "cmd/internal/job", "takeoff", "takeoff/geom", "takeoff/inspect", "takeoff/measure", "takeoff/recognize",
		"takeoff/words"},
	"cmd/internal/job": {"takeoff/where", "assign", "assign/matrix", "route", "route/circuit", "route/wire", "takeoff", "takeoff/geom", "takeoff/measure",
		"takeoff/words"},

	"cmd/internal/outcome": {"cmd/internal/commit", "cmd/internal/job", "assign", "assign/ledger", "assign/matrix", "assign/pair", "route",
		"route/wire", "takeoff", "takeoff/dxf", "takeoff/dxf/edit", "takeoff/where", "takeoff/geom", "takeoff/measure", "takeoff/words", "takeoff/parallel"},
	"cmd/internal/result": {"cmd/internal/program", "cmd/internal/commit", "cmd/internal/outcome", "assign", "route", "route/wire", "takeoff", "takeoff/measure", "takeoff/recognize"},

	"cmd/internal/workbook": {"cmd/internal/program", "cmd/internal/job", "cmd/internal/outcome", "cmd/internal/workbook/picture", "cmd/internal/workbook/xlsx",
		"assign", "route", "route/circuit", "route/wire", "takeoff", "takeoff/geom", "takeoff/measure", "takeoff/recognize", "takeoff/words"},
	"cmd/internal/fieldpage": {"takeoff/where", "cmd/internal/outcome", "cmd/internal/returned", "assign", "route", "takeoff", "takeoff/dxf", "takeoff/geom",
		"takeoff/words"},
	"cmd/internal/drafting": {"cmd/internal/job", "cmd/internal/outcome", "assign", "takeoff", "takeoff/dxf", "takeoff/dxf/verify", "takeoff/dxf/edit", "takeoff/dxf/tags", "takeoff/geom", "takeoff/label",
		"takeoff/words"},
	"cmd/internal/paper": {"cmd/internal/program", "cmd/internal/job", "cmd/internal/outcome", "assign", "assign/sheet", "route", "route/wire", "takeoff",
		"takeoff/dxf", "takeoff/dxf/edit", "takeoff/geom", "takeoff/label", "takeoff/parallel"},
	"cmd/internal/build": {"cmd/internal/commit", "cmd/internal/drafting", "cmd/internal/fieldpage", "cmd/internal/job",
		"cmd/internal/outcome", "cmd/internal/paper", "cmd/internal/result", "cmd/internal/workbook", "assign", "takeoff", "takeoff/parallel"},
	"cmd/internal/compare": {"cmd/internal/build", "cmd/internal/job", "cmd/internal/outcome", "cmd/internal/result", "assign", "assign/ledger",
		"assign/pair", "takeoff", "takeoff/dxf", "takeoff/dxf/verify", "takeoff/dxf/edit", "takeoff/geom", "takeoff/measure", "takeoff/words",
		"takeoff/inspect", "takeoff/recognize", "takeoff/label"},
	"cmd/internal/reconcile": {"takeoff/where", "cmd/internal/build", "cmd/internal/drafting", "cmd/internal/fieldpage", "cmd/internal/job",
		"cmd/internal/outcome", "cmd/internal/result", "cmd/internal/returned", "cmd/internal/workbook", "cmd/internal/workbook/back", "assign",
		"assign/sheet", "takeoff"},
	"cmd/loopwright": {"assign/sheet", "cmd/internal/drafting", "route", "cmd/internal/program", "assign/ledger", "takeoff/where", "cmd/internal/begin",
		"cmd/internal/build", "cmd/internal/commit", "cmd/internal/compare", "cmd/internal/job", "cmd/internal/outcome", "cmd/internal/reconcile",
		"cmd/internal/result", "assign", "takeoff", "takeoff/dxf", "takeoff/geom", "takeoff/inspect", "takeoff/measure", "testdata", "takeoff/recognize", "takeoff/words",
		"takeoff/dxf/edit"},

	"testdata":                      {},
	"testdata/against":              {}, // for tests alone
	"cmd/internal/returned":         {},
	"cmd/internal/workbook/picture": {"takeoff/dxf", "takeoff/geom"},
	"cmd/internal/workbook/back":    {"cmd/internal/returned", "cmd/internal/workbook/xlsx"},
	"cmd/internal/workbook/xlsx":    {},
}

const module = "loopwright/"

func TestImportGraph(t *testing.T) {
	out, err := exec.Command("go", "list", "-f", `{{.ImportPath}} {{join .Imports " "}}`, module+"...", module+"testdata", module+"testdata/against").CombinedOutput()
	if err != nil {
		t.Fatalf("go list: %v\n%s", err, out)
	}
	found := map[string]bool{}
	for _, line := range strings.Split(strings.TrimSpace(string(out)), "\n") {
		fields := strings.Fields(line)
		p := strings.TrimPrefix(fields[0], module)
		found[p] = true
		row, ok := imports[p]
		if !ok {
			t.Errorf("package %s has no row in the import graph", p)
			continue
		}
		var ours []string
		for _, f := range fields[1:] {
			if q, ok := strings.CutPrefix(f, module); ok {
				ours = append(ours, q)
				if !slices.Contains(row, q) {
					t.Errorf("%s imports %s: the graph says no", p, q)
				}
			}
		}
		for _, q := range row {
			if !slices.Contains(ours, q) {
				t.Errorf("%s no longer imports %s: take it out of the graph", p, q)
			}
		}
	}
	for p := range imports {
		if !found[p] {
			t.Errorf("the graph has a row for %s, which is no package", p)
		}
	}
}

// The two things that the design rules out are checked by name, should the
// table above ever be loosened.
func TestRouteAndAssignDoNotMeet(t *testing.T) {
	for p, qs := range imports {
		for _, q := range qs {
			if strings.HasPrefix(p, "route") && strings.HasPrefix(q, "assign") || strings.HasPrefix(p, "assign") && strings.HasPrefix(q, "route") {
				t.Errorf("%s imports %s", p, q)
			}
			if strings.HasPrefix(q, "cmd/") && !strings.HasPrefix(p, "cmd/") {
				t.Errorf("%s imports %s", p, q)
			}
		}
	}
}
