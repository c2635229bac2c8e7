package commit

import (
	"errors"
	"io"
	"os"
	"path/filepath"
)

// Every change that this package makes on the disk goes through the functions of
// this file, one change each, so that a test can stop before each of them.

// BeforeChange is called before every change on the disk with what is about to
// be done and where. It does nothing; tests stop the program there, to see that
// a stop between any two changes leaves all files as they were or all new.
var BeforeChange = func(change, path string) {}

// flush makes what was written last through a power cut. Tests that stop within
// one process leave it out: the system loses nothing then, and it takes longest.
var flush = (*os.File).Sync

func mkdir(path string) error {
	BeforeChange("make folder", path)
	return os.Mkdir(path, 0o777)
}

func mkdirAll(path string) error {
	BeforeChange("make folders", path)
	return os.MkdirAll(path, 0o777)
}

func rename(from, to string) error {
	BeforeChange("rename", to)
	return os.Rename(from, to)
}

func remove(path string) error {
	BeforeChange("remove", path)
	return os.Remove(path)
}

// removeAll removes a folder with all that is in it; one that is not there is no error.
func removeAll(dir string) error {
	entries, _ := os.ReadDir(dir) // where it cannot be read, the last line says why
	for _, e := range entries {
		path := filepath.Join(dir, e.Name())
		BeforeChange("remove", path)
		if err := os.RemoveAll(path); err != nil {
			return err
		}
	}
	BeforeChange("remove", dir)
	return os.RemoveAll(dir)
}

// writeSynced writes a file through to the disk, with the permissions of like.
func writeSynced(path string, data []byte, like string) error {
	BeforeChange("create", path)
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	BeforeChange("write", path)
	_, err = f.Write(data)
	if err == nil && like != "" {
		if info, e := os.Stat(like); e == nil {
			BeforeChange("set permissions", path)
			_ = f.Chmod(info.Mode().Perm()) // a matter of comfort: where it cannot be done the file is as good
		}
	}
	if err == nil {
		BeforeChange("sync", path)
		err = flush(f)
	}
	return errors.Join(err, f.Close())
}

// secondName keeps a file under another name: by a hard link, and by a copy
// where the file system has none.
func secondName(from, to string) error {
	BeforeChange("link", to)
	if os.Link(from, to) == nil {
		return nil
	}
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	if err == nil {
		err = flush(out)
	}
	return errors.Join(err, out.Close())
}

// syncDir makes renames in a folder last; where folders cannot be synced the
// order of renames is all there is.
func syncDir(dir string) {
	BeforeChange("sync", dir)
	if d, err := os.Open(dir); err == nil {
		_ = flush(d)
		d.Close()
	}
}
