//go:build unix

package commit

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

const childEnv = "COMMIT_TEST_CHILD"

// TestMain lets the test binary be the child that is killed: it writes one
// generation of files after the other.
func TestMain(m *testing.M) {
	root := os.Getenv(childEnv)
	if root == "" {
		os.Exit(m.Run())
	}
	for n := os.Getpid(); ; n++ {
		ledger := filepath.Join(root, "job.ledger.csv")
		s, err := Open(filepath.Join(root, "out"), ledger)
		if err == nil {
			err = s.Write(generation(root, n))
			s.Close()
		}
		if err != nil {
			fmt.Println(err)
			os.Exit(1)
		}
	}
}

// generation is the files of run n, all with its number in them.
func generation(root string, n int) []File {
	data := []byte(strings.Repeat(fmt.Sprintf("generation %d\n", n), 2000))
	files := []File{{Path: filepath.Join(root, "job.ledger.csv"), Data: data}}
	for i := range 8 {
		files = append(files, File{Path: filepath.Join(root, "out", fmt.Sprintf("plans-%d", i%3), fmt.Sprintf("%d.dxf", i)), Data: data})
	}
	return files
}

func TestKilled(t *testing.T) {
	if testing.Short() {
		t.Skip("50 kills")
	}
	moments := rand.New(rand.NewPCG(1, 2))
	root := t.TempDir()
	counted := map[string]int{}
	s, err := Open(filepath.Join(root, "out"), filepath.Join(root, "job.ledger.csv"))
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Write(generation(root, 0)); err != nil {
		t.Fatal(err)
	}
	s.Close()
	for kill := range 50 {
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), childEnv+"="+root)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Duration(20+moments.IntN(60)) * time.Millisecond)
		cmd.Process.Kill()
		cmd.Wait()
		said, err := Recover(filepath.Join(root, "out"), filepath.Join(root, "job.ledger.csv"))
		if err != nil {
			t.Fatalf("kill %d: %v", kill, err)
		}
		for _, s := range said {
			counted[s[strings.LastIndex(s, ": ")+2:]]++
		}
		if len(said) == 0 {
			counted["nothing to settle"]++
		}
		sameGeneration(t, root, kill)
	}
	for what, n := range counted {
		t.Logf("%2d times: %s", n, what)
	}
	if len(counted) < 2 {
		t.Errorf("all kills fell on one kind of moment: the test has gone blind")
	}
}

// sameGeneration fails unless all files are of one run and nothing else is left.
func sameGeneration(t *testing.T, root string, kill int) {
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
			t.Fatalf("kill %d: %q and %q", kill, first, line)
		}
	}
	if n != 9 {
		t.Fatalf("kill %d: %d files", kill, n)
	}
}
