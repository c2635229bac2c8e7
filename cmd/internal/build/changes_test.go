package build

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
)

// TestChanges: what the workbook says of a revised plan after an earlier build.
func TestChanges(t *testing.T) {
	const before = "S1,smoke,Level 1,1,0,100 HALL\nS2,smoke,Level 1,6,0,100 HALL\nS3,smoke,Level 1,11,0,101 HALL\nH1,horn,Level 1,2,0,100 HALL\n"
	for _, row := range []struct{ name, after, want string }{
		{"nothing", before, ""},
		{"added", before + "S9,smoke,Level 1,16,0,101 HALL\n", "added S9 smoke in 101 HALL:  -> 52.5, 0.0 ft (gets SLC address 4)"},
		{"removed", strings.Replace(before, "S2,smoke,Level 1,6,0,100 HALL\n", "", 1),
			"removed S2 smoke in 100 HALL: 19.7, 0.0 ft ->  (had SLC address 2; its address is not reused)"},
		{"moved", strings.Replace(before, "S2,smoke,Level 1,6,0,100", "S2,smoke,Level 1,6,2,101", 1),
			"moved S2 smoke in 101 HALL: 19.7, 0.0 ft -> 19.7, 6.6 ft (by 6.6 ft; was in 100 HALL)"},
		{"retyped", strings.Replace(before, "H1,horn", "H1,smoke", 1),
			"retyped H1 smoke in 100 HALL: horn -> smoke ()\nrenumbered H1 smoke in 100 HALL: NAC-1 -> SLC address 4 ()"},
	} {
		t.Run(row.name, func(t *testing.T) {
			file := folder(t, before)
			j, err := job.Load(file)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := Run(j, t.TempDir(), outcome.Known{}, nil); err != nil {
				t.Fatal(err)
			}
			write(t, filepath.Join(filepath.Dir(file), "plan.csv"), "id,type,level,x,y,room\n"+row.after)
			if got := changesIn(t, file); got != row.want {
				t.Errorf("%s\nwant\n%s", got, row.want)
			}
		})
	}
}

// TestAFirstRunHasNoChanges: without a ledger nothing is new.
func TestAFirstRunHasNoChanges(t *testing.T) {
	file := folder(t, plan(3, 1))
	if got := changesIn(t, file); got != "" {
		t.Error(got)
	}
}

// TestChangesOutliveARun: a job built again without a change still shows what
// the drawings' last change brought, and the same bytes; the next change begins anew.
func TestChangesOutliveARun(t *testing.T) {
	const before = "S1,smoke,Level 1,1,0,\nS2,smoke,Level 1,6,0,\n"
	file := folder(t, before)
	dir := t.TempDir()
	run := func(plan string) string {
		t.Helper()
		write(t, filepath.Join(filepath.Dir(file), "plan.csv"), "id,type,level,x,y,room\n"+plan)
		j, err := job.Load(file)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Run(j, dir, outcome.Known{}, nil); err != nil {
			t.Fatal(err)
		}
		return listing(t, dir) + listing(t, filepath.Dir(file))
	}
	first := run(before)
	if second := run(before); second != first {
		t.Error("a second run writes other bytes")
	}
	revised := run("S1,smoke,Level 1,1,0,\n")
	if again := run("S1,smoke,Level 1,1,0,\n"); again != revised {
		t.Error("a run after a change and one more give other bytes")
	}
	if got, want := changesIn(t, file), "removed S2 smoke in : 19.7, 0.0 ft ->  (had SLC address 2; its address is not reused)"; got != want {
		t.Errorf("%s\nwant\n%s", got, want)
	}
	run(before)
	if got, want := changesIn(t, file), "returned S2 smoke in :  -> 19.7, 0.0 ft (was gone, and is on the drawing again)"; got != want {
		t.Errorf("%s\nwant\n%s", got, want)
	}
	write(t, strings.TrimSuffix(file, ".yaml")+".ledger.before.csv", "id,nonsense\n")
	j, err := job.Load(file)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := outcome.Compute(j, nil); err == nil || !strings.Contains(err.Error(), "job.ledger.before.csv") {
		t.Errorf("damaged: %v", err)
	}
}

func changesIn(t *testing.T, file string) string {
	t.Helper()
	c := computed(t, file).Changes
	if c == nil {
		return ""
	}
	var lines []string
	for _, x := range c.List {
		lines = append(lines, fmt.Sprintf("%s %s %s in %s: %s -> %s (%s)", x.Kind, x.ID, x.Type, x.Room, x.Was, x.Is, x.Detail))
	}
	return strings.Join(lines, "\n")
}
