package against

import (
	"os"
	"path/filepath"
	"runtime"
	"testing"
)

// outcome is a test that notes what a function of this package made of it.
type outcome struct {
	testing.TB
	name string
	said string
}

func (o *outcome) Helper()               {}
func (o *outcome) Name() string          { return o.name }
func (o *outcome) Skipf(string, ...any)  { o.said = "skipped"; runtime.Goexit() }
func (o *outcome) Fatalf(string, ...any) { o.said = "failed"; runtime.Goexit() }

func TestWhatIsMissing(t *testing.T) {
	dir := t.TempDir()
	if err := os.Mkdir(filepath.Join(dir, "routes"), 0o777); err != nil {
		t.Fatal(err)
	}
	program := func(name string) func(testing.TB) { return func(t testing.TB) { Program(t, name) } }
	library := func(name string) func(testing.TB) { return func(t testing.TB) { Python(t, name) } }
	folder := func(name string) func(testing.TB) { return func(t testing.TB) { Folder(t, name) } }
	for _, tt := range []struct {
		what, test, reference, shared string
		need                          func(testing.TB)
		want                          string
	}{
		{"not asked for", "TestAgainstX", "", "", program("go"), "skipped"},
		{"there", "TestAgainstX", "1", "", program("go"), ""},
		{"missing", "TestAgainstX", "1", "", program("no such program"), "failed"},
		{"missing and not asked for", "TestAgainstX", "", "", program("no such program"), "skipped"},
		{"called otherwise", "TestX", "1", "", program("go"), "failed"},
		{"called otherwise, not asked for", "TestX", "", "", program("go"), "failed"},
		{"a benchmark", "BenchmarkX", "1", "", program("go"), ""},
		{"library missing", "TestAgainstX", "1", "", library("nosuchlibrary"), "failed"},
		{"library not asked for", "TestAgainstX", "", "", library("nosuchlibrary"), "skipped"},
		{"no folder", "TestAgainstX", "1", "", folder("routes"), "skipped"},
		{"a folder", "TestAgainstX", "", dir, folder("routes"), ""},
		{"not in the folder", "TestAgainstX", "1", dir, folder("facts"), "skipped"},
		{"folder, called otherwise", "TestX", "1", dir, folder("routes"), "failed"},
	} {
		t.Run(tt.what, func(t *testing.T) {
			t.Setenv(Switch, tt.reference)
			t.Setenv(Data, tt.shared)
			o := &outcome{TB: t, name: tt.test}
			done := make(chan struct{})
			go func() { defer close(done); tt.need(o) }()
			<-done
			if o.said != tt.want {
				t.Errorf("%q, want %q", o.said, tt.want)
			}
		})
	}
}
