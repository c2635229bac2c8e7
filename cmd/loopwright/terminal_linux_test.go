package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/sys/unix"
)

// pty opens a terminal of no screen: what is written to the one end comes out of
// the other (pty(7)).
func pty(t *testing.T) (screen, terminal *os.File) {
	t.Helper()
	screen, err := os.OpenFile("/dev/ptmx", os.O_RDWR|unix.O_NOCTTY, 0)
	if err != nil {
		t.Skip("no terminals here: ", err)
	}
	t.Cleanup(func() { screen.Close() })
	fd := int(screen.Fd())
	n, err := unix.IoctlGetInt(fd, unix.TIOCGPTN)
	if err == nil {
		err = unix.IoctlSetPointerInt(fd, unix.TIOCSPTLCK, 0)
	}
	if err == nil {
		err = unix.IoctlSetWinsize(fd, unix.TIOCSWINSZ, &unix.Winsize{Row: 24, Col: 100})
	}
	if err == nil {
		terminal, err = os.OpenFile(fmt.Sprintf("/dev/pts/%d", n), os.O_RDWR|unix.O_NOCTTY, 0)
	}
	if err != nil {
		t.Skip("no terminals here: ", err)
	}
	return screen, terminal
}

// onTerminal runs the program with standard output and error on a terminal.
func onTerminal(t *testing.T, dir, bin string, env []string, args ...string) string {
	t.Helper()
	screen, terminal := pty(t)
	c := exec.Command(bin, args...)
	c.Dir, c.Stdout, c.Stderr, c.Env = dir, terminal, terminal, append(os.Environ(), env...)
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	terminal.Close()
	var said bytes.Buffer
	_, _ = io.Copy(&said, screen) // ends with an error when the last writer has gone
	if err := c.Wait(); err != nil {
		t.Fatalf("%v\n%s", err, said.String())
	}
	return said.String()
}

var (
	stepShown    = regexp.MustCompile(`step (\d+) of (\d+): ([a-z ]+?) +(\d+)%`)
	everyProcess = []string{"build job.yaml -o out", "check job.yaml", "compare job.yaml job.yaml", "reconcile job.yaml out/takeoff.xlsx"}
)

// TestBarOnTerminal: what a bar shows never goes back, never promises the end
// before it is there, and is gone when the work is done. No escape sequence is
// sent: the terminal may be one that knows none.
func TestBarOnTerminal(t *testing.T) {
	dir, bin := jobFolder(t)
	for _, args := range everyProcess {
		t.Run(args, func(t *testing.T) {
			said := onTerminal(t, dir, bin, []string{"TERM=xterm", "NO_COLOR="}, strings.Fields(args)...)
			if strings.Contains(said, "\x1b") {
				t.Errorf("escape sequences: %q", said)
			}
			steps := stepShown.FindAllStringSubmatch(said, -1)
			if len(steps) == 0 {
				t.Fatalf("no bar: %q", said)
			}
			last, total := 0, steps[0][2]
			for _, s := range steps {
				n, _ := strconv.Atoi(s[1])
				of, _ := strconv.Atoi(s[2])
				percent, _ := strconv.Atoi(s[4])
				if n < last || s[2] != total || n > of || percent > 100*(n-1)/of {
					t.Errorf("%q after step %d of %s", s[0], last, total)
				}
				last = n
			}
			if strconv.Itoa(last) != total {
				t.Errorf("the last step shown is %d of %s", last, total)
			}
			if _, after, _ := strings.Cut(said, steps[len(steps)-1][0]); !strings.Contains(after, "\r"+strings.Repeat(" ", 40)) {
				t.Errorf("the bar is not wiped away: %q", after)
			}
		})
	}
}

// TestPlainOutput: where output goes into a file, to a terminal that cannot move
// its cursor, or where no colors are wished for, it is plain text.
func TestPlainOutput(t *testing.T) {
	dir, bin := jobFolder(t)
	for _, args := range append(everyProcess, "survey plan.dxf", "encode 90", "help", "build --help") {
		t.Run(args, func(t *testing.T) {
			words := strings.Fields(args)
			if said := onTerminal(t, dir, bin, []string{"TERM=dumb"}, words...); strings.Contains(said, "\x1b") || stepShown.MatchString(said) {
				t.Errorf("dumb terminal: %q", said)
			}
			if said := onTerminal(t, dir, bin, []string{"TERM=xterm", "NO_COLOR=1"}, words...); strings.Contains(said, "\x1b") {
				t.Errorf("NO_COLOR: %q", said)
			}
			c := exec.Command(bin, words...)
			c.Dir, c.Env = dir, append(os.Environ(), "TERM=xterm")
			said, err := c.CombinedOutput()
			if err != nil || bytes.ContainsAny(said, "\x1b\r") {
				t.Errorf("into a file: %v, %q", err, said)
			}
		})
	}
	if _, err := os.Stat(filepath.Join(dir, "out", "takeoff.xlsx")); err != nil {
		t.Error(err)
	}
}
