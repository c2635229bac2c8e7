package dxf

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

// Open reads a drawing from a file. Large files are mapped into memory where the
// system allows it and the file is only ever opened for reading; call Close when
// nothing points into the drawing any more.
func Open(path string) (*Drawing, error) {
	b, unmap, err := load(path)
	if err != nil {
		return nil, err
	}
	src := Source{Name: path, Bytes: b}
	if unmap != nil {
		src.drop = func(from, to int) { dropPages(b, from, to) }
	}
	d, err := parse(src)
	if err != nil {
		if unmap != nil {
			_ = unmap() // the drawing is refused, and that is what to tell
		}
		return nil, err
	}
	d.unmap = unmap
	return d, nil
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
		return nil, nil, fmt.Errorf("%s: is a folder, not a drawing", path)
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
		return nil, nil, fmt.Errorf("%s: is no file, and more than %d MB came from it: save the drawing into a file first", path, maxStream>>20)
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

// release tells the system that a part of a mapped file is not needed for the
// moment; it comes back from the page cache when it is. It keeps the resident
// size of the process near that of its results.
func (s *Source) release(from, to int) {
	if s.drop != nil {
		s.drop(from, to)
	}
}

// Close releases the memory of a drawing made by Open. Strings and numbers that
// were handed out stay valid, byte slices do not.
func (d *Drawing) Close() error {
	if d.unmap == nil {
		return nil
	}
	err := d.unmap()
	d.unmap, d.Bytes, d.drop = nil, nil, nil
	return err
}
