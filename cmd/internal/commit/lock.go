package commit

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"github.com/gofrs/flock"
)

// lockName is the lock file in a folder, where one is needed; with "-" and its
// name the one beside a file.
const lockName = ".loopwright-lock"

// errTaken says that another process holds a lock file.
var errTaken = errors.New("taken")

// busyError says that another process is writing into a folder.
type busyError struct{ dir string }

func (e *busyError) Error() string {
	return fmt.Sprintf("another run of loopwright is writing to %s: wait for it to finish, or choose another folder with -o", e.dir)
}

func lockPath(path string) string {
	return filepath.Join(filepath.Dir(path), lockName+"-"+filepath.Base(path))
}

// pause is how long lockFile waits before it tries again.
const pause = 50 * time.Millisecond

var sleep = time.Sleep // tests do without

// lockFile takes a file, which need not exist, for this process: by a lock file
// beside it. It waits as long as told.
func lockFile(path string, wait time.Duration) (release func(), err error) {
	for {
		release, err = tryFile(lockPath(path))
		switch {
		case err == nil:
			return release, nil
		case !errors.Is(err, errTaken):
			// No lock can be made there, so the file itself cannot be written
			// either: the write says so if it comes to it.
			return func() {}, nil
		case wait <= 0:
			return nil, &busyError{path}
		}
		sleep(pause)
		wait -= pause
	}
}

// hold takes the file or folder at path for this process until release is
// called or the process ends, however it ends. A file system that knows no locks
// is used without; what cannot be opened is an error of type *fs.PathError.
func hold(path string, opts ...flock.Option) (held *flock.Flock, err error) {
	l := flock.New(path, opts...)
	ok, err := l.TryLock()
	var open *fs.PathError
	switch {
	case errors.As(err, &open):
		return nil, err
	case err == nil && !ok:
		l.Close()
		return nil, errTaken
	}
	return l, nil
}

// tryFile takes the lock file at path, which release removes.
func tryFile(path string) (release func(), err error) {
	l, err := hold(path, flock.SetPermissions(0o666))
	if err != nil {
		return nil, err
	}
	// The holder before may have removed the file after it was opened here: then
	// this lock is one on a file that nobody else can find.
	mine, err1 := l.Stat()
	there, err2 := os.Stat(path)
	if err1 != nil || err2 != nil || !os.SameFile(mine, there) {
		l.Close()
		return nil, errTaken
	}
	return func() {
		// Windows removes no file that is open: there it goes afterwards, unless
		// somebody else has taken it by then.
		err := os.Remove(path)
		l.Close()
		if err != nil {
			os.Remove(path)
		}
	}, nil
}
