package dxf

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestWriteFile(t *testing.T) {
	dir := t.TempDir()
	in := fixture("AC1015", true)
	out := mustEdit(t, in, additions(0x24)["label"])
	source := filepath.Join(dir, "plan.dxf")
	if err := os.WriteFile(source, in, 0o644); err != nil {
		t.Fatal(err)
	}
	target := filepath.Join(dir, "labeled.dxf")
	link := filepath.Join(dir, "link.dxf")
	if err := os.Symlink(source, link); err != nil {
		t.Logf("no symbolic links here: %v", err)
		link = source
	}
	broken := mutation{old: "1001\nLOOPWRIGHT", new: "1001\nOTHER"}.mutate(t, out)
	for _, c := range []struct {
		name, path string
		written    []byte
		want       string // part of the error, "" for success
	}{
		{"new", target, out, ""},
		{"over an earlier one", target, out, ""},
		{"over the original", source, out, "original drawing"},
		{"over the original by another path", dir + "/./plan.dxf", out, "original drawing"},
		{"over a link to the original", link, out, "original drawing"},
		{"faulty", target, broken, "not written"},
		{"no such folder", filepath.Join(dir, "none", "a.dxf"), out, "none"},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := WriteFile(c.path, source, in, c.written)
			if c.want == "" && err != nil || c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
				t.Errorf("error %v, want %q", err, c.want)
			}
		})
	}
	if b, _ := os.ReadFile(source); string(b) != string(in) {
		t.Error("the original was written to")
	}
	if b, _ := os.ReadFile(target); string(b) != string(out) {
		t.Error("a faulty drawing replaced a good one")
	}
	var ce *CheckError
	if err := WriteFile(target, source, in, broken); !errors.As(err, &ce) || len(ce.Problems) == 0 {
		t.Errorf("error %v carries no problems", err)
	}
	left, _ := filepath.Glob(filepath.Join(dir, ".*"))
	if len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}
