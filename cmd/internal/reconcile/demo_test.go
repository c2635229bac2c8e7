package reconcile

import (
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/testdata"
)

// demoJob writes the demo job to a folder and loads it.
func demoJob(t *testing.T) *job.Job {
	t.Helper()
	j, err := copyDemo(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	return j
}

func copyDemo(dir string) (*job.Job, error) {
	files, err := fs.Sub(testdata.Demo, "demo")
	if err != nil {
		return nil, err
	}
	if err := os.CopyFS(dir, files); err != nil {
		return nil, err
	}
	return job.Load(filepath.Join(dir, "job.yaml"))
}

var demo = sync.OnceValues(func() (*outcome.Outcome, error) {
	dir, err := os.MkdirTemp("", "reconcile-demo-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	j, err := copyDemo(dir)
	if err != nil {
		return nil, err
	}
	return outcome.Compute(j, nil)
})

// demoOutcome is the demo job, computed once; tests must not change it.
func demoOutcome(t *testing.T) *outcome.Outcome {
	t.Helper()
	o, err := demo()
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// at is the id of the device with an address on a circuit of the demo.
func at(t *testing.T, o *outcome.Outcome, circuit string, address int) string {
	t.Helper()
	for _, d := range o.Devices {
		if d.Circuit == circuit && d.Address == address {
			return d.ID
		}
	}
	t.Fatalf("the demo has no address %d on %s", address, circuit)
	return ""
}

// write writes a file of a test.
func write(t *testing.T, path, content string) string {
	t.Helper()
	if err := os.WriteFile(path, []byte(content), 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}
