package paper_test

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loopwright/cmd/internal/build"
	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/result"
	"loopwright/takeoff/dxf"
	"loopwright/testdata/against"
)

// needsIsolators builds the demo, asked to lose ten devices at most by one short
// instead of fifty. The isolators that a job still needs must reach whoever
// installs them.
func needsIsolators(t *testing.T) (out string, r result.Result) {
	t.Helper()
	dir := t.TempDir()
	demo := filepath.Join("..", "..", "..", "testdata", "demo")
	for _, name := range []string{"job.yaml", "level-1.dxf", "level-2.dxf"} {
		data, err := os.ReadFile(filepath.Join(demo, name))
		if err != nil {
			t.Fatal(err)
		}
		text := strings.ReplaceAll(string(data), "max_lost_devices: 35", "max_lost_devices: 10")
		if name == "job.yaml" && text == string(data) {
			t.Fatal("the demo's job has no max_lost_devices: 35 to lower")
		}
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	j, err := job.Load(filepath.Join(dir, "job.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	out = filepath.Join(dir, "out")
	if _, err := build.Run(j, out, outcome.Known{}, nil); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(filepath.Join(out, "result.json"))
	if err != nil {
		t.Fatal(err)
	}
	// Findings are only ever written.
	read := struct {
		*result.Result
		Findings json.RawMessage `json:"findings"`
	}{Result: &r}
	if err := json.Unmarshal(data, &read); err != nil {
		t.Fatal(err)
	}
	if n := toAdd(r); n < 5 {
		t.Fatalf("only %d isolators are to be added: the job does not try the case", n)
	}
	return out, r
}

// toAdd counts the isolators that the proofs ask for.
func toAdd(r result.Result) (n int) {
	for _, c := range r.Circuits {
		if c.Isolators != nil {
			n += len(c.Isolators.Add)
		}
	}
	return n
}

// Every one is drawn on a layer of its own in the plans.
func TestIsolatorsToAddAreDrawn(t *testing.T) {
	out, r := needsIsolators(t)
	if drawn, want := isolatorsDrawn(t, out), toAdd(r); drawn != want {
		t.Errorf("%d isolators to add are drawn on the plans, want %d", drawn, want)
	}
}

// Every one stands in a row of its own on the switch sheets.
func TestAgainstPopplerIsolatorsToAdd(t *testing.T) {
	against.Program(t, "pdftotext")
	out, r := needsIsolators(t)
	sheets := strings.Join(strings.Fields(textOf(t, filepath.Join(out, "switch-sheets.pdf"), "-raw")), " ")
	for _, c := range r.Circuits {
		if c.Isolators == nil {
			continue
		}
		for _, a := range c.Isolators.Add {
			if row := fmt.Sprintf("beside %s, on the cable between %s and %s", a.Beside, a.From, a.To); !strings.Contains(sheets, row) {
				t.Errorf("%s: the switch sheets have no row %q", c.Circuit, row)
			}
		}
	}
	if rows, want := strings.Count(sheets, "Isolator TO ADD"), toAdd(r); rows != want {
		t.Errorf("%d rows of isolators to add on the switch sheets, want %d", rows, want)
	}
}

// isolatorsDrawn counts the squares on the layers for isolators of all plans.
func isolatorsDrawn(t *testing.T, out string) int {
	t.Helper()
	n := 0
	for _, name := range []string{"level-1.dxf", "level-2.dxf"} {
		d, err := dxf.Open(filepath.Join(out, "plans", name))
		if err != nil {
			t.Fatal(err)
		}
		defer d.Close()
		shapes, _, err := d.Shapes(dxf.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range shapes {
			if strings.Contains(s.Layer, "ISOL") && s.Closed {
				n++
			}
		}
	}
	return n
}
