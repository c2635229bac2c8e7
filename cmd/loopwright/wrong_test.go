package main

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"crypto/sha256"
	"flag"
	"fmt"
	"hash/crc32"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the messages that wrong input gets into testdata")

// wrongGolden is where a person reads what is said about each wrong input.
const wrongGolden = "testdata/wrong.txt"

// wrong is one wrong input: what is done to a folder with a good job, and what
// is called then.
type wrong struct {
	name  string
	args  string // words between blanks
	do    []step
	found bool // the job is done, and a finding of severity error says what is wrong
}

// step changes the folder of a good job.
type step func(t testing.TB)

// file writes a file.
func file(name, data string) step {
	return func(t testing.TB) {
		t.Helper()
		if err := os.MkdirAll(filepath.Dir(name), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, []byte(data), 0o666); err != nil {
			t.Fatal(err)
		}
	}
}

// edit replaces the first occurrence of a text, which must be there.
func edit(name, old, new string) step {
	return func(t testing.TB) {
		t.Helper()
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Contains(data, []byte(old)) {
			t.Fatalf("%s does not hold %q", name, old)
		}
		file(name, strings.Replace(string(data), old, new, 1))(t)
	}
}

// cut keeps the first n bytes.
func cut(name string, n int) step {
	return func(t testing.TB) {
		t.Helper()
		if err := os.Truncate(name, int64(n)); err != nil {
			t.Fatal(err)
		}
	}
}

// folder makes a folder, where a file may have stood.
func folder(name string) step {
	return func(t testing.TB) {
		t.Helper()
		os.Remove(name)
		if err := os.MkdirAll(name, 0o777); err != nil {
			t.Fatal(err)
		}
	}
}

// goodJob fills the current folder: a job on a drawing, a job on a list of
// devices, a ledger, and results of an earlier run with a file of the user's.
func goodJob(t testing.TB, traps string) {
	t.Helper()
	for to, from := range map[string]string{
		"job.yaml": "letter-case/job.yaml", "plan.dxf": "letter-case/plan.dxf",
		"list.yaml": "device-list/job.yaml", "devices.csv": "device-list/devices.csv",
	} {
		data, err := os.ReadFile(filepath.Join(traps, filepath.FromSlash(from)))
		if err != nil {
			t.Fatal(err)
		}
		file(to, string(data))(t)
	}
	file("out/takeoff.xlsx", "of an earlier run")(t)
	file("out/result.json", "{}\n")(t)
	file("out/notes.txt", "the user's own")(t)
}

// folderSum is one line per file with the hash of its content.
func folderSum(t testing.TB, dir string) string {
	t.Helper()
	var b strings.Builder
	err := filepath.WalkDir(dir, func(p string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if e.IsDir() {
			fmt.Fprintf(&b, "%s/\n", p)
			return nil
		}
		if e.Type()&fs.ModeSymlink != 0 {
			to, err := os.Readlink(p)
			fmt.Fprintf(&b, "%s -> %s\n", p, to)
			return err
		}
		data, err := os.ReadFile(p)
		fmt.Fprintf(&b, "%s %x\n", p, sha256.Sum256(data))
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// inputSum is the part of the folder that is never written to.
func inputSum(t testing.TB) string {
	var b strings.Builder
	for line := range strings.Lines(folderSum(t, ".")) {
		if !strings.HasPrefix(line, "out/") && !strings.Contains(line, ".ledger.csv") {
			b.WriteString(line)
		}
	}
	return b.String()
}

// errorLines are the findings of severity error in a text.
func errorLines(text string) string {
	var b strings.Builder
	for line := range strings.Lines(text) {
		if strings.Contains(line, " error: ") {
			b.WriteString(line)
		}
	}
	return b.String()
}

// TestWrongInput calls the program with everything that can be wrong, and holds
// its messages against testdata/wrong.txt. Nothing may be written or lost.
func TestWrongInput(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("the messages of the operating system are other ones")
	}
	traps, err := filepath.Abs("../../testdata/traps")
	if err != nil {
		t.Fatal(err)
	}
	golden, err := filepath.Abs(wrongGolden)
	if err != nil {
		t.Fatal(err)
	}
	want, _ := os.ReadFile(golden)
	var got strings.Builder
	got.WriteString("What the program says about wrong input: the case, the call, the exit code, the message.\n")
	for _, w := range wrongInputs() {
		t.Run(w.name, func(t *testing.T) {
			dir, err := filepath.EvalSymlinks(t.TempDir())
			if err != nil {
				t.Fatal(err)
			}
			t.Chdir(dir)
			goodJob(t, traps)
			for _, do := range w.do {
				do(t)
			}
			before, input := folderSum(t, "."), inputSum(t)
			var out, errs bytes.Buffer
			code := Run(strings.Fields(w.args), strings.NewReader(""), &out, &errs)
			said := strings.ReplaceAll(errs.String()+errorLines(out.String()), dir, "$DIR")
			entry := fmt.Sprintf("\n-- %s --\n$ loopwright %s\nexit %d\n%s", w.name, w.args, code, said)
			got.WriteString(entry)
			if w.found {
				if code != exitFindings || !strings.Contains(entry, " error: ") {
					t.Errorf("exit %d:\n%s", code, entry)
				}
			} else if code != exitFailed && code != exitUsage || out.Len() > 0 {
				t.Errorf("exit %d:\n%s%s", code, said, out.String())
			}
			if strings.Contains(said, "goroutine") || strings.Contains(said, "fault in the program") {
				t.Errorf("it fell over:\n%s", said)
			}
			if after := folderSum(t, "."); after != before && !w.found {
				t.Errorf("the folder changed:\n%s\nwas\n%s", after, before)
			}
			if inputSum(t) != input {
				t.Error("an input was changed")
			}
			if !*update && !strings.Contains(string(want), entry) {
				t.Errorf("said\n%s\nand testdata/wrong.txt has it otherwise: read it, then run with -update", entry)
			}
		})
	}
	if *update {
		if err := os.WriteFile(golden, []byte(got.String()), 0o666); err != nil {
			t.Fatal(err)
		}
	}
}

// link puts a symbolic link in a file's place.
func link(name, to string) step {
	return func(t testing.TB) {
		t.Helper()
		os.Remove(name)
		if err := os.Symlink(to, name); err != nil {
			t.Skip("no symbolic links here: ", err)
		}
	}
}

// emptied removes a folder with all that is in it.
func emptied(name string) step {
	return func(t testing.TB) {
		t.Helper()
		if err := os.RemoveAll(name); err != nil {
			t.Fatal(err)
		}
	}
}

// move renames a file.
func move(from, to string) step {
	return func(t testing.TB) {
		t.Helper()
		if err := os.Rename(from, to); err != nil {
			t.Fatal(err)
		}
	}
}

// zipped writes a zip archive with one file of that many MiB of zeros in it. One of
// them is packed, and the result repeated: a flushed stream can be (RFC 1951, 3.2.3).
func zipped(name, inside string, megabytes int) step {
	return func(t testing.TB) {
		t.Helper()
		zeros := make([]byte, 1<<20)
		var packed bytes.Buffer
		w, err := flate.NewWriter(&packed, flate.BestSpeed)
		if err != nil {
			t.Fatal(err)
		}
		w.Write(zeros)
		w.Flush()
		content := append(bytes.Repeat(packed.Bytes(), megabytes), 1, 0, 0, 0xff, 0xff) // the last block, an empty one
		sum := crc32.NewIEEE()
		for range megabytes {
			sum.Write(zeros)
		}
		f, err := os.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		z := zip.NewWriter(f)
		raw, err := z.CreateRaw(&zip.FileHeader{Name: inside, Method: zip.Deflate, CRC32: sum.Sum32(),
			CompressedSize64: uint64(len(content)), UncompressedSize64: uint64(megabytes) << 20})
		if err == nil {
			_, err = raw.Write(content)
		}
		if err == nil {
			err = z.Close()
		}
		if err != nil {
			t.Fatal(err)
		}
	}
}
