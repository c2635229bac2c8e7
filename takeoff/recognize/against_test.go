package recognize_test

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/recognize"
	"loopwright/takeoff/words"
	"loopwright/testdata/against"
)

// concepts are the names that the drawings of invented offices give to what is drawn.
var concepts = map[words.Concept]string{"device.smoke": "smoke", "device.heat": "heat", "device.multi": "multi", "device.callpoint": "callpoint",
	"device.sounder": "sounder", "device.bell": "sounder", "device.strobe": "beacon", "device.sounder_strobe": "sndbcn", "device.input_module": "input",
	"device.output_module": "output", "device.isolator": "isolator", "device.duct": "duct", "device.beam": "beam", "device.door_holder": "holder", "device.repeater": "repeater"}

// What is recognised is held against 40 buildings of invented offices in eight languages,
// drawn by another program that wrote down what it drew.
func TestAgainstOffices(t *testing.T) {
	dirs, err := filepath.Glob(filepath.Join(against.Folder(t, "plans", "open"), "*"))
	if err != nil || len(dirs) < 20 {
		t.Fatalf("only %d buildings: %v", len(dirs), err)
	}
	want, found, counted, plans, levels := 0, 0, 0, 0, 0
	for _, dir := range dirs {
		var truth struct {
			Devices []struct {
				Counted, File, Type string
				X, Y                float64
			}
			Levels  []struct{ File string }
			Symbols map[string]struct{ Told bool }
			Unit    struct {
				Metres float64 `json:"metres_per_unit"`
			}
		}
		b, err := os.ReadFile(filepath.Join(dir, "truth.json"))
		if err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(b, &truth); err != nil {
			t.Fatal(err)
		}
		names, _ := filepath.Glob(filepath.Join(dir, "*.dxf"))
		r := look(t, names)
		plans += len(r.Plans)
		levels += len(truth.Levels)
		used := map[int]bool{}
		for _, d := range truth.Devices {
			if d.Counted != "yes" || !truth.Symbols[d.Type].Told {
				continue
			}
			want++
			for i, f := range r.Figures {
				if k := r.Kinds[f.Kind]; !used[i] && counts(r, f) && concepts[k.Concept] == d.Type && r.Pages[f.Page].Name == d.File && math.Hypot(f.At.X-d.X, f.At.Y-d.Y)*truth.Unit.Metres < 0.3 {
					used[i] = true
					found++
					break
				}
			}
		}
		for _, f := range r.Figures {
			if counts(r, f) {
				counted++
			}
		}
	}
	t.Logf("%d of %d devices found with their type, %d count, %d plans of %d", found, want, counted, plans, levels)
	if share := float64(found) / float64(want); share < 0.99 {
		t.Errorf("%d of %d devices found with their type", found, want)
	}
	if float64(found) < 0.97*float64(counted) { // copies on one spot and in the overlap of sheets are dropped later
		t.Errorf("%d count, of them %d rightly", counted, found)
	}
	if plans != levels {
		t.Errorf("%d plans, want %d", plans, levels)
	}
}

// counts reports whether a figure is a device that would count.
func counts(r *recognize.Result, f recognize.Figure) bool {
	k := r.Kinds[f.Kind]
	return k.Ours && f.Plan >= 0 && f.Visible && f.Status == "" && k.Concept != "device.panel"
}

func look(t *testing.T, names []string) *recognize.Result {
	t.Helper()
	var pages []*recognize.Page
	for i, n := range names {
		d, err := dxf.Open(n)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { d.Close() })
		inserts, _, err := d.Inserts(dxf.Options{Paper: true})
		if err != nil {
			t.Fatal(err)
		}
		texts, _, err := d.Texts(dxf.Options{Paper: true})
		if err != nil {
			t.Fatal(err)
		}
		shapes, _, err := d.Shapes(dxf.Options{Paper: true})
		if err != nil {
			t.Fatal(err)
		}
		pages = append(pages, recognize.NewPage(i, filepath.Base(n), d, inserts, texts, shapes))
	}
	return recognize.Look(pages, words.Usual())
}

// Drawings of other trades stay silent: no device is made up on them.
func TestAgainstOtherTrades(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(against.Folder(t, "dxf", "open"), "*.dxf"))
	if err != nil || len(files) < 20 {
		t.Fatalf("only %d drawings: %v", len(files), err)
	}
	for _, f := range files {
		r := look(t, []string{f})
		for _, g := range r.Figures {
			if counts(r, g) {
				t.Errorf("%s: %s %q counts as %s", filepath.Base(f), g.Form, g.Name, r.Kinds[g.Kind].Concept)
				break
			}
		}
	}
}

// The demo's own drawings, without anything beside the checkout.
func TestDemo(t *testing.T) {
	r := look(t, []string{"../../testdata/demo/level-1.dxf", "../../testdata/demo/level-2.dxf"})
	if len(r.Plans) != 2 || len(r.Legends) == 0 {
		t.Fatalf("%d plans, %d legends", len(r.Plans), len(r.Legends))
	}
	for i, want := range []string{"level 1", "level 2"} {
		if got := strings.ToLower(r.Plans[i].Name); got != want {
			t.Errorf("plan %d is %q, want %q", i, got, want)
		}
	}
}
