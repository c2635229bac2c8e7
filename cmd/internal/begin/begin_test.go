package begin

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/takeoff"
)

const demo = "../../../testdata/demo/"

// TestNeedsNoEdit drafts jobs from drawings alone, builds them as they are, and
// holds the counts against what the drawings' own scripts noted.
func TestNeedsNoEdit(t *testing.T) {
	tests := []struct {
		dir    string
		files  []string // in another order than the levels': it must not matter
		panels int
		risers int
	}{
		{demo, []string{"level-2.dxf", "level-1.dxf"}, 1, 2},
		// Its types are loose figures that the legend explains; the panel is put down in the middle.
		{"../../../testdata/traps/legend-exploded/", []string{"plan.dxf"}, 1, 0},
	}
	for _, tt := range tests {
		dir := t.TempDir()
		var drawings []string
		for _, n := range tt.files {
			b, err := os.ReadFile(tt.dir + n)
			if err != nil {
				t.Fatal(err)
			}
			f := filepath.Join(dir, n)
			if err := os.WriteFile(f, b, 0o666); err != nil {
				t.Fatal(err)
			}
			drawings = append(drawings, f)
		}
		file := filepath.Join(dir, "job.yaml")
		if _, err := Write(file, drawings); err != nil {
			t.Fatal(err)
		}
		j, err := job.Load(file)
		if err != nil {
			t.Fatal(err)
		}
		o, err := outcome.Compute(j, nil)
		if err != nil {
			t.Fatal(err)
		}
		agrees(t, tt.dir, j, o)
		if len(o.Take.Panels) != tt.panels || len(o.Take.Risers) != tt.risers {
			t.Errorf("%s: %d panels and %d risers, want %d and %d", tt.dir, len(o.Take.Panels), len(o.Take.Risers), tt.panels, tt.risers)
		}
	}
}

// agrees holds the counts of a job over the types and levels against the truth of its drawings.
func agrees(t *testing.T, dir string, j *job.Job, o *outcome.Outcome) {
	t.Helper()
	var want struct {
		Counts   []takeoff.Count
		Excluded map[takeoff.Reason]int
	}
	b, err := os.ReadFile(dir + "truth.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, &want); err != nil {
		t.Fatal(err)
	}
	got := takeoff.Counts(o.Take.Devices, j.DeviceTypes(), o.Take.Levels)
	if len(o.Take.Levels) == 1 { // a drawing without a title is named after its file
		for i := range got {
			got[i].Level = want.Counts[0].Level
		}
	}
	order := func(a, b takeoff.Count) int { return strings.Compare(a.Type+a.Level, b.Type+b.Level) }
	slices.SortFunc(got, order)
	slices.SortFunc(want.Counts, order)
	if !slices.Equal(got, want.Counts) {
		t.Errorf("%s: counts %v\nwant   %v", dir, got, want.Counts)
	}
	for reason, n := range want.Excluded {
		k := 0
		for _, d := range o.Take.Devices {
			if d.Reason == reason {
				k++
			}
		}
		if k != n {
			t.Errorf("%s: %d left out as %s, want %d", dir, k, reason, n)
		}
	}
}

func TestNeverOverwrites(t *testing.T) {
	file := filepath.Join(t.TempDir(), "job.yaml")
	if err := os.WriteFile(file, []byte("mine"), 0o666); err != nil {
		t.Fatal(err)
	}
	_, err := Write(file, []string{demo + "level-1.dxf"})
	if err == nil || !strings.Contains(err.Error(), "already exists") {
		t.Errorf("error %v", err)
	}
	if b, _ := os.ReadFile(file); string(b) != "mine" {
		t.Errorf("the file now holds %q", b)
	}
}

// draftText is the text of a job file for drawings, their paths as seen from folder.
func draftText(folder string, drawings []string) (string, error) {
	dr, err := draftOf(folder, drawings)
	if err != nil {
		return "", err
	}
	return dr.text(), nil
}

// A drawing that shows nothing still yields a job file that reads.
func TestEmptyDrawing(t *testing.T) {
	file := filepath.Join(t.TempDir(), "empty.dxf")
	if err := os.WriteFile(file, []byte("  0\nSECTION\n  2\nENTITIES\n  0\nENDSEC\n  0\nEOF\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	text, err := draftText(filepath.Dir(file), []string{file})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := job.Parse("draft.yaml", []byte(text)); err != nil {
		t.Errorf("%v\n%s", err, text)
	}
}

// Where nothing says what is a device, the blocks are listed, the most frequent first.
func TestBlocksOfUnknownUse(t *testing.T) {
	dxf := "0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nCHAIR\n0\nCIRCLE\n10\n0\n20\n0\n40\n1\n0\nENDBLK\n0\nBLOCK\n2\nXD-7\n0\nCIRCLE\n10\n0\n20\n0\n40\n1\n0\nENDBLK\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n"
	for i, b := range []string{"CHAIR", "XD-7", "XD-7"} {
		dxf += fmt.Sprintf("0\nINSERT\n8\nE-SYMB\n2\n%s\n10\n%d\n20\n0\n", b, 100*i)
	}
	file := filepath.Join(t.TempDir(), "plan.dxf")
	if err := os.WriteFile(file, []byte(dxf+"0\nENDSEC\n0\nEOF\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	text, err := draftText(filepath.Dir(file), []string{file})
	if err != nil {
		t.Fatal(err)
	}
	if want := "  # - {type: ?, match: [{block: \"XD-7\"}]}   # 2 on E-SYMB\n  # - {type: ?, match: [{block: \"CHAIR\"}]}   # 1 on E-SYMB\n"; !strings.Contains(text, want) {
		t.Errorf("no\n%s in\n%s", want, text)
	}
}

// TestDraft holds the drafts of some drawings against files that a person can read.
func TestDraft(t *testing.T) {
	tests := []struct {
		name     string
		drawings []string
	}{
		{"demo", []string{demo + "level-1.dxf", demo + "level-2.dxf"}},
		{"side-by-side", []string{"../../../testdata/traps/side-by-side/plan.dxf"}},
		{"units-wrong", []string{"../../../testdata/traps/units-wrong/plan.dxf"}},
		{"kind-attribute", []string{"../../../testdata/traps/kind-attribute/plan.dxf"}},
		{"exploded", []string{"../../../testdata/traps/exploded/plan.dxf"}},
		{"legend-exploded", []string{"../../../testdata/traps/legend-exploded/plan.dxf"}},
		{"legend-doubt", []string{"../../../testdata/traps/legend-doubt/plan.dxf"}},
	}
	for _, tt := range tests {
		got, err := draftText(demo, tt.drawings)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := job.Parse("draft.yaml", []byte(got)); err != nil {
			t.Errorf("%s: the draft is no job file: %v", tt.name, err)
		}
		golden := filepath.Join("testdata", tt.name+".yaml")
		if os.Getenv("LOOPWRIGHT_UPDATE") != "" {
			if err := os.MkdirAll("testdata", 0o777); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(golden, []byte(got), 0o666); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(golden)
		if err != nil {
			t.Fatal(err)
		}
		if got != string(want) {
			t.Errorf("%s: the draft differs from %s (LOOPWRIGHT_UPDATE=1 writes it anew):\n%s", tt.name, golden, got)
		}
	}
}
