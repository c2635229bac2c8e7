package build

import (
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// mayImport is the import graph of the project, as the contributors' guide
// draws it: each package, and what of ours it may import. A package that is not
// listed fails the test, so that the graph is decided on and never just grows.
var mayImport = map[string][]string{
	"takeoff/geom":  {},
	"takeoff/dxf":   {},
	"takeoff":       {"takeoff/dxf", "takeoff/geom"},
	"takeoff/label": {"takeoff/geom"},

	"route/tour":  {},
	"route/loops": {"route/tour"},
	"route/tree":  {},
	"route/wire":  {},
	"route/fault": {},
	"route/path":  {"takeoff/geom"},
	"route":       {"takeoff", "takeoff/geom", "route/path", "route/tour", "route/loops", "route/tree", "route/wire", "route/fault"},

	"assign":        {"takeoff", "takeoff/geom"},
	"assign/pair":   {"takeoff/geom"},
	"assign/matrix": {"assign", "takeoff", "takeoff/geom"},
	"assign/ledger": {"assign", "assign/pair", "takeoff", "takeoff/geom"},
	"assign/sheet":  {"assign", "takeoff", "takeoff/geom"},

	"testdata": {},
}

const module = "loopwright/"

// allowed reports whether package p may import q, both without the module's name.
func allowed(p, q string) bool {
	switch {
	case strings.HasPrefix(p, "cmd/internal/"):
		return !strings.HasPrefix(q, "cmd/loopwright")
	case p == "cmd/loopwright":
		// The command reads flags and calls the stages' packages for single answers.
		return true
	}
	return slices.Contains(mayImport[p], q)
}

func TestImportGraph(t *testing.T) {
	out, err := exec.Command("go", "list", "-f", `{{.ImportPath}} {{join .Imports " "}}`, module+"...").CombinedOutput()
	if err != nil {
		t.Fatalf("go list: %v\n%s", err, out)
	}
	seen := 0
	for _, line := range strings.Split(strings.TrimSpace(string(out)), "\n") {
		fields := strings.Fields(line)
		p := strings.TrimPrefix(fields[0], module)
		if _, ok := mayImport[p]; !ok && !strings.HasPrefix(p, "cmd/") && !insideListed(p) {
			t.Errorf("package %s has no row in the import graph", p)
		}
		for _, f := range fields[1:] {
			q, ours := strings.CutPrefix(f, module)
			if !ours {
				continue
			}
			seen++
			if !allowed(p, q) && !insideListed(p) {
				t.Errorf("%s imports %s: the graph says no", p, q)
			}
		}
	}
	if seen < 10 {
		t.Errorf("only %d imports of ours were seen: the test has gone blind", seen)
	}
}

// insideListed reports whether p lies below a listed package's own internal
// folder or is a test command of it: part of that package, not of the graph.
func insideListed(p string) bool {
	for q := range mayImport {
		if strings.HasPrefix(p, q+"/internal/") {
			return true
		}
	}
	return false
}

// The two things that the design rules out are checked by name, should the
// table above ever be loosened.
func TestRouteAndAssignDoNotMeet(t *testing.T) {
	for p, qs := range mayImport {
		for _, q := range qs {
			if strings.HasPrefix(p, "route") && strings.HasPrefix(q, "assign") || strings.HasPrefix(p, "assign") && strings.HasPrefix(q, "route") {
				t.Errorf("%s imports %s", p, q)
			}
			if strings.HasPrefix(q, "cmd/") {
				t.Errorf("%s imports %s", p, q)
			}
		}
	}
}
