package commit

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// Recover settles what an interrupted run has left in the folder home or beside
// the files outside it, and returns in plain words what it did. Where nothing
// was left it touches nothing and needs no right to write; a folder in which
// another run is at work is that run's business.
func Recover(home string, outside ...string) (said []string, err error) {
	home, outside, err = absolute(home, outside)
	if err != nil {
		return nil, err
	}
	var homes []string
	if exists(filepath.Join(home, stageName)) {
		release, err := lockFolder(home)
		if busy(err) {
			return nil, nil
		}
		if err != nil {
			return nil, err
		}
		defer release()
		homes = append(homes, home)
	}
	var left []string
	for _, o := range outside {
		if exists(besideDir(o)) || exists(lockPath(o)) {
			release, err := lockFile(o, 0)
			if busy(err) {
				continue
			}
			if err != nil {
				return nil, err
			}
			defer release()
		}
		left = append(left, o)
	}
	return settle(homes, left)
}

func exists(path string) bool {
	_, err := os.Lstat(path)
	return err == nil
}

func busy(err error) bool {
	var b *busyError
	return errors.As(err, &b)
}

// settle settles the folders homes, which are locked, and every other folder in
// which a run may have left the journal of a file outside.
func settle(homes, outside []string) (said []string, err error) {
	for _, o := range outside {
		more := []string{filepath.Dir(o)} // results and job may share a folder
		if h, ok := noted(o); ok {
			more = append(more, h)
		}
		for _, h := range more {
			if slices.Contains(homes, h) || !exists(filepath.Join(h, stageName)) {
				continue
			}
			release, err := lockFolder(h)
			if busy(err) {
				continue
			}
			if err != nil {
				return said, err
			}
			defer release()
			homes = append(homes, h)
		}
	}
	for _, h := range homes {
		word, err := settleOne(h)
		if err != nil {
			return said, err
		}
		if word != "" {
			said = append(said, word)
		}
	}
	for _, o := range outside {
		if exists(besideDir(o)) {
			if err := removeAll(besideDir(o)); err != nil {
				return said, plain("sweep", besideDir(o), err)
			}
		}
	}
	return said, nil
}

// noted returns the folder that the stage beside a file points to.
func noted(target string) (home string, ok bool) {
	data, err := os.ReadFile(filepath.Join(besideDir(target), homeName))
	if err != nil || len(data) == 0 {
		return "", false // the run ended before it had written anything else
	}
	home = filepath.FromSlash(string(data))
	if !filepath.IsAbs(home) {
		home = filepath.Join(filepath.Dir(target), home)
	}
	return filepath.Clean(home), true
}

// settleOne finishes, takes back or sweeps what a run has left in one folder.
func settleOne(home string) (said string, err error) {
	stage := filepath.Join(home, stageName)
	if !exists(stage) {
		return "", nil
	}
	for _, journal := range []string{journalName, undoName} {
		t, err := readJournal(home, journal)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return "", fmt.Errorf("%s: the journal of an interrupted run cannot be read (%w): the files in %s may be from two runs; remove %s and build again",
				filepath.Join(stage, journal), err, home, stage)
		}
		if journal == journalName {
			if err := t.finish(); err != nil {
				return "", fmt.Errorf("an earlier run was interrupted while writing to %s, and cannot be completed: %w", home, err)
			}
			return fmt.Sprintf("an earlier run was interrupted while writing to %s: completed, all %d files are the new ones", home, len(t.Entries)), nil
		}
		if err := t.restore(); err != nil {
			return "", fmt.Errorf("an earlier run failed while writing to %s, and cannot be undone: %w", home, err)
		}
		return fmt.Sprintf("an earlier run failed while writing to %s: undone, all files are the old ones", home), nil
	}
	if err := removeAll(stage); err != nil {
		return "", plain("sweep", stage, err)
	}
	return fmt.Sprintf("an earlier run was interrupted before it wrote anything to %s: cleaned up, all files are the old ones", home), nil
}

// readJournal reads a journal. A file outside the folder counts only if the
// stage beside it points back here: a journal that came from elsewhere moves and
// removes nothing outside its folder.
func readJournal(home, name string) (*transaction, error) {
	data, err := os.ReadFile(filepath.Join(home, stageName, name))
	if err != nil {
		return nil, err
	}
	t := &transaction{home: home}
	if err := json.Unmarshal(data, t); err != nil {
		return nil, err
	}
	for i, e := range t.Entries {
		if !e.Outside && !filepath.IsLocal(filepath.FromSlash(e.Path)) {
			return nil, fmt.Errorf("it names %q, which no run writes", t.target(i))
		}
	}
	kept := t.Entries[:0]
	for i, e := range t.Entries {
		if e.Outside {
			if h, ok := noted(t.target(i)); !ok || h != home {
				continue
			}
		}
		e.slot = i
		kept = append(kept, e)
	}
	t.Entries = kept
	return t, nil
}
