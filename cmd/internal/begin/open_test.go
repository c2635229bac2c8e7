package begin

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// What is to be settled is said at the end: what the drawings leave open, and no more.
func TestOpen(t *testing.T) {
	const traps = "../../../testdata/traps/"
	tests := []struct {
		drawings []string
		want     []string // parts of what is said, in its order
	}{
		{[]string{demo + "level-1.dxf"}, nil},
		{[]string{traps + "units-wrong/plan.dxf"}, []string{"the header says mm, but then the longer side", "no panel"}},
		{[]string{traps + "units-none/r12.dxf"}, []string{"it does not give its units; the row says units: in", "no panel"}},
		{[]string{traps + "exploded/plan.dxf"}, []string{"units", "rows with a question mark: 2", "no panel"}},
		{[]string{traps + "mostly-off/plan.dxf"}, []string{"devices on layers that are off or frozen (E-FIRE-HEAT) do not count: 9 heat;", "units", "no panel"}},
		{[]string{traps + "legend-doubt/plan.dxf"}, []string{`symbols beside "SMOKE DETECTOR"`, "outside every plan do not count: 1 heat, 1 smoke, the first at 840, 300", "no panel"}},
	}
	for _, tt := range tests {
		got, err := Write(filepath.Join(t.TempDir(), "job.yaml"), tt.drawings)
		if err != nil {
			t.Fatal(err)
		}
		ok := len(got) == len(tt.want)
		for i := range tt.want {
			ok = ok && strings.Contains(got[i], tt.want[i])
		}
		if !ok {
			t.Errorf("%v: to settle %q\nwant %q", tt.drawings, got, tt.want)
		}
	}
}

// Half a drawing makes half a draft: that it is half is said first.
func TestOpenCutOff(t *testing.T) {
	whole, err := os.ReadFile(demo + "level-1.dxf")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	half := filepath.Join(dir, "half.dxf")
	if err := os.WriteFile(half, whole[:len(whole)*3/4], 0o666); err != nil {
		t.Fatal(err)
	}
	got, err := Write(filepath.Join(dir, "job.yaml"), []string{half})
	if err != nil || len(got) == 0 || !strings.Contains(got[0], "half.dxf: the drawing is cut off inside section ENTITIES") {
		t.Errorf("to settle %q, %v", got, err)
	}
}
