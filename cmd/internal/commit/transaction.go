package commit

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// The names within a stage. They are part of what one version leaves for the
// next to find: changing them strands what an older version was writing.
const (
	stageName   = ".loopwright-writing" // in the folder; with "-" and its name beside a file outside
	journalName = "commit"              // the files are to be moved into place
	undoName    = "undo"                // what was moved is to be moved back
	homeName    = "home"                // beside an outside file: where the journal is
)

// transaction is one list of files on its way into place. Its exported part is
// the journal.
type transaction struct {
	home    string
	Entries []entry `json:"files"`
}

// entry is one file of the journal.
type entry struct {
	Path    string `json:"path"`              // as seen from the folder, with slashes
	Outside bool   `json:"outside,omitempty"` // it lies outside the folder and has its own stage
	Had     bool   `json:"had,omitempty"`     // a file stood there before
	Gone    bool   `json:"gone,omitempty"`    // it is to be removed
	slot    int    // its place in the journal, by which its content is found in the stage
}

func (t *transaction) stageDir() string { return filepath.Join(t.home, stageName) }

func (t *transaction) target(i int) string {
	p := filepath.FromSlash(t.Entries[i].Path)
	if filepath.IsAbs(p) {
		return p
	}
	return filepath.Join(t.home, p)
}

// staged is where the new ("new") or the old ("old") content of entry i waits.
func (t *transaction) staged(i int, which string) string {
	if t.Entries[i].Outside {
		return filepath.Join(besideDir(t.target(i)), which)
	}
	return filepath.Join(t.stageDir(), fmt.Sprintf("%s-%d", which, t.Entries[i].slot))
}

// besideDir is the stage of one file outside the folder.
func besideDir(target string) string {
	return filepath.Join(filepath.Dir(target), stageName+"-"+filepath.Base(target))
}

// stage writes the new content and a second name of the old.
func (t *transaction) stage(files []File) error {
	for i := range files { // first, so that no stage is ever without a way to it
		if t.Entries[i].Outside {
			if err := t.stageBeside(i); err != nil {
				return err
			}
		}
	}
	if err := makeStage(t.stageDir()); err != nil {
		return err
	}
	for i, f := range files {
		if !f.Remove {
			if err := writeSynced(t.staged(i, "new"), f.Data, t.target(i)); err != nil {
				return plain("write", t.target(i), err)
			}
		}
		if t.Entries[i].Had {
			if err := secondName(t.target(i), t.staged(i, "old")); err != nil {
				return plain("keep a copy of", t.target(i), err)
			}
		}
	}
	return nil
}

// stageBeside makes the stage of an outside file, with the note to the journal first.
func (t *transaction) stageBeside(i int) error {
	dir := besideDir(t.target(i))
	if err := makeStage(dir); err != nil {
		return err
	}
	home := t.home
	if rel, err := filepath.Rel(filepath.Dir(t.target(i)), t.home); err == nil {
		home = rel // still right when job and results are moved together
	}
	if err := writeSynced(filepath.Join(dir, homeName), []byte(filepath.ToSlash(home)), ""); err != nil {
		return plain("write beside", t.target(i), err)
	}
	return nil
}

func makeStage(dir string) error {
	state.Lock() // after a signal there is nothing to be made any more
	defer state.Unlock()
	if err := mkdir(dir); err != nil {
		return plain("write into", filepath.Dir(dir), err)
	}
	return nil
}

// commit renames the journal into its place, once everything is on the disk.
func (t *transaction) commit() error {
	data, err := json.MarshalIndent(t, "", " ")
	if err != nil {
		return err
	}
	draft := filepath.Join(t.stageDir(), "draft")
	if err := writeSynced(draft, data, ""); err != nil {
		return plain("write into", t.home, err)
	}
	for i := range t.Entries {
		if t.Entries[i].Outside {
			syncDir(besideDir(t.target(i)))
			syncDir(filepath.Dir(t.target(i)))
		}
	}
	syncDir(t.stageDir())
	syncDir(t.home)
	if err := rename(draft, filepath.Join(t.stageDir(), journalName)); err != nil {
		return plain("write into", t.home, err)
	}
	syncDir(t.stageDir())
	return nil
}

// finish moves what is not yet in place, and sweeps. Doing it twice is doing it once.
func (t *transaction) finish() error {
	dirs := map[string]bool{}
	for i, e := range t.Entries {
		from, to := t.staged(i, "new"), t.target(i)
		if e.Gone {
			if err := remove(to); err != nil && !errors.Is(err, fs.ErrNotExist) {
				return plain("remove", to, err)
			}
			dirs[filepath.Dir(to)] = true
			continue
		}
		if _, err := os.Lstat(from); errors.Is(err, fs.ErrNotExist) {
			continue // moved before the interruption
		}
		if err := mkdirAll(filepath.Dir(to)); err != nil {
			return plain("make the folder", filepath.Dir(to), err)
		}
		if err := rename(from, to); err != nil {
			return plain("replace", to, err)
		}
		dirs[filepath.Dir(to)] = true
	}
	for d := range dirs {
		syncDir(d)
	}
	return t.end(journalName)
}

// undo moves back what finish had moved when it failed.
func (t *transaction) undo() error {
	err := rename(filepath.Join(t.stageDir(), journalName), filepath.Join(t.stageDir(), undoName))
	if err != nil {
		return fmt.Errorf("and it cannot be undone now (%w): the next run finishes it", err)
	}
	return t.restore()
}

// restore does what undo decided. Doing it twice is doing it once.
func (t *transaction) restore() error {
	for i := range t.Entries {
		if _, err := os.Lstat(t.staged(i, "new")); err == nil {
			continue // was never moved
		}
		var err error
		if t.Entries[i].Had {
			err = rename(t.staged(i, "old"), t.target(i))
		} else {
			err = remove(t.target(i))
		}
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return plain("put back", t.target(i), err)
		}
	}
	return t.end(undoName)
}

// end removes the journal, after which the transaction is over, and sweeps.
func (t *transaction) end(journal string) error {
	if err := remove(filepath.Join(t.stageDir(), journal)); err != nil {
		return plain("remove from", t.stageDir(), err)
	}
	syncDir(t.stageDir())
	t.sweep()
	return nil
}

// sweep removes the stages. Without a journal nothing in them is needed.
func (t *transaction) sweep() {
	_ = removeAll(t.stageDir()) // what stays is swept by the next run
	for i := range t.Entries {
		if t.Entries[i].Outside {
			_ = removeAll(besideDir(t.target(i)))
		}
	}
}
