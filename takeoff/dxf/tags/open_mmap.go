//go:build linux || darwin

package tags

import (
	"os"

	"golang.org/x/sys/unix"
)

func mapFile(f *os.File, size int64) ([]byte, func() error, error) {
	b, err := unix.Mmap(int(f.Fd()), 0, int(size), unix.PROT_READ, unix.MAP_SHARED)
	if err != nil {
		return nil, nil, err
	}
	return b, func() error { return unix.Munmap(b) }, nil
}

// dropPages gives back the whole pages within b[from:to]. Failure does no harm.
func dropPages(b []byte, from, to int) {
	page := os.Getpagesize()
	from = (from + page - 1) / page * page
	to = min(to, len(b)) / page * page
	if from < to {
		_ = unix.Madvise(b[from:to], unix.MADV_DONTNEED)
	}
}
