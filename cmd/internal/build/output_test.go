package build

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

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

func TestWriteAll(t *testing.T) {
	tests := []struct {
		name   string
		before map[string]string // a value of "/" makes a folder with a file in it
		outs   []Output
		after  string
		err    string
	}{
		{"new", nil, []Output{{"a.txt", []byte("1")}, {"plans/b.txt", []byte("2")}}, "a.txt=1\nplans/b.txt=2\n", ""},
		{"keeps what was there, leaves the rest", map[string]string{"a.txt": "old", "mine.txt": "keep"}, []Output{{"a.txt", []byte("new")}}, "a.changed-1.txt=old\na.txt=new\nmine.txt=keep\n", ""},
		{"a folder in the way: nothing changes", map[string]string{"a.txt": "old", "b.txt": "/"}, []Output{{"a.txt", []byte("new")}, {"b.txt", nil}}, "a.txt=old\nb.txt/in=side\n", "a folder with that name exists"},
		{"a file in the way: nothing changes", map[string]string{"a.txt": "old", "plans": "mine"}, []Output{{"a.txt", []byte("new")}, {"plans/1.dxf", nil}}, "a.txt=old\nplans=mine\n", "is a file where a folder is needed"},
		{"a name that leaves the folder", map[string]string{"a.txt": "old"}, []Output{{"a.txt", []byte("new")}, {"../evil", nil}}, "a.txt=old\n", "would leave its folder"},
		{"an absolute name", nil, []Output{{"/tmp/evil", nil}}, "", "would leave its folder"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			dir := t.TempDir()
			for name, data := range tt.before {
				p := filepath.Join(dir, name)
				if data == "/" {
					if err := os.MkdirAll(p, 0o777); err != nil {
						t.Fatal(err)
					}
					p, data = filepath.Join(p, "in"), "side"
				}
				if err := os.WriteFile(p, []byte(data), 0o666); err != nil {
					t.Fatal(err)
				}
			}
			_, err := WriteAll(dir, "", tt.outs, nil)
			if (err == nil) != (tt.err == "") || err != nil && !strings.Contains(err.Error(), tt.err) {
				t.Errorf("error %v, want %q", err, tt.err)
			}
			if got := listing(t, dir); got != tt.after {
				t.Errorf("after:\n%swant:\n%s", got, tt.after)
			}
		})
	}
}

func TestPortableNames(t *testing.T) {
	long := strings.Repeat("é", 200)
	tests := []struct{ in, want string }{
		{"level-1.dxf", "level-1.dxf"},
		{"Étage 1 (nord).dxf", "Étage 1 (nord).dxf"},
		{"CON.dxf", "_CON.dxf"},
		{"com1.old.dxf", "_com1.old.dxf"},
		{"company.dxf", "company.dxf"},
		{`..\..\x.dxf`, ".._.._x.dxf"},
		{"C:evil.dxf", "C_evil.dxf"},
		{"a\x1b[31m\n.dxf", "a_[31m_.dxf"},
		{"..", "_."},
		{".dxf", "_.dxf"},
		{"plan .dxf", "plan.dxf"},
		{"\xff.dxf", "_.dxf"},
		{long + ".dxf", strings.Repeat("é", 98) + ".dxf"},
	}
	for _, tt := range tests {
		got := portable(tt.in)
		if got != tt.want {
			t.Errorf("%q: %q, want %q", tt.in, got, tt.want)
		}
		if again := portable(got); again != got {
			t.Errorf("%q becomes %q, and that %q", tt.in, got, again)
		}
	}
}

// A fault of one step must reach the caller, who tells the user that nothing
// was written: a goroutine's own panic would end the program with a trace and
// an exit code that means something else.
func TestFaultOfAStepIsTheCallers(t *testing.T) {
	defer func() {
		if r := recover(); r == nil || !strings.Contains(fmt.Sprint(r), "no such corner") {
			t.Errorf("recovered %v", r)
		}
	}()
	_ = sideBySide(func() error { return nil }, func() error { panic("no such corner") })
	t.Error("it went on")
}
