// Package against finds what some tests hold our results against and Go does not
// bring: other programs, and data that may not be redistributed.
//
// `go test ./...` needs nothing but Go and skips these tests by name. With
// LOOPWRIGHT_REFERENCE=1 they run, and a program that is missing fails them:
//
//	LOOPWRIGHT_REFERENCE=1 go test -run TestAgainst ./...
//
// Every such test is called TestAgainst..., so that this pattern finds them all
// and runs no other test twice. The functions here fail a test of another name.
package against

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"runtime/debug"
	"strings"
	"testing"
)

const (
	// Switch is the variable that, set to 1, runs the tests against other programs.
	Switch = "LOOPWRIGHT_REFERENCE"
	// Data is the variable that names the folder of data that may not be redistributed.
	Data = "LOOPWRIGHT_SHARED"
)

// Tests keep little and make much. Swept whenever a few megabytes have doubled, they
// spend a third of their time on that.
func init() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(400)
	}
}

// Program returns the path of the first of the named programs that is
// installed. It skips the test without the switch.
func Program(t testing.TB, names ...string) string {
	t.Helper()
	asked(t, names[0])
	for _, name := range names {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	t.Fatalf("%s is not installed, and %s=1 asks for it (.ci/run installs it)", strings.Join(names, " or "), Switch)
	return ""
}

// Python returns the path of a Python that has all the named libraries.
func Python(t testing.TB, libraries ...string) string {
	t.Helper()
	asked(t, strings.Join(append([]string{"python3"}, libraries...), ", "))
	// The first sees the libraries that the distribution packages.
	for _, python := range []string{"/usr/bin/python3", "python3"} {
		if exec.Command(python, "-c", "import "+strings.Join(libraries, ", ")).Run() == nil {
			return python
		}
	}
	t.Fatalf("there is no python3 with %s, and %s=1 asks for it (.ci/run installs it)", strings.Join(libraries, ", "), Switch)
	return ""
}

// Ask runs a Python script that uses a library, gives it in as JSON on standard
// input and decodes the JSON that it prints into out.
func Ask(t testing.TB, library, script string, in, out any) {
	t.Helper()
	python := Python(t, library)
	data, err := json.Marshal(in)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(python, "-c", script)
	cmd.Stdin = bytes.NewReader(data)
	var errs bytes.Buffer
	cmd.Stderr = &errs
	answer, err := cmd.Output()
	if err != nil {
		t.Fatalf("%s: %v\n%s", library, err, errs.String())
	}
	if err := json.Unmarshal(answer, out); err != nil {
		t.Fatalf("%s answered %q: %v", library, answer, err)
	}
}

// Folder returns a folder or file below the one that LOOPWRIGHT_SHARED names,
// and skips the test where there is none: nobody can install these.
func Folder(t testing.TB, elem ...string) string {
	t.Helper()
	named(t)
	name := filepath.Join(elem...)
	root := os.Getenv(Data)
	if root == "" {
		t.Skipf("%s: %s names no folder that holds it", name, Data)
	}
	path := filepath.Join(root, name)
	if _, err := os.Stat(path); err != nil {
		t.Skipf("%s=%s does not hold %s", Data, root, name)
	}
	return path
}

// asked skips the test unless the switch is on.
func asked(t testing.TB, what string) {
	t.Helper()
	named(t)
	if os.Getenv(Switch) != "1" {
		t.Skipf("%s: %s=1 runs the check against it", what, Switch)
	}
}

// named fails a test that the pattern of this package would not find.
func named(t testing.TB) {
	t.Helper()
	if name := t.Name(); strings.HasPrefix(name, "Test") && !strings.HasPrefix(name, "TestAgainst") {
		t.Fatalf("%s needs more than Go: call it TestAgainst..., or nothing runs it with %s=1", name, Switch)
	}
}
