package workbook_test

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"loopwright/cmd/internal/build"
	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/workbook"
)

// input runs a job up to what its workbook shows. The edit may change the job first.
func input(t testing.TB, file string, edit func(*job.Job)) workbook.Input {
	t.Helper()
	j, err := job.Load(file)
	if err != nil {
		t.Fatal(err)
	}
	if edit != nil {
		edit(j)
	}
	o, err := build.Compute(j, nil)
	if err != nil {
		t.Fatal(err)
	}
	return o.Workbook()
}

func small(t testing.TB) workbook.Input {
	return input(t, filepath.Join("testdata", "small", "job.yaml"), nil)
}

func demo(t testing.TB) workbook.Input {
	return input(t, filepath.Join("..", "..", "..", "testdata", "demo", "job.yaml"), nil)
}

// file writes a workbook into a folder of the test's own.
func file(t testing.TB, in workbook.Input) string {
	t.Helper()
	var b bytes.Buffer
	if err := workbook.Write(&b, in); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "takeoff.xlsx")
	if err := os.WriteFile(path, b.Bytes(), 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}
