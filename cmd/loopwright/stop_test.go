//go:build unix

package main

import (
	"bytes"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

// program builds the program once, for tests that stop it or call it as another
// user; it returns the path.
var program = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "loopwright-")
	if err != nil {
		return "", err
	}
	if err := os.Chmod(dir, 0o755); err != nil {
		return "", err
	}
	path := filepath.Join(dir, "loopwright")
	out, err := exec.Command("go", "build", "-o", path, ".").CombinedOutput()
	if err != nil {
		os.Stderr.Write(out)
	}
	return path, err
})

// jobFolder is a folder with a job that was built once, and the program.
func jobFolder(t *testing.T) (dir, bin string) {
	t.Helper()
	bin, err := program()
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
		if !strings.Contains(line, "/job.yaml ") && !strings.Contains(line, "/plan.dxf ") && line != dir+"/\n" {
			b.WriteString(strings.TrimPrefix(line, dir))
		}
	}
	return b.String()
}

// TestKilledBuild kills a build at fifty moments. The next run, whichever it
// is, leaves the results and the ledger of the job before or of the job after.
func TestKilledBuild(t *testing.T) {
	if testing.Short() {
		t.Skip("fifty builds")
	}
	dir, bin := jobFolder(t)
	revisions := [2]string{"report: imperial\nrevision: A", "report: imperial\nrevision: B"}
	revise := func(i int) {
		edit(filepath.Join(dir, "job.yaml"), "job: Test case", "job: Test case")(t)
		data, _ := os.ReadFile(filepath.Join(dir, "job.yaml"))
		text := strings.ReplaceAll(string(data), revisions[1-i], revisions[i])
		if !strings.Contains(text, revisions[i]) {
			text = strings.Replace(text, "report: imperial", revisions[i], 1)
		}
		file(filepath.Join(dir, "job.yaml"), text)(t)
		os.Remove(filepath.Join(dir, "job.ledger.csv")) // so that it is written again
	}
	var whole [2]string
	var took time.Duration
	for i := range revisions {
		revise(i)
		start := time.Now()
		if said, err := call(dir, bin, "build", "job.yaml", "-o", "out"); err != nil {
			t.Fatalf("%v\n%s", err, said)
		}
		took = time.Since(start)
		whole[i] = results(t, dir)
	}
	if whole[0] == whole[1] {
		t.Fatal("the two revisions make the same files: nothing could be told apart")
	}
	moments := rand.New(rand.NewPCG(3, 4))
	counts := map[string]int{}
	state := 1 // the results in place are those of revision B
	for kill := range 50 {
		revise(1 - state)
		c := exec.Command(bin, "build", "job.yaml", "-o", "out")
		c.Dir = dir
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		// Half of the moments fall anywhere, half into the end, where files are written.
		part := moments.Float64()
		if kill%2 == 0 {
			part = .7 + .4*part
		}
		time.Sleep(time.Duration(part * float64(took)))
		c.Process.Kill()
		c.Wait()
		said, err := call(dir, bin, "check", "job.yaml")
		if err != nil {
			t.Fatalf("kill %d: %v\n%s", kill, err, said)
		}
		switch got := results(t, dir); got {
		case whole[1-state]:
			state = 1 - state
			counts["new"]++
		case withoutLedger(whole[state]), whole[state]:
			counts["old"]++
		default:
			t.Fatalf("kill %d left a mixture:\n%s\nnew would be\n%s\nold would be\n%s", kill, got, whole[1-state], whole[state])
		}
		if strings.Contains(said, "interrupted") {
			counts["settled"]++
		}
	}
	t.Logf("50 kills within %v: %v", took, counts)
	if counts["new"] == 0 || counts["old"] == 0 {
		t.Errorf("all kills fell on one side: %v", counts)
	}
}

// withoutLedger takes the ledger away, which the test removes before each run.
func withoutLedger(sum string) string {
	var b strings.Builder
	for line := range strings.Lines(sum) {
		if !strings.Contains(line, "job.ledger.csv") {
			b.WriteString(line)
		}
	}
	return b.String()
}

// TestInterrupted sends the signal of Ctrl-C.
func TestInterrupted(t *testing.T) {
	dir, bin := jobFolder(t)
	before := folderSum(t, dir)
	hit := 0
	for i := range 12 {
		c := exec.Command(bin, "build", "job.yaml", "-o", "new/out")
		c.Dir = dir
		var errs bytes.Buffer
		c.Stderr = &errs
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Duration(15+8*i) * time.Millisecond)
		c.Process.Signal(os.Interrupt)
		err := c.Wait()
		if err == nil || strings.Contains(errs.String(), "after everything had been written") {
			os.RemoveAll(filepath.Join(dir, "new")) // it was done before the signal came
			continue
		}
		if c.ProcessState.ExitCode() < 0 {
			continue // the signal came before the program was up
		}
		hit++
		if c.ProcessState.ExitCode() != exitFailed || !strings.Contains(errs.String(), "interrupted: nothing was written") {
			t.Errorf("exit %d: %s", c.ProcessState.ExitCode(), errs.String())
		}
		if after := withoutLock(folderSum(t, dir)); after != before {
			t.Fatalf("it left something behind:\n%s\nwas\n%s", after, before)
		}
	}
	if hit == 0 {
		t.Skip("every build was done, or not begun, when the signal came")
	}
	t.Logf("%d of 12 were interrupted", hit)
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
	for args, want := range map[string]string{"build job.yaml -o out": "; the files were written whole", "check job.yaml": "", "encode 90": "", "survey plan.dxf": ""} {
		c := exec.Command(bin, strings.Fields(args)...)
		c.Dir = dir
		var errs bytes.Buffer
		c.Stdout, c.Stderr = full, &errs
		c.Run()
		if c.ProcessState.ExitCode() != exitFailed || errs.String() != "loopwright: the report cannot be written: write /dev/stdout: no space left on device"+want+"\n" {
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
			for d := dir; d != "/" && d != os.TempDir(); d = filepath.Dir(d) {
				os.Chmod(d, 0o755)
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
		case !strings.Contains(said[i], "another run of loopwright is at work in"):
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
