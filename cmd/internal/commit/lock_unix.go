//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package commit

import (
	"errors"
	"os"
	"syscall"

	"github.com/gofrs/flock"
)

// lockFolder takes a folder for this process. The folder itself is locked: no
// file is left behind.
func lockFolder(dir string) (release func(), err error) {
	l, err := hold(dir, flock.SetFlag(os.O_RDONLY))
	if errors.Is(err, errTaken) {
		return nil, &busyError{dir}
	}
	if err != nil {
		return nil, plain("open the folder", dir, err)
	}
	return func() { l.Close() }, nil
}

func isReadOnly(err error) bool { return errors.Is(err, syscall.EROFS) }
func isFull(err error) bool {
	return errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT) || errors.Is(err, syscall.EFBIG)
}
func isBusy(err error) bool { return errors.Is(err, syscall.EBUSY) || errors.Is(err, syscall.ETXTBSY) }
