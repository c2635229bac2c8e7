//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package commit

import (
	"errors"
	"os"
	"syscall"
)

// lockFolder takes a folder for this process until release is called or the
// process ends, however it ends. The folder itself is locked: no file is left
// behind. A file system that knows no locks is used without.
func lockFolder(dir string) (release func(), err error) {
	f, err := os.Open(dir)
	if err != nil {
		return nil, plain("open the folder", dir, err)
	}
	if errors.Is(flock(f), syscall.EWOULDBLOCK) {
		f.Close()
		return nil, &BusyError{dir}
	}
	return func() { f.Close() }, nil
}

func flock(f *os.File) error { return syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB) }

// tryFile takes the lock file at path, which release removes.
func tryFile(path string) (release func(), err error) {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o666)
	if err != nil {
		return nil, err
	}
	if errors.Is(flock(f), syscall.EWOULDBLOCK) {
		f.Close()
		return nil, errTaken
	}
	// The holder before may have removed the file after it was opened here: then
	// this lock is one on a file that nobody else can find.
	mine, err1 := f.Stat()
	there, err2 := os.Stat(path)
	if err1 != nil || err2 != nil || !os.SameFile(mine, there) {
		f.Close()
		return nil, errTaken
	}
	return func() { os.Remove(path); f.Close() }, nil
}

func isReadOnly(err error) bool { return errors.Is(err, syscall.EROFS) }
func isFull(err error) bool {
	return errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT) || errors.Is(err, syscall.EFBIG)
}
func isBusy(err error) bool { return errors.Is(err, syscall.EBUSY) || errors.Is(err, syscall.ETXTBSY) }
