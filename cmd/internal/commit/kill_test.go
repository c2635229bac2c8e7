package commit

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

const (
	childRoot = "COMMIT_TEST_ROOT" // the folder in which the test binary, as a child, writes
	childStop = "COMMIT_TEST_STOP" // before which change it kills itself
)

// TestMain lets the test binary be the child that is killed.
func TestMain(m *testing.M) {
	root := os.Getenv(childRoot)
	if root == "" {
		os.Exit(m.Run())
	}
	stop, err := strconv.Atoi(os.Getenv(childStop))
	if err == nil {
		err = writeAndDie(root, stop)
	}
	if err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
}

// writeAndDie writes the next generation of files, and kills its process before
// its n-th change on the disk, counted from 0.
func writeAndDie(root string, n int) error {
	self, err := os.FindProcess(os.Getpid())
	if err != nil {
		return err
	}
	changes := 0
	BeforeChange = func(string, string) {
		if changes == n {
			_ = self.Kill()
			select {}
		}
		changes++
	}
	return write(root, n+1)
}

func write(root string, number int) error {
	s, err := Open(filepath.Join(root, "out"), filepath.Join(root, "job.ledger.csv"))
	if err != nil {
		return err
	}
	defer s.Close()
	return s.Write(generation(root, number))
}

// generation is a run's files, all with its number in them.
func generation(root string, number int) []File {
	data := []byte(strings.Repeat(fmt.Sprintf("generation %d\n", number), 2000))
	files := []File{{Path: filepath.Join(root, "job.ledger.csv"), Data: data}}
	for i := range 4 {
		files = append(files, File{Path: filepath.Join(root, "out", fmt.Sprintf("plans-%d", i%3), fmt.Sprintf("%d.dxf", i)), Data: data})
	}
	return files
}

// TestKilled kills a process before each of the changes that it makes on the disk.
func TestKilled(t *testing.T) {
	root := t.TempDir()
	if err := write(root, 0); err != nil {
		t.Fatal(err)
	}
	settled := map[string]int{}
	for n := 0; ; n++ {
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), childRoot+"="+root, childStop+"="+strconv.Itoa(n))
		said, err := cmd.CombinedOutput()
		if err == nil {
			break // it made fewer changes
		}
		if len(said) > 0 {
			t.Fatalf("stop %d: %v: %s", n, err, said)
		}
		words, err := Recover(filepath.Join(root, "out"), filepath.Join(root, "job.ledger.csv"))
		if err != nil {
			t.Fatalf("stop %d: %v", n, err)
		}
		for _, w := range words {
			settled[w[strings.LastIndex(w, ": ")+2:]]++
		}
		sameGeneration(t, root, n)
	}
	if len(settled) < 2 {
		t.Errorf("%v: the test has gone blind", settled)
	}
}

// sameGeneration fails unless all files are of one run and nothing else is left.
func sameGeneration(t *testing.T, root string, stop int) {
	t.Helper()
	first, n := "", 0
	for line := range strings.SplitSeq(strings.TrimSuffix(listing(t, root), "\n"), "\n") {
		if line == "" {
			continue
		}
		name, head, named := strings.Cut(line, "=")
		if !named {
			head = name // a further line of the same file
		} else {
			n++
		}
		if first == "" {
			first = head
		}
		if head != first {
			t.Fatalf("stop %d: %q and %q", stop, first, line)
		}
	}
	if n != 5 {
		t.Fatalf("stop %d: %d files", stop, n)
	}
}
