package begin

import (
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
		{[]string{traps + "units-none/r12.dxf"}, []string{"it does not say its units; the row says units: in", "no panel"}},
		{[]string{traps + "exploded/plan.dxf"}, []string{"units", "rows with a question mark: 2", "no panel"}},
		{[]string{traps + "legend-doubt/plan.dxf"}, []string{`symbols beside "SMOKE DETECTOR"`, `symbols beside "FURNISHED BY OWNER"`, "no panel"}},
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
