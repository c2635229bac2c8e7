// Package commit writes several files as one. Whenever the program stops, by a
// kill or a power cut too, the next run that looks finds either every file as
// it was or every file as it was to be, and never a mixture.
//
// How it works. The new files are written and synced under a hidden folder, the
// stage, with a second name for each old file beside them. Then a journal that
// lists all files is renamed into the stage: that one rename is the commit. Then
// the files are moved into place, each by one rename, the journal is removed and
// the stage swept. A stage with a journal is finished by the next run, a stage
// without one is swept away: nothing had been touched yet.
//
// Files outside the folder take part: each has a stage of its own beside it, as
// a rename cannot leave its file system, with a note that says where the journal is.
//
// What lies on the disk meanwhile: in DIR/.loopwright-writing new-N and old-N, the
// new and the old content of file N; the journal is called commit, and undo where
// a file could not be replaced half-way (it is open elsewhere on Windows) and
// all is taken back. Beside a file NAME outside, .loopwright-writing-NAME holds home
// (the note), new and old. By hand: the journal lists the files in order, and
// moving each new-N to its path is the whole recovery.
//
// The folder is locked (flock on the folder itself; on Windows a file that the
// system deletes): a second run is refused by name. A file outside is waited for.
package commit

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"

	"loopwright/takeoff/where"
)

// File is one file to be written, or to be removed.
type File struct {
	Path   string // where it ends up
	Data   []byte
	Remove bool // no file shall stand there; Data is not used
}

// Session is the right to write into a folder and to some files outside it.
// It is held by one process at a time.
type Session struct {
	home    string
	outside []string
	release []func()
	created string // topmost folder that Open made; "" if all were there
}

// ledgerWait is how long Open waits for a file outside the folder, which a run
// into another folder may need too. A folder that is taken is an error at once.
const ledgerWait = time.Minute

// Open takes the right to write into the folder home, which it makes, and to
// the files outside it. What an interrupted run has left there is settled
// first. It fails with a [BusyError] if another process holds the right.
func Open(home string, outside ...string) (*Session, error) {
	home, outside, err := absolute(home, outside)
	if err != nil {
		return nil, err
	}
	if at := fileOnTheWay(home); at != "" {
		return nil, where.In(at, fmt.Errorf("%s is a file, not a folder: name a folder for the results with -o", at))
	}
	if at := deadLink(home); at != "" {
		return nil, where.In(at, fmt.Errorf("%s is a broken link: correct it, or name another folder with -o", at))
	}
	s := &Session{home: home, outside: outside, created: firstMissing(home)}
	if err := s.register(); err != nil {
		s.Close()
		return nil, err
	}
	if err := s.lock(); err != nil {
		s.Close()
		return nil, err
	}
	if _, err := settle([]string{home}, outside); err != nil {
		s.Close()
		return nil, err
	}
	return s, nil
}

// lock takes the folder, and the files outside it in an order that is the same
// for every process.
func (s *Session) lock() error {
	release, err := lockFolder(s.home)
	if err != nil {
		return err
	}
	s.holds(release)
	for _, o := range slices.Sorted(slices.Values(s.outside)) {
		release, err := lockFile(o, ledgerWait)
		if err != nil {
			return err
		}
		s.holds(release)
	}
	return nil
}

// Close gives the right back. A folder that Open made and that stayed empty goes.
func (s *Session) Close() {
	state.Lock()
	defer state.Unlock()
	s.letGo()
}

// Write puts all files in place, or none. A file that is there already keeps
// its permissions; one that is write-protected is refused, and so is a folder
// that stands where a file should go.
func (s *Session) Write(files []File) error {
	t, err := s.plan(files)
	if err != nil {
		return err
	}
	if err := t.stage(files); err != nil {
		t.sweep()
		return err
	}
	state.Lock()
	defer state.Unlock()
	if err := t.commit(); err != nil {
		t.sweep()
		return err
	}
	if err := t.finish(); err != nil {
		return errors.Join(err, t.undo())
	}
	state.wrote = true
	return nil
}

// plan checks every target and makes the list of what is to be moved.
func (s *Session) plan(files []File) (*transaction, error) {
	t := &transaction{home: s.home}
	seen := map[string]bool{}
	for _, f := range files {
		path, err := resolved(f.Path)
		if err != nil {
			return nil, err
		}
		if seen[path] {
			return nil, fmt.Errorf("%s would be written twice", path)
		}
		seen[path] = true
		rel, err := filepath.Rel(s.home, path)
		outside := err != nil || !filepath.IsLocal(rel)
		if outside && !slices.Contains(s.outside, path) {
			return nil, fmt.Errorf("%s is outside the folder %s", path, s.home)
		}
		if err != nil {
			rel = path // another drive
		}
		if at := fileOnTheWay(filepath.Dir(path)); at != "" {
			return nil, where.In(path, fmt.Errorf("cannot write %s: %s is a file where a folder is needed; move or rename it", path, at))
		}
		had, err := checkTarget(path)
		if err != nil {
			return nil, err
		}
		t.Entries = append(t.Entries, entry{Path: filepath.ToSlash(rel), Outside: outside, Had: had, Gone: f.Remove, slot: len(t.Entries)})
	}
	return t, nil
}

// checkTarget reports whether a file stands at path, and refuses what a rename
// would wrongly replace or could not.
func checkTarget(path string) (had bool, err error) {
	info, err := os.Lstat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return false, nil
	case err != nil:
		return false, plain("write", path, err)
	case info.IsDir():
		return false, where.In(path, fmt.Errorf("cannot write %s: a folder with that name exists; move or rename it", path))
	case info.Mode().IsRegular() && info.Mode().Perm()&0o200 == 0:
		return false, where.In(path, fmt.Errorf("cannot replace %s: it is write-protected; remove the protection or choose another folder", path))
	}
	return true, nil
}

// absolute makes all paths absolute.
func absolute(home string, outside []string) (string, []string, error) {
	home, err := filepath.Abs(home)
	if err != nil {
		return "", nil, err
	}
	out := make([]string, 0, len(outside))
	for _, o := range outside {
		o, err := resolved(o)
		if err != nil {
			return "", nil, err
		}
		out = append(out, o)
	}
	return home, out, nil
}

// resolved makes the path of a file absolute. Where a link stands there, the
// file that it leads to is meant: a rename would replace the link.
func resolved(path string) (string, error) {
	if info, err := os.Lstat(path); err == nil && info.Mode()&fs.ModeSymlink != 0 {
		if to, err := filepath.EvalSymlinks(path); err == nil {
			path = to
		}
	}
	return filepath.Abs(path)
}

// fileOnTheWay returns the file that stands where dir or a folder above it
// should be, "" if there is none.
func fileOnTheWay(dir string) string {
	for {
		info, err := os.Stat(dir)
		if err == nil && !info.IsDir() {
			return dir
		}
		if err == nil || filepath.Dir(dir) == dir {
			return ""
		}
		dir = filepath.Dir(dir)
	}
}

// deadLink returns the link on the way to dir that leads nowhere, "" if there is none.
func deadLink(dir string) string {
	for ; ; dir = filepath.Dir(dir) {
		if info, err := os.Lstat(dir); err == nil || filepath.Dir(dir) == dir {
			if err == nil && info.Mode()&fs.ModeSymlink != 0 && !leads(dir) {
				return dir
			}
			return ""
		}
	}
}

func leads(link string) bool {
	_, err := os.Stat(link)
	return err == nil
}

// firstMissing returns the topmost folder on the way to dir that is not there.
func firstMissing(dir string) string {
	missing := ""
	for {
		if _, err := os.Lstat(dir); !errors.Is(err, fs.ErrNotExist) {
			return missing
		}
		missing = dir
		dir = filepath.Dir(dir)
	}
}

// removeEmpty removes dir and its parents up to top, as far as they are empty.
func removeEmpty(dir, top string) {
	for remove(dir) == nil && dir != top {
		dir = filepath.Dir(dir)
	}
}

// plain words an error of the file system for people.
func plain(what, path string, err error) error {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		err = pe.Err
	}
	var le *os.LinkError
	if errors.As(err, &le) {
		err = le.Err
	}
	hint := ""
	switch {
	case errors.Is(err, fs.ErrPermission) || isReadOnly(err):
		hint = "; choose another folder with -o, or get the right to write there"
	case isFull(err):
		hint = "; free some space, or choose another folder with -o"
	case isBusy(err):
		hint = "; close the program that has it open and run again"
	}
	return where.In(path, fmt.Errorf("cannot %s %s: %w%s", what, path, err, hint))
}
