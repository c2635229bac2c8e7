package tags

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
)

// mapFrom is the size from which files are mapped instead of read: below it a
// plain read is as fast and holds no file open.
const mapFrom = 4 << 20

// Open reads the bytes of a drawing from a file. Large files are mapped
// into memory where the system allows it, and the file is only ever opened for
// reading.
func Open(path string) (*Source, error) {
	b, unmap, err := load(path)
	if err != nil {
		return nil, err
	}
	s := NewSource(path, b)
	if unmap != nil {
		s.unmap, s.drop = unmap, func(from, to int) { dropPages(b, from, to) }
	}
	return s, nil
}

func load(path string) (b []byte, unmap func() error, err error) {
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil, fmt.Errorf("%s: %w", path, fs.ErrNotExist)
	}
	if err != nil {
		return nil, nil, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, nil, err
	}
	if info.IsDir() {
		return nil, nil, fmt.Errorf("%s: this is a folder, not a drawing", path)
	}
	if n := info.Size(); info.Mode().IsRegular() && n >= mapFrom {
		if b, unmap, err := mapFile(f, n); err == nil {
			return b, unmap, nil
		}
	}
	if !info.Mode().IsRegular() {
		return readStream(f, path)
	}
	return readAll(f, info.Size())
}

// maxStream bounds what is read from a pipe or device, which need not end.
const maxStream = 256 << 20

func readStream(f io.Reader, path string) (b []byte, unmap func() error, err error) {
	b, _, err = readAll(io.LimitReader(f, maxStream+1), 0)
	if err == nil && len(b) > maxStream {
		return nil, nil, fmt.Errorf("%s: not a regular file, and it sent more than %d MB: save the drawing to a file first", path, maxStream>>20)
	}
	return b, nil, err
}

// readAll reads a file into one piece of memory of its size; growing step by
// step would take several times as much.
func readAll(f io.Reader, size int64) (b []byte, unmap func() error, err error) {
	buf := bytes.NewBuffer(make([]byte, 0, max(size, 0)+bytes.MinRead))
	_, err = buf.ReadFrom(f)
	return buf.Bytes(), nil, err
}
