//go:build linux || darwin

package dxf

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
