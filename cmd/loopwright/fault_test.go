package main

import (
	"errors"
	"os"
	"os/exec"
	"strings"
	"testing"
)

// A fault of the program's own ends as the exit codes say: 1, nothing written,
// in words that tell whoever runs it what to do with what follows. It happens in
// a process of its own, as nothing can be written in one after it.
func TestFaultOfOurOwn(t *testing.T) {
	if os.Getenv("LOOPWRIGHT_TEST_FAULT") == "1" {
		os.Exit(newApp(os.Stdin, os.Stdout, os.Stderr).fault("index out of range [3] with length 3"))
	}
	c := exec.Command(os.Args[0], "-test.run=^TestFaultOfOurOwn$")
	c.Env = append(os.Environ(), "LOOPWRIGHT_TEST_FAULT=1")
	out, err := c.CombinedOutput()
	var exit *exec.ExitError
	if !errors.As(err, &exit) || exit.ExitCode() != exitFailed {
		t.Errorf("it ended with %v, want exit code %d", err, exitFailed)
	}
	for _, want := range []string{"internal error: index out of range", "Nothing was written.", "Please report it", "fault_test.go"} {
		if !strings.Contains(string(out), want) {
			t.Errorf("it does not say %q:\n%s", want, out)
		}
	}
}
