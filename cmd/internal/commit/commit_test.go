package commit

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// job is a folder with a job's ledger and its results in a folder beside it.
type job struct {
	root, home, ledger string
}

func newJob(t testing.TB) job {
	root := t.TempDir()
	j := job{root, filepath.Join(root, "out"), filepath.Join(root, "job.ledger.csv")}
	put(t, filepath.Join(root, "job.yaml"), "input")
	put(t, j.ledger, "old")
	put(t, filepath.Join(j.home, "a.xlsx"), "old")
	put(t, filepath.Join(j.home, "plans", "1.dxf"), "old")
	put(t, filepath.Join(j.home, "plans", "2.dxf"), "old")
	put(t, filepath.Join(j.home, "mine.txt"), "keep")
	return j
}

func put(t testing.TB, path, data string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(data), 0o666); err != nil {
		t.Fatal(err)
	}
}

// files is what a run writes: two that were there, two that were not, one outside; and one that it removes.
func (j job) files() []File {
	in := func(name string) File { return File{Path: filepath.Join(j.home, name), Data: []byte("new")} }
	gone := File{Path: filepath.Join(j.home, "plans", "2.dxf"), Remove: true}
	return []File{in("a.xlsx"), gone, in("plans/1.dxf"), in("sheets/b.pdf"), in("c.json"), {Path: j.ledger, Data: []byte("new")}}
}

// listing writes a folder out as "name=content" lines, hidden files too.
func listing(t testing.TB, dir string) string {
	t.Helper()
	var b strings.Builder
	err := filepath.WalkDir(dir, func(p string, e os.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			if err == nil && strings.HasPrefix(e.Name(), ".") && p != dir {
				b.WriteString(p + "/\n")
			}
			return err
		}
		data, err := os.ReadFile(p)
		name, _ := filepath.Rel(dir, p)
		b.WriteString(filepath.ToSlash(name) + "=" + string(data) + "\n")
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return b.String()
}

const (
	before = "job.ledger.csv=old\njob.yaml=input\nout/a.xlsx=old\nout/mine.txt=keep\nout/plans/1.dxf=old\nout/plans/2.dxf=old\n"
	after  = "job.ledger.csv=new\njob.yaml=input\nout/a.xlsx=new\nout/c.json=new\nout/mine.txt=keep\nout/plans/1.dxf=new\nout/sheets/b.pdf=new\n"
)

// stopAt runs f and stops it before its k-th change on the disk, as a kill
// would: nothing is cleaned, only the locks are gone. It reports whether f was stopped.
func stopAt(t testing.TB, k int, f func() *Session) (stopped bool) {
	t.Helper()
	type stop struct{}
	n := 0
	synced := flush
	flush = func(*os.File) error { return nil }
	BeforeChange = func(string, string) {
		if n == k {
			panic(stop{})
		}
		n++
	}
	var s *Session
	defer func() {
		flush = synced
		BeforeChange = func(string, string) {}
		if r := recover(); r != nil {
			if _, ok := r.(stop); !ok {
				panic(r)
			}
			stopped = true
			for held := range state.open { // the process is gone
				for _, r := range held.release {
					r()
				}
				delete(state.open, held)
			}
		}
	}()
	if s = f(); s != nil {
		s.Close()
	}
	return false
}

// write writes the job's files.
func (j job) write(t testing.TB) *Session {
	s, err := Open(j.home, j.ledger)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Write(j.files()); err != nil {
		t.Fatal(err)
	}
	return s
}

func TestEveryStopLeavesOneWhole(t *testing.T) {
	looks := map[string]func(j job) error{
		"by folder and ledger":     func(j job) error { _, err := Recover(j.home, j.ledger); return err },
		"by the ledger alone":      func(j job) error { _, err := Recover(filepath.Join(j.root, "elsewhere"), j.ledger); return err },
		"by the next run":          func(j job) error { s, err := Open(j.home, j.ledger); s.Close(); return err },
		"by a run to other folder": func(j job) error { s, err := Open(filepath.Join(j.root, "x"), j.ledger); s.Close(); return err },
	}
	for name, look := range looks {
		t.Run(name, func(t *testing.T) {
			sawOld, sawNew := 0, 0
			for k := 0; ; k++ {
				j := newJob(t)
				if !stopAt(t, k, func() *Session { return j.write(t) }) {
					break
				}
				if err := look(j); err != nil {
					t.Fatalf("stop %d: %v", k, err)
				}
				switch got := listing(t, j.root); got {
				case before:
					sawOld++
				case after:
					sawNew++
				default:
					t.Fatalf("stop %d left a mixture:\n%s", k, got)
				}
			}
			if sawOld < 5 || sawNew < 5 {
				t.Errorf("%d stops before the commit, %d after: the test has gone blind", sawOld, sawNew)
			}
		})
	}
}

// A stop while the next run is settling is settled by the run after that.
func TestStopWhileSettling(t *testing.T) {
	for k := 0; ; k++ {
		left := newJob(t)
		if !stopAt(t, k, func() *Session { return left.write(t) }) {
			return
		}
		for m, again := 0, true; again; m++ {
			root := filepath.Join(t.TempDir(), "copy")
			if err := os.CopyFS(root, os.DirFS(left.root)); err != nil {
				t.Fatal(err)
			}
			home, ledger := filepath.Join(root, "out"), filepath.Join(root, "job.ledger.csv")
			again = stopAt(t, m, func() *Session { Recover(home, ledger); return nil })
			if _, err := Recover(home, ledger); err != nil {
				t.Fatal(err)
			}
			if got := listing(t, root); got != before && got != after {
				t.Fatalf("stops %d and %d left a mixture:\n%s", k, m, got)
			}
		}
	}
}

// What cannot be moved into place, found only when others have been moved,
// takes everything back, whenever that is stopped in its turn.
func TestFailureHalfway(t *testing.T) {
	blocked := func(t testing.TB, j job) error {
		inner := BeforeChange
		moved := false
		BeforeChange = func(change, path string) {
			inner(change, path)
			if data, _ := os.ReadFile(filepath.Join(j.home, "a.xlsx")); string(data) == "new" && !moved {
				moved = true
				put(t, filepath.Join(j.home, "c.json", "somebody.txt"), "else's")
			}
		}
		s, err := Open(j.home, j.ledger)
		if err != nil {
			t.Fatal(err)
		}
		defer s.Close()
		return s.Write(j.files())
	}
	want := strings.Replace(before, "out/mine", "out/c.json/somebody.txt=else's\nout/mine", 1)
	for k := 0; ; k++ {
		j := newJob(t)
		var err error
		stopped := stopAt(t, k, func() *Session { err = blocked(t, j); return nil })
		if !stopped {
			if err == nil || !strings.Contains(err.Error(), "c.json") {
				t.Errorf("error %v", err)
			}
		}
		_, rerr := Recover(j.home, j.ledger)
		got := listing(t, j.root)
		switch {
		case rerr != nil && strings.Contains(rerr.Error(), "cannot be completed"):
			// Stopped between the obstacle and the decision to take back: the
			// obstacle has to go first.
			os.RemoveAll(filepath.Join(j.home, "c.json"))
			if _, err := Recover(j.home, j.ledger); err != nil {
				t.Fatal(err)
			}
			if got := listing(t, j.root); got != after {
				t.Fatalf("stop %d:\n%s", k, got)
			}
		case rerr != nil:
			t.Fatalf("stop %d: %v", k, rerr)
		case got != before && got != want && got != after: // after: stopped before the obstacle came
			t.Fatalf("stop %d left a mixture:\n%s", k, got)
		}
		if !stopped {
			return
		}
	}
}

func TestMovedFolderIsStillSettled(t *testing.T) {
	for k := 0; ; k++ {
		j := newJob(t)
		if !stopAt(t, k, func() *Session { return j.write(t) }) {
			return
		}
		root := filepath.Join(t.TempDir(), "moved")
		if err := os.Rename(j.root, root); err != nil {
			t.Fatal(err)
		}
		if _, err := Recover(filepath.Join(root, "none"), filepath.Join(root, "job.ledger.csv")); err != nil {
			t.Fatal(err)
		}
		if got := listing(t, root); got != before && got != after {
			t.Fatalf("stop %d left a mixture:\n%s", k, got)
		}
	}
}

func TestRemovedFolderLeavesTheLedgerWhole(t *testing.T) {
	for k := 0; ; k++ {
		j := newJob(t)
		if !stopAt(t, k, func() *Session { return j.write(t) }) {
			return
		}
		if err := os.RemoveAll(j.home); err != nil {
			t.Fatal(err)
		}
		if _, err := Recover(j.home, j.ledger); err != nil {
			t.Fatal(err)
		}
		if got := listing(t, j.root); got != "job.ledger.csv=old\njob.yaml=input\n" && got != "job.ledger.csv=new\njob.yaml=input\n" {
			t.Fatalf("stop %d:\n%s", k, got)
		}
	}
}

func TestRefusals(t *testing.T) {
	tests := []struct {
		name string
		prep func(t *testing.T, j *job) []File
		want string
	}{
		{"a folder stands there", func(t *testing.T, j *job) []File {
			put(t, filepath.Join(j.home, "c.json", "x"), "")
			return j.files()
		}, "c.json: a folder with that name exists; move or rename it"},
		{"a file where a folder is needed", func(t *testing.T, j *job) []File {
			put(t, filepath.Join(j.home, "sheets"), "")
			return j.files()
		}, "is a file where a folder is needed; move or rename it"},
		{"write-protected", func(t *testing.T, j *job) []File {
			os.Chmod(filepath.Join(j.home, "a.xlsx"), 0o444)
			return j.files()
		}, "a.xlsx: it is write-protected"},
		{"outside and not announced", func(_ *testing.T, j *job) []File {
			return []File{{Path: filepath.Join(j.home, "..", "evil")}}
		}, "is outside the folder"},
		{"twice", func(_ *testing.T, j *job) []File { return append(j.files(), j.files()[0]) }, "would be written twice"},
		{"the folder is a file", func(_ *testing.T, j *job) []File { j.home = filepath.Join(j.root, "job.yaml"); return nil },
			"job.yaml is a file, not a folder: name a folder for the results with -o"},
		{"below a file", func(_ *testing.T, j *job) []File {
			j.home = filepath.Join(j.root, "job.yaml", "deep", "er")
			return nil
		},
			"job.yaml is a file, not a folder: name a folder for the results with -o"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			j := newJob(t)
			files := tt.prep(t, &j)
			was := listing(t, j.root)
			s, err := Open(j.home, j.ledger)
			if err == nil {
				err = s.Write(files)
				s.Close()
			}
			if err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("%v\nwant: %s", err, tt.want)
			}
			if got := listing(t, j.root); got != was {
				t.Errorf("it changed:\n%s", got)
			}
		})
	}
}

func TestOneAtATime(t *testing.T) {
	j := newJob(t)
	s, err := Open(j.home, j.ledger)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Open(j.home); !busy(err) || !strings.Contains(err.Error(), "another run of loopwright is writing to "+j.home) {
		t.Errorf("second run: %v", err)
	}
	if _, err := lockFile(j.ledger, 0); !busy(err) {
		t.Errorf("ledger: %v", err)
	}
	if err := makeStage(filepath.Join(j.home, stageName)); err != nil {
		t.Fatal(err)
	}
	if said, err := Recover(j.home, j.ledger); err != nil || said != nil || !exists(filepath.Join(j.home, stageName)) {
		t.Errorf("a run that is at work was disturbed: %v, %v", said, err)
	}
	os.RemoveAll(filepath.Join(j.home, stageName))
	s.Close()
	s, err = Open(j.home, j.ledger)
	if err != nil {
		t.Fatal(err)
	}
	s.Close()
	if got := listing(t, j.root); got != before {
		t.Errorf("locks leave something behind:\n%s", got)
	}
}

// A ledger that another run holds is waited for, as long as told.
func TestLedgerIsWaitedFor(t *testing.T) {
	defer func() { sleep = time.Sleep }()
	j := newJob(t)
	for _, tries := range []int{1, 3, 4} {
		release, err := lockFile(j.ledger, 0)
		if err != nil {
			t.Fatal(err)
		}
		slept := 0
		sleep = func(time.Duration) {
			if slept++; slept == tries {
				release()
			}
		}
		mine, err := lockFile(j.ledger, 3*pause)
		switch {
		case tries <= 3 && err != nil:
			t.Errorf("given free after %d pauses: %v", tries, err)
		case tries > 3 && (!busy(err) || slept != 3):
			t.Errorf("held for longer than is waited: %v after %d pauses", err, slept)
			release()
		case err == nil:
			mine()
		default:
			release()
		}
	}
}

// A journal that came with a folder from elsewhere touches nothing outside it.
func TestForeignJournal(t *testing.T) {
	for _, name := range []string{journalName, undoName} {
		for _, outside := range []bool{true, false} {
			j := newJob(t)
			put(t, filepath.Join(j.home, stageName, name), fmt.Sprintf(`{"files":[{"path":"../job.yaml","outside":%t}]}`, outside))
			said, err := Recover(j.home, j.ledger)
			if outside == (err != nil) {
				t.Errorf("%s, outside %t: %v, %v", name, outside, said, err)
			}
			os.RemoveAll(filepath.Join(j.home, stageName))
			if got := listing(t, j.root); got != before {
				t.Errorf("it changed:\n%s", got)
			}
		}
	}
	j := newJob(t)
	put(t, filepath.Join(j.home, stageName, journalName), `{"files":[{"pa`)
	if _, err := Recover(j.home); err == nil || !strings.Contains(err.Error(), "cannot be read") {
		t.Errorf("damaged journal: %v", err)
	}
}

// A ledger of which the stage points elsewhere is left out; the files after it in
// the journal still get their own content.
func TestForeignLedgerShiftsNothing(t *testing.T) {
	j := newJob(t)
	stage := filepath.Join(j.home, stageName)
	put(t, filepath.Join(stage, journalName), `{"files":[{"path":"../elsewhere.csv","outside":true},{"path":"a.txt"},{"path":"b.txt"}]}`)
	put(t, filepath.Join(stage, "new-1"), "A")
	put(t, filepath.Join(stage, "new-2"), "B")
	if _, err := Recover(j.home, j.ledger); err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{"a.txt": "A", "b.txt": "B"} {
		if data, err := os.ReadFile(filepath.Join(j.home, name)); err != nil || string(data) != want {
			t.Errorf("%s holds %q, want %q (%v)", name, data, want, err)
		}
	}
}

func TestLinkedLedgerKeepsItsLink(t *testing.T) {
	j := newJob(t)
	real := filepath.Join(t.TempDir(), "shared.csv")
	put(t, real, "old")
	os.Remove(j.ledger)
	if err := os.Symlink(real, j.ledger); err != nil {
		t.Skip("no symbolic links here: ", err)
	}
	j.write(t).Close()
	if info, _ := os.Lstat(j.ledger); info.Mode()&os.ModeSymlink == 0 {
		t.Error("the link was replaced")
	}
	if data, _ := os.ReadFile(real); string(data) != "new" {
		t.Errorf("the file behind the link is %q", data)
	}
}

func TestNewFolderGoesIfNothingIsWritten(t *testing.T) {
	root := t.TempDir()
	s, err := Open(filepath.Join(root, "a", "b"))
	if err != nil {
		t.Fatal(err)
	}
	s.Close()
	if got, _ := os.ReadDir(root); len(got) != 0 {
		t.Errorf("left behind: %v", got)
	}
}
