package build

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/takeoff"
	"loopwright/testdata/against"
)

// saveScript opens a drawing and saves it again; with a second argument it drops the
// extended data that tell what is ours.
const saveScript = `
import sys, ezdxf
doc = ezdxf.readfile(sys.argv[1])
if len(sys.argv) > 2:
    for e in list(doc.entitydb.values()):
        if e.is_alive and e.has_xdata("LOOPWRIGHT"):
            e.discard_xdata("LOOPWRIGHT")
    doc.appids.remove("LOOPWRIGHT")
doc.saveas(sys.argv[1])
`

// TestAgainstEzdxfGivenBack: a labeled drawing that another program (ezdxf, a
// general-purpose DXF library) has opened and saved is the same plan: the same devices
// in the same rooms on the same addresses. So it is where the program drops our marks,
// and then a finding says by what the drawing was understood.
func TestAgainstEzdxfGivenBack(t *testing.T) {
	python := against.Python(t, "ezdxf")
	for _, args := range [][]string{nil, {"drop"}} {
		t.Run(strings.Join(args, " "), func(t *testing.T) {
			dir := t.TempDir()
			for _, n := range []string{"old.dxf", "old.yaml"} {
				data, err := os.ReadFile(filepath.Join("..", "..", "..", "testdata", "revision", n))
				if err != nil {
					t.Fatal(err)
				}
				write(t, filepath.Join(dir, n), string(data))
			}
			first, fs := devicesOf(t, dir)
			if slices.ContainsFunc(fs, func(m string) bool { return strings.Contains(m, "are left out: the layers") }) {
				t.Fatal("the original is taken for a labeled drawing")
			}
			labeled, err := os.ReadFile(filepath.Join(dir, "out", "plans", "old.dxf"))
			if err != nil {
				t.Fatal(err)
			}
			write(t, filepath.Join(dir, "old.dxf"), string(labeled))
			if out, err := exec.Command(python, append([]string{"-c", saveScript, filepath.Join(dir, "old.dxf")}, args...)...).CombinedOutput(); err != nil {
				t.Fatalf("%v\n%s", err, out)
			}
			second, fs := devicesOf(t, dir)
			if !slices.Equal(first, second) {
				t.Errorf("%d devices became %d:\n%s\n%s", len(first), len(second), strings.Join(first, "\n"), strings.Join(second, "\n"))
			}
			if told := slices.ContainsFunc(fs, func(m string) bool { return strings.Contains(m, "are left out: the layers are called like those") }); told != (len(args) > 0) {
				t.Errorf("findings %v", fs)
			}
		})
	}
}

// devicesOf builds the job of a folder and lists what counts, and what was found.
func devicesOf(t *testing.T, dir string) (devices, findings []string) {
	t.Helper()
	j, err := job.Load(filepath.Join(dir, "old.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	r, err := Run(j, filepath.Join(dir, "out"), outcome.Known{}, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range r.Devices {
		if d.Status == takeoff.Counted {
			devices = append(devices, fmt.Sprintf("%s %s %s %.4f %.4f %s %d", d.ID, d.Type, d.Room, d.X, d.Y, d.Circuit, d.Address))
		}
	}
	slices.Sort(devices)
	for _, f := range r.Findings {
		findings = append(findings, f.Message)
	}
	return devices, findings
}
