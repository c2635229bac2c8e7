package commit

import (
	"errors"
	"path/filepath"
	"syscall"
)

// The values of the Windows API that package syscall leaves out.
const (
	errSharingViolation = syscall.Errno(32)
	errLockViolation    = syscall.Errno(33)
	errWriteProtect     = syscall.Errno(19)
	errDiskFull         = syscall.Errno(112)
)

// lockFolder takes a folder for this process until release is called or the
// process ends, however it ends.
func lockFolder(dir string) (release func(), err error) {
	release, err = tryFile(filepath.Join(dir, lockName))
	if errors.Is(err, errTaken) {
		return nil, &busyError{dir}
	}
	if err != nil {
		return nil, plain("write into", dir, err)
	}
	return release, nil
}

func isReadOnly(err error) bool { return errors.Is(err, errWriteProtect) }
func isFull(err error) bool     { return errors.Is(err, errDiskFull) }
func isBusy(err error) bool {
	return errors.Is(err, errSharingViolation) || errors.Is(err, errLockViolation)
}
