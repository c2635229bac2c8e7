package main

import (
	"errors"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	_ "loopwright/testdata/against" // collections are rarer, here and in each program started
)

// beforeMain is what a test has a program do that it starts, before all else.
var beforeMain = func() {}

// TestMain lets the test binary be the program: "loopwright" is found on the path.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"loopwright": func() { beforeMain(); main() }})
}

// TestScripts runs the command line as people do; $REPO is the checkout.
func TestScripts(t *testing.T) {
	repo, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:  "testdata/script",
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"exitcode": exitCode, "samefiles": sameFiles, "strip": strip},
		Setup: func(e *testscript.Env) error {
			e.Setenv("REPO", repo)
			return nil
		},
	})
}

// exitCode runs "exitcode N command args..." and fails unless the command exits with N.
func exitCode(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exitcode N command [args...]")
	}
	err := ts.Exec(args[1], args[2:]...)
	var exit *exec.ExitError
	got := 0
	if errors.As(err, &exit) {
		got = exit.ExitCode()
	} else if err != nil {
		ts.Fatalf("%v", err)
	}
	if strconv.Itoa(got) != args[0] {
		ts.Fatalf("exit %d, want %s", got, args[0])
	}
}

// sameFiles runs "samefiles DIR DIR" and fails unless both hold the same files.
func sameFiles(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: samefiles DIR DIR")
	}
	read := func(dir string) map[string]string {
		files := map[string]string{}
		root := os.DirFS(ts.MkAbs(dir))
		ts.Check(fs.WalkDir(root, ".", func(name string, e fs.DirEntry, err error) error {
			if err != nil || e.IsDir() {
				return err
			}
			data, err := fs.ReadFile(root, name)
			files[name] = string(data)
			return err
		}))
		return files
	}
	a, b := read(args[0]), read(args[1])
	for _, name := range slices.Sorted(maps.Keys(a)) {
		if a[name] != b[name] {
			ts.Fatalf("%s is not the same in %s and %s", name, args[0], args[1])
		}
	}
	if len(a) != len(b) || len(a) < 5 {
		ts.Fatalf("%d files and %d", len(a), len(b))
	}
}
