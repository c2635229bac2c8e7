package takeoff

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestFindings holds the findings on each trap against a list that a person can
// read: what is left out or doubtful must be said, and nothing else.
func TestFindings(t *testing.T) {
	jobs, err := filepath.Glob("../testdata/traps/*/job.yaml")
	if err != nil || len(jobs) == 0 {
		t.Fatal("no traps", err)
	}
	var b strings.Builder
	for _, file := range jobs {
		dir := filepath.Dir(file)
		b.WriteString("== " + filepath.Base(dir) + "\n")
		r, err := Take(readJob(t, file))
		if err != nil {
			b.WriteString("error: " + err.Error() + "\n")
		}
		for _, f := range r.Findings {
			b.WriteString(f.String() + "\n")
		}
	}
	golden := "testdata/findings.txt"
	if os.Getenv("LOOPWRIGHT_UPDATE") != "" {
		if err := os.WriteFile(golden, []byte(b.String()), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	got, exp := strings.Split(b.String(), "\n"), strings.Split(string(want), "\n")
	for i := range max(len(got), len(exp)) {
		g, w := "", ""
		if i < len(got) {
			g = got[i]
		}
		if i < len(exp) {
			w = exp[i]
		}
		if g != w {
			t.Fatalf("line %d of %s (LOOPWRIGHT_UPDATE=1 writes it anew):\ngot  %s\nwant %s", i+1, golden, g, w)
		}
	}
}
