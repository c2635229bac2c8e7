package paper

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/image/font/gofont/goregular"

	"loopwright/cmd/internal/job"
)

// A font that cannot be used is told with its place in the job file.
func TestBadFontHasItsPlace(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "job.yaml")
	text := "job: Test\n\nfont: x.ttf\nplans: [{devices: d.csv, level: Level 1, units: m}]\npanels: [{panel: P, at: {level: Level 1, point: [0, 0]}}]\n"
	for name, data := range map[string]string{file: text, filepath.Join(dir, "d.csv"): "id,type,level,x,y\n", filepath.Join(dir, "x.ttf"): "x"} {
		if err := os.WriteFile(name, []byte(data), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	j, err := job.Load(file)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ data, want string }{
		{"\x00\x01\x00\x00", "font x.ttf"}, {"OTTO rest", "has CFF outlines"}, {"ttcf rest", "is a collection"}, {"hello", "is not a TrueType font"}, {"", "too short"},
		{string(goregular.TTF[:20000]), "font x.ttf"}, {string(goregular.TTF), ""},
	} {
		if err := os.WriteFile(filepath.Join(dir, "x.ttf"), []byte(c.data), 0o600); err != nil {
			t.Fatal(err)
		}
		_, err := Font(j)
		switch {
		case c.want == "" && err == nil:
		case err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), "job.yaml:3:7"):
			t.Errorf("%.8q...: %v, want %s at job.yaml:3:7", c.data, err, c.want)
		}
	}
	if err := os.Remove(filepath.Join(dir, "x.ttf")); err != nil {
		t.Fatal(err)
	}
	if _, err := Font(j); err == nil || !strings.Contains(err.Error(), "job.yaml:3:7") {
		t.Errorf("a font that is gone: %v", err)
	}
}
