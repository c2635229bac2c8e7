package result

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loopwright/cmd/internal/commit"
)

func TestSpare(t *testing.T) {
	result := `{"outputs":["a.xlsx","plans/1.dxf","plans/2.dxf","../out.txt","result.json"],"sha256":{"a.xlsx":"` + Sum([]byte("A")) + `","plans/1.dxf":"` + Sum([]byte("1")) + `","plans/2.dxf":"` + Sum([]byte("2")) + `"}}`
	tests := []struct {
		name   string
		before map[string]string
		after  string // but result.json
		said   []string
	}{
		{"as written", map[string]string{"a.xlsx": "A", "plans/1.dxf": "1"}, "a.xlsx=new\nplans/1.dxf=new\n", nil},
		{"filled in since", map[string]string{"a.xlsx": "A and readings", "plans/1.dxf": "1"},
			"a.changed-1.xlsx=A and readings\na.xlsx=new\nplans/1.dxf=new\n", []string{"a.xlsx was changed since it was written: your copy is kept as a.changed-1.xlsx"}},
		{"and once more", map[string]string{"a.xlsx": "A and more", "a.changed-1.xlsx": "A and readings"},
			"a.changed-1.xlsx=A and readings\na.changed-2.xlsx=A and more\na.xlsx=new\nplans/1.dxf=new\n", []string{"a.changed-2.xlsx"}},
		{"a drawing that left the job", map[string]string{"plans/2.dxf": "2"}, "a.xlsx=new\nplans/1.dxf=new\n", []string{"2.dxf is from the run before and is no longer made: removed"}},
		{"one that somebody works on", map[string]string{"plans/2.dxf": "2 and clouds"}, "a.xlsx=new\nplans/1.dxf=new\nplans/2.dxf=2 and clouds\n", []string{"it was changed since, so it stays"}},
		{"no result.json", map[string]string{"result.json": "", "a.xlsx": "A"}, "a.changed-1.xlsx=A\na.xlsx=new\nplans/1.dxf=new\n", []string{"kept as"}},
		{"the user's own", map[string]string{"notes.txt": "mine"}, "a.xlsx=new\nnotes.txt=mine\nplans/1.dxf=new\n", nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			top := t.TempDir()
			dir := filepath.Join(top, "out")
			write := func(name, data string) {
				p := filepath.Join(dir, name)
				if err := os.MkdirAll(filepath.Dir(p), 0o777); err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(p, []byte(data), 0o666); err != nil {
					t.Fatal(err)
				}
			}
			write("result.json", result)
			write("../out.txt", "outside")
			for name, data := range tt.before {
				write(name, data)
			}
			files := []commit.File{{Path: filepath.Join(dir, "a.xlsx"), Data: []byte("new")}, {Path: filepath.Join(dir, "plans", "1.dxf"), Data: []byte("new")}}
			more, said := ReadEarlier(dir, FileName).Spare(dir, files)
			s, err := commit.Open(dir)
			if err != nil {
				t.Fatal(err)
			}
			defer s.Close()
			if err := s.Write(append(files, more...)); err != nil {
				t.Fatal(err)
			}
			os.Remove(filepath.Join(dir, "result.json"))
			if got := listing(t, dir); got != tt.after {
				t.Errorf("after:\n%swant:\n%s", got, tt.after)
			}
			if len(said) != len(tt.said) {
				t.Fatalf("said %q", said)
			}
			for i := range said {
				if !strings.Contains(said[i], tt.said[i]) {
					t.Errorf("said %q, want %q", said[i], tt.said[i])
				}
			}
			if data, _ := os.ReadFile(filepath.Join(top, "out.txt")); string(data) != "outside" {
				t.Error("a file outside the folder was touched")
			}
		})
	}
}

// listing writes a folder out as "name=content" lines, hidden files too.
func listing(t *testing.T, dir string) string {
	t.Helper()
	var b strings.Builder
	err := filepath.WalkDir(dir, func(p string, e os.DirEntry, err error) error {
		if err != nil || e.IsDir() {
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
