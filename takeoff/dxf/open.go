package dxf

import (
	"fmt"
	"io"
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
	d, err := Parse(path, b)
	if err != nil {
		if unmap != nil {
			unmap()
		}
		return nil, err
	}
	d.unmap = unmap
	return d, nil
}

func load(path string) (b []byte, unmap func() error, err error) {
	f, err := os.Open(path)
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
	b, err = io.ReadAll(f)
	return b, nil, err
}

// Close releases the memory of a drawing made by Open. Strings and numbers that
// were handed out stay valid, byte slices do not.
func (d *Drawing) Close() error {
	if d.unmap == nil {
		return nil
	}
	err := d.unmap()
	d.unmap, d.Bytes = nil, nil
	return err
}
