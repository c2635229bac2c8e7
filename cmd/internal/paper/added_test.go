package paper_test

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"loopwright/cmd/internal/build"
	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/result"
	"loopwright/takeoff/dxf"
)

// The isolators that a job still needs must reach whoever installs them: every
// one that the proof asks for stands in a row of its own on the switch sheets
// and is drawn on a layer of its own in the plans. The demo is asked to lose
// ten devices at most by one short instead of fifty.
func TestIsolatorsToAddReachTheSite(t *testing.T) {
	need(t, "pdftotext")
	dir := t.TempDir()
	demo := filepath.Join("..", "..", "..", "testdata", "demo")
	for _, name := range []string{"job.yaml", "level-1.dxf", "level-2.dxf"} {
		data, err := os.ReadFile(filepath.Join(demo, name))
		if err != nil {
			t.Fatal(err)
		}
		text := strings.ReplaceAll(string(data), "max_lost_devices: 50", "max_lost_devices: 10")
		if name == "job.yaml" && text == string(data) {
			t.Fatal("the demo's job has no max_lost_devices: 50 to lower")
		}
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	j, err := job.Load(filepath.Join(dir, "job.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(dir, "out")
	if _, err := build.Run(j, out, nil); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(filepath.Join(out, "result.json"))
	if err != nil {
		t.Fatal(err)
	}
	var r result.Result
	if err := json.Unmarshal(data, &r); err != nil {
		t.Fatal(err)
	}
	text, err := exec.Command("pdftotext", "-raw", filepath.Join(out, "switch-sheets.pdf"), "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	sheets := strings.Join(strings.Fields(string(text)), " ")
	want := 0
	for _, c := range r.Circuits {
		if c.Isolators == nil {
			continue
		}
		for _, a := range c.Isolators.Add {
			want++
			if row := fmt.Sprintf("beside %s, on the cable between %s and %s", a.Beside, a.From, a.To); !strings.Contains(sheets, row) {
				t.Errorf("%s: the switch sheets have no row %q", c.Circuit, row)
			}
		}
	}
	if want < 5 {
		t.Fatalf("only %d isolators are to be added: the job does not try the case", want)
	}
	if rows := strings.Count(sheets, "Isolator TO ADD"); rows != want {
		t.Errorf("%d rows of isolators to add on the switch sheets, want %d", rows, want)
	}
	if drawn := isolatorsDrawn(t, out); drawn != want {
		t.Errorf("%d isolators to add are drawn on the plans, want %d", drawn, want)
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
