package commit

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// FuzzJournal: whatever stands in a journal and in the note beside the ledger,
// settling ends, and nothing changes but what the journal names in its folder
// and a ledger whose stage points back there.
func FuzzJournal(f *testing.F) {
	for _, s := range []string{
		`{"files":[{"path":"a.xlsx","had":true},{"path":"plans/b.dxf"},{"path":"../job.ledger.csv","outside":true,"had":true}]}`,
		`{"files":[{"path":"../job.yaml","outside":true}]}`, `{"files":[{"path":"../job.yaml"}]}`, `{"files":[{"path":"/tmp/x"}]}`,
		`{"files":[{"path":".","gone":true},{"path":"","gone":true},{"path":"a.xlsx","gone":true}]}`, `{"files":[{"pa`, `{}`, `[]`, ``, `null`,
		`{"files":[{"path":".loopwright-writing/commit"}]}`, `{"files":[{"path":"a.xlsx/b"}]}`,
	} {
		f.Add(s, "out", true)
		f.Add(s, "..", false)
	}
	f.Fuzz(func(t *testing.T, journal, note string, undo bool) {
		root := t.TempDir()
		home, ledger := filepath.Join(root, "out"), filepath.Join(root, "job.ledger.csv")
		name := journalName
		if undo {
			name = undoName
		}
		put(t, filepath.Join(root, "job.yaml"), "mine")
		put(t, ledger, "old ledger")
		put(t, filepath.Join(home, "a.xlsx"), "old a")
		put(t, filepath.Join(home, stageName, name), journal)
		put(t, filepath.Join(home, stageName, "new-0"), "new a")
		put(t, filepath.Join(besideDir(ledger), homeName), note)
		put(t, filepath.Join(besideDir(ledger), "new"), "new ledger")
		_, err := Recover(home, ledger)
		if data, e := os.ReadFile(filepath.Join(root, "job.yaml")); e != nil || string(data) != "mine" {
			t.Fatalf("a file outside was touched: %q, %v", data, e)
		}
		if err != nil && !strings.Contains(err.Error(), "interrupted") && !strings.Contains(err.Error(), "earlier run") && !strings.Contains(err.Error(), "cannot") {
			t.Errorf("a message that does not say what happened: %v", err)
		}
		if err == nil && exists(filepath.Join(home, stageName)) {
			t.Error("settled, and the stage is still there")
		}
		if again, e := Recover(home, ledger); err == nil && (e != nil || again != nil) {
			t.Errorf("once more: %v, %v", again, e)
		}
	})
}
