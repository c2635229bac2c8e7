//go:build unix

package main

import (
	"bytes"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"

	"loopwright/cmd/internal/commit"
)

// jobFolder is a folder with a job that was built once, and the program.
func jobFolder(t *testing.T) (dir, bin string) {
	t.Helper()
	bin, err := exec.LookPath("loopwright") // the test binary, by TestMain
	if err != nil {
		t.Fatal(err)
	}
	dir = t.TempDir()
	for _, name := range []string{"job.yaml", "plan.dxf"} {
		data, err := os.ReadFile(filepath.Join("../../testdata/traps/letter-case", name))
		if err != nil {
			t.Fatal(err)
		}
		file(filepath.Join(dir, name), string(data))(t)
	}
	if said, err := call(dir, bin, "build", "job.yaml", "-o", "out"); err != nil {
		t.Fatalf("%v\n%s", err, said)
	}
	return dir, bin
}

func call(dir, bin string, args ...string) (said string, err error) {
	c := exec.Command(bin, args...)
	c.Dir = dir
	var errs bytes.Buffer
	c.Stderr = &errs
	err = c.Run()
	return errs.String(), err
}

// results sums what a build writes: the folder of results and the ledger.
func results(t *testing.T, dir string) string {
	t.Helper()
	var b strings.Builder
	for line := range strings.Lines(folderSum(t, dir)) {
		line = strings.TrimPrefix(line, dir)
		if !strings.HasPrefix(line, "/job.yaml ") && !strings.HasPrefix(line, "/plan.dxf ") && line != "/\n" {
			b.WriteString(line)
		}
	}
	return b.String()
}

// TestStoppedBuild keeps the folder as it is before each change that a build
// makes on the disk, which is what a kill there leaves. The next run then makes
// it the results and the ledger of the job before or of the job after.
func TestStoppedBuild(t *testing.T) {
	dir, bin := jobFolder(t)
	t.Chdir(dir)
	edit("job.yaml", "report: imperial", "report: imperial\nrevision: B")(t)
	os.Remove("job.ledger.csv") // so that it is written again
	before := results(t, dir)
	var stops []string
	commit.BeforeChange = func(string, string) {
		stop := filepath.Join(t.TempDir(), "stop")
		if err := os.CopyFS(stop, os.DirFS(dir)); err != nil {
			t.Fatal(err)
		}
		stops = append(stops, stop)
	}
	defer func() { commit.BeforeChange = func(string, string) {} }()
	var errs bytes.Buffer
	if code := Run([]string{"build", "job.yaml", "-o", "out", "--forget", "4"}, strings.NewReader(""), io.Discard, &errs); code != exitDone {
		t.Fatalf("exit %d: %s", code, errs.String())
	}
	commit.BeforeChange = func(string, string) {}
	after := results(t, dir)
	if before == after {
		t.Fatal("the two revisions make the same files: nothing could be told apart")
	}
	counts := map[string]int{}
	for k, stop := range stops {
		if k%30 == 29 { // the command; for the others what each command does first is enough
			if said, err := call(stop, bin, "check", "job.yaml"); err != nil || !strings.Contains(said, "interrupted") {
				t.Errorf("stop %d: %v\n%s", k, err, said)
			}
		} else if _, err := commit.Recover(filepath.Join(stop, "out"), filepath.Join(stop, "job.ledger.csv"), filepath.Join(stop, "job.ledger.before.csv")); err != nil {
			t.Fatalf("stop %d: %v", k, err)
		}
		switch got := results(t, stop); got {
		case after:
			counts["new"]++
		case before:
			counts["old"]++
		default:
			t.Fatalf("stop %d left a mixture:\n%s\nnew would be\n%s\nold would be\n%s", k, got, after, before)
		}
	}
	if counts["new"] < 20 || counts["old"] < 20 {
		t.Errorf("%v: the test has gone blind", counts)
	}
}

// interruptVar tells the program that the tests start before which of its changes
// on the disk the signal of Ctrl-C comes.
const interruptVar = "LOOPWRIGHT_TEST_INTERRUPT"

func init() { beforeMain = func() { interruptAt(os.Getenv(interruptVar)) } }

// interruptAt sends the signal once, before the change of that name. Files that
// wait for the commit are then never written on; later the program goes on.
func interruptAt(change string) {
	if change == "" {
		return
	}
	sent := false
	commit.BeforeChange = func(what, path string) {
		if sent || what+" "+filepath.Base(path) != change {
			return
		}
		sent = true
		came := make(chan os.Signal, 1)
		signal.Notify(came, os.Interrupt)
		if err := syscall.Kill(os.Getpid(), syscall.SIGINT); err != nil {
			panic(err)
		}
		<-came
		if strings.HasPrefix(filepath.Base(path), "new-") {
			select {}
		}
	}
}

// TestInterrupted sends the signal of Ctrl-C while files wait to be moved, and
// while they are moved.
func TestInterrupted(t *testing.T) {
	dir, bin := jobFolder(t)
	before := folderSum(t, dir)
	for _, change := range []string{"create new-0", "write new-3", "sync new-9", "rename commit", "rename plan.dxf", "remove commit"} {
		c := exec.Command(bin, "build", "job.yaml", "-o", "new/out")
		c.Dir, c.Env = dir, append(os.Environ(), interruptVar+"="+change)
		var errs bytes.Buffer
		c.Stderr = &errs
		err := c.Run()
		if waits := strings.Contains(change, "new-"); waits {
			if c.ProcessState.ExitCode() != exitFailed || !strings.Contains(errs.String(), "interrupted: nothing was written") {
				t.Errorf("before %s: %v: %s", change, err, errs.String())
			}
			if after := withoutLock(folderSum(t, dir)); after != before {
				t.Fatalf("before %s: it left something behind:\n%s\nwas\n%s", change, after, before)
			}
			continue
		}
		// It may also have been done before it could end on the signal.
		if err != nil && (c.ProcessState.ExitCode() != exitFailed || !strings.Contains(errs.String(), "interrupted after everything was written")) {
			t.Errorf("before %s: %v: %s", change, err, errs.String())
		}
		if made := folderSum(t, filepath.Join(dir, "new")); !strings.Contains(made, "result.json") || strings.Contains(made, ".loopwright-writing") {
			t.Errorf("before %s: the folder holds\n%s", change, made)
		}
		os.RemoveAll(filepath.Join(dir, "new"))
		os.Remove(filepath.Join(dir, "job.ledger.before.csv"))
	}
}

// withoutLock takes an empty lock file away: the next run removes it.
func withoutLock(sum string) string {
	var b strings.Builder
	for line := range strings.Lines(sum) {
		if !strings.Contains(line, "/.loopwright-lock-") {
			b.WriteString(line)
		}
	}
	return b.String()
}

// TestNoRoom limits the size of files, as a full disk does.
func TestNoRoom(t *testing.T) {
	if _, err := exec.LookPath("sh"); err != nil {
		t.Skip("no shell that limits the size of files: ", err)
	}
	dir, bin := jobFolder(t)
	before := folderSum(t, dir)
	c := exec.Command("sh", "-c", "ulimit -f 40; exec \"$0\" build job.yaml -o out", bin)
	c.Dir = dir
	var errs bytes.Buffer
	c.Stderr = &errs
	c.Run()
	if c.ProcessState.ExitCode() != exitFailed || !strings.Contains(errs.String(), "nothing was written: cannot write") || !strings.Contains(errs.String(), "free some space") {
		t.Errorf("exit %d: %s", c.ProcessState.ExitCode(), errs.String())
	}
	if after := folderSum(t, dir); after != before {
		t.Errorf("the folder changed:\n%s\nwas\n%s", after, before)
	}
}

// TestNoRoomForTheReport: files that were written are there, whatever becomes of
// the report about them.
func TestNoRoomForTheReport(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skip("no device that is full: ", err)
	}
	defer full.Close()
	dir, bin := jobFolder(t)
	for args, want := range map[string]string{"build job.yaml -o out": "; all files were written", "check job.yaml": "", "encode 90": "", "survey plan.dxf": ""} {
		c := exec.Command(bin, strings.Fields(args)...)
		c.Dir = dir
		var errs bytes.Buffer
		c.Stdout, c.Stderr = full, &errs
		c.Run()
		if c.ProcessState.ExitCode() != exitFailed || errs.String() != "loopwright: cannot write the report: write /dev/stdout: no space left on device"+want+"\n" {
			t.Errorf("%s: exit %d: %s", args, c.ProcessState.ExitCode(), errs.String())
		}
	}
}

// TestNoRight builds as a user who may read and not write.
func TestNoRight(t *testing.T) {
	dir, bin := jobFolder(t)
	before := folderSum(t, dir)
	for _, out := range []string{"out", "other"} {
		c := exec.Command(bin, "build", "job.yaml", "-o", out)
		c.Dir = dir
		if os.Getuid() == 0 {
			c.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
			for _, d := range []string{dir, filepath.Dir(bin)} {
				for ; d != "/" && d != os.TempDir(); d = filepath.Dir(d) {
					os.Chmod(d, 0o755)
				}
			}
		} else {
			os.Chmod(dir, 0o555)
			os.Chmod(filepath.Join(dir, "out"), 0o555)
			defer os.Chmod(dir, 0o755)
			defer os.Chmod(filepath.Join(dir, "out"), 0o755)
		}
		var errs bytes.Buffer
		c.Stderr = &errs
		c.Run()
		if c.ProcessState.ExitCode() != exitFailed || !strings.Contains(errs.String(), "permission denied; choose another folder with -o, or get the right to write there") {
			t.Errorf("-o %s: exit %d: %s", out, c.ProcessState.ExitCode(), errs.String())
		}
		if after := folderSum(t, dir); after != before {
			t.Errorf("the folder changed:\n%s\nwas\n%s", after, before)
		}
		// To look at it needs no right to write.
		look := exec.Command(bin, "check", "job.yaml")
		look.Dir, look.SysProcAttr = dir, c.SysProcAttr
		if said, err := look.CombinedOutput(); err != nil {
			t.Errorf("check: %v\n%s", err, said)
		}
	}
}

// TestTwoAtOnce starts two builds into one folder: one is refused, or waits.
func TestTwoAtOnce(t *testing.T) {
	dir, bin := jobFolder(t)
	want := results(t, dir)
	var wg sync.WaitGroup
	said := make([]string, 4)
	errs := make([]error, 4)
	for i := range said {
		wg.Go(func() { said[i], errs[i] = call(dir, bin, "build", "job.yaml", "-o", "out") })
	}
	wg.Wait()
	done := 0
	for i := range said {
		switch {
		case errs[i] == nil:
			done++
		case !strings.Contains(said[i], "another run of loopwright is writing to"):
			t.Errorf("%v: %s", errs[i], said[i])
		}
	}
	if done == 0 {
		t.Error("none came through")
	}
	if got := results(t, dir); got != want {
		t.Errorf("the results are\n%s\nwant\n%s", got, want)
	}
}
