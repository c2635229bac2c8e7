package result

import (
	"os"
	"path/filepath"
	"slices"
	"testing"

	"loopwright/cmd/internal/commit"
)

// FuzzRecord: whatever stands in the record of an earlier run, no file is
// replaced or removed whose sum the record does not hold, and none outside.
func FuzzRecord(f *testing.F) {
	own := `{"outputs":["a.xlsx","b.dxf"],"sha256":{"a.xlsx":"` + Sum([]byte("A")) + `","b.dxf":"` + Sum([]byte("B")) + `"}}`
	for _, s := range []string{own, "", "{}", "[]", `{"outputs":["../mine.txt","/etc/passwd","","."],"sha256":{"../mine.txt":"` + Sum([]byte("mine")) + `"}}`, `{"outputs":["notes.txt"],"sha256":{}}`, `{"outputs":7}`} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, record []byte) {
		root := t.TempDir()
		dir := filepath.Join(root, "out")
		held := map[string]string{"a.xlsx": "A", "b.dxf": "B", "notes.txt": "N", "../mine.txt": "mine"}
		for name, data := range held {
			p := filepath.Join(dir, name)
			if err := os.MkdirAll(dir, 0o777); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(p, []byte(data), 0o666); err != nil {
				t.Fatal(err)
			}
		}
		if err := os.WriteFile(filepath.Join(dir, FileName), record, 0o666); err != nil {
			t.Fatal(err)
		}
		e := ReadEarlier(dir, FileName)
		more, _ := e.Spare(dir, []commit.File{{Path: filepath.Join(dir, "a.xlsx"), Data: []byte("new")}})
		kept := slices.ContainsFunc(more, func(f commit.File) bool { return !f.Remove && string(f.Data) == "A" })
		if known := e.Sums["a.xlsx"] == Sum([]byte("A")); known == kept {
			t.Errorf("known %v, kept %v", known, kept)
		}
		for _, f := range more {
			name, err := filepath.Rel(dir, f.Path)
			if err != nil || !filepath.IsLocal(name) {
				t.Errorf("%s lies outside", f.Path)
			}
			if f.Remove && e.Sums[filepath.ToSlash(name)] != Sum([]byte(held[name])) {
				t.Errorf("%s is removed and is not known", name)
			}
		}
	})
}
