package commit

import (
	"errors"
	"fmt"
	"path/filepath"
	"time"
)

// lockName is the lock file in a folder, where one is needed; with "-" and its
// name the one beside a file.
const lockName = ".loopwright-lock"

// errTaken says that another process holds a lock file.
var errTaken = errors.New("taken")

// BusyError says that another process is writing into a folder.
type BusyError struct{ Dir string }

func (e *BusyError) Error() string {
	return fmt.Sprintf("another run of loopwright is writing to %s: wait for it to finish, or choose another folder with -o", e.Dir)
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
			return nil, &BusyError{path}
		}
		sleep(pause)
		wait -= pause
	}
}
