package dxf

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

// WriteFile checks a written drawing against the one it was made from and puts
// it at path in one step: into a temporary file in the same folder, to disk,
// then renamed. Either the whole drawing is there or what was there before. It
// refuses a drawing in which CheckWritten finds anything, and to write over
// source, the file that the original came from (also by another name or link;
// "" if there is none).
func WriteFile(path, source string, original, written []byte) error {
	if source != "" {
		if same, err := sameFile(path, source); err != nil {
			return err
		} else if same {
			return fmt.Errorf("%s: that is the original drawing, which is never written to; choose another folder", path)
		}
	}
	if ps := CheckWritten(original, written); len(ps) > 0 {
		return &CheckError{Path: path, Problems: ps}
	}
	return replaceFile(path, written)
}

// CheckError is a drawing that was not written because it would be faulty.
type CheckError struct {
	Path     string
	Problems []Problem
}

func (e *CheckError) Error() string {
	var lines []string
	for _, p := range e.Problems[:min(3, len(e.Problems))] {
		lines = append(lines, p.String())
	}
	return fmt.Sprintf("%s: not written, %d problems in the result: %s", e.Path, len(e.Problems), strings.Join(lines, "; "))
}

// sameFile tells whether two paths lead to one file.
func sameFile(a, b string) (bool, error) {
	ia, err := os.Stat(a)
	if errors.Is(err, os.ErrNotExist) {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	ib, err := os.Stat(b)
	if errors.Is(err, os.ErrNotExist) {
		return false, nil
	}
	return err == nil && os.SameFile(ia, ib), err
}

// replaceFile writes b to path by way of a temporary file beside it.
func replaceFile(path string, b []byte) (err error) {
	dir, name := filepath.Split(path)
	if dir == "" {
		dir = "."
	}
	f, err := os.CreateTemp(dir, "."+name+".*.tmp")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(f.Name())
		}
	}()
	if _, err = f.Write(b); err != nil {
		return err
	}
	if err = f.Chmod(0o644); err != nil {
		return err
	}
	if err = f.Sync(); err != nil {
		return err
	}
	if err = f.Close(); err != nil {
		return err
	}
	if err = os.Rename(f.Name(), path); err != nil {
		return err
	}
	syncFolder(dir)
	return nil
}

// syncFolder makes the rename last through a power cut where the system allows
// it; the file itself is whole in any case.
func syncFolder(dir string) {
	if d, err := os.Open(dir); err == nil {
		_ = d.Sync()
		d.Close()
	}
}
