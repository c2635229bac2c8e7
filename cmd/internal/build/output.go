package build

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

// Output is one file to be written: its name relative to the folder, with
// forward slashes, and its content.
type Output struct {
	Name string
	Data []byte
}

// WriteAll writes all files into dir, or none: every file is written beside its
// place first, and only when all are on the disk are they renamed. Files that
// were there before and are not in the list stay as they are. If a rename fails
// halfway, those done are undone.
func WriteAll(dir string, outs []Output) error {
	return writeAll(dir, outs, func() error { return nil })
}

// writeAll is WriteAll with a last step; if that fails, everything is undone.
func writeAll(dir string, outs []Output, last func() error) (err error) {
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	stage, err := os.MkdirTemp(dir, ".writing-")
	if err != nil {
		return fmt.Errorf("cannot write into %s: %w", dir, err)
	}
	defer os.RemoveAll(stage)
	for _, o := range outs {
		if !filepath.IsLocal(filepath.FromSlash(o.Name)) {
			return fmt.Errorf("output %q would leave its folder", o.Name)
		}
		if err := writeSynced(filepath.Join(stage, filepath.FromSlash(o.Name)), o.Data); err != nil {
			return err
		}
	}
	return swap(dir, stage, outs, last)
}

func writeSynced(path string, data []byte) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		return err
	}
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Sync(), f.Close())
}

// swap moves the staged files into place; what they replace is kept until all have moved.
func swap(dir, stage string, outs []Output, last func() error) (err error) {
	var undo []func()
	defer func() {
		if err != nil {
			for i := len(undo) - 1; i >= 0; i-- {
				undo[i]()
			}
		}
	}()
	for i, o := range outs {
		name := filepath.FromSlash(o.Name)
		to := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(to), 0o777); err != nil {
			return err
		}
		old := filepath.Join(stage, fmt.Sprintf("old-%d", i))
		switch err := os.Rename(to, old); {
		case err == nil:
			undo = append(undo, func() { os.Rename(old, to) })
		case !errors.Is(err, os.ErrNotExist):
			return fmt.Errorf("cannot replace %s: %w", to, err)
		}
		if err := os.Rename(filepath.Join(stage, name), to); err != nil {
			return fmt.Errorf("cannot write %s: %w", to, err)
		}
		undo = append(undo, func() { os.Remove(to) })
	}
	return last()
}
