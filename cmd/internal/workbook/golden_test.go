package workbook_test

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/workbook"
)

var update = flag.Bool("update", false, "write the golden files anew")

// TestGolden holds every sheet of the small job against its CSV, and the
// formulas of each against theirs.
func TestGolden(t *testing.T) {
	in := small(t)
	// What the job file leaves out is another package's to say: a few lines stand for it here.
	in.Job.Defaults = []job.Default{
		{Path: "route.along", Value: "rectilinear", Why: "cable is run square to the building"},
		{Path: "types[0].isolates", Value: "false", Why: "most types do not", Row: "smoke"},
		{Path: "types[1].isolates", Value: "false", Why: "most types do not", Row: "pull"},
	}
	in.Take.Account = account()
	sheets, err := workbook.Compose(in)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range sheets {
		name := strings.ReplaceAll(strings.ToLower(s.Name), " ", "-")
		var values, formulas bytes.Buffer
		if err := s.WriteCSV(&values); err != nil {
			t.Fatal(err)
		}
		if err := s.WriteFormulas(&formulas); err != nil {
			t.Fatal(err)
		}
		golden(t, name+".csv", values.Bytes())
		if formulas.Len() > 0 {
			golden(t, name+".formulas.txt", formulas.Bytes())
		}
	}
}

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", "small", "golden", name)
	if *update {
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, got, 0o666); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v; go test -update writes it", err)
	}
	a, b := strings.Split(string(want), "\n"), strings.Split(string(got), "\n")
	for i := range max(len(a), len(b)) {
		var x, y string
		if i < len(a) {
			x = a[i]
		}
		if i < len(b) {
			y = b[i]
		}
		if x != y {
			t.Errorf("%s line %d:\n got %s\nwant %s", name, i+1, y, x)
			return
		}
	}
}
