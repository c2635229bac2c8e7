package result

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"loopwright/cmd/internal/commit"
)

// Sum is the SHA-256 sum of a file: by it a later run tells a file that it may
// replace from one that somebody has worked on since. The sums of what a command
// wrote are kept under the key sha256 of its record, beside the list outputs.
func Sum(data []byte) string {
	h := sha256.Sum256(data)
	return hex.EncodeToString(h[:])
}

// Earlier is what earlier runs wrote into a folder.
type Earlier struct {
	Outputs []string          `json:"outputs"` // of the last run of the same command
	Sums    map[string]string `json:"sha256"`
	record  string            // name of the file that tells so
	others  []map[string]string
}

// records are the files in which the commands note what they wrote.
var records = []string{FileName, "reconcile.json", "changes.json"}

// ReadEarlier reads the records of a folder; without a readable one nothing is
// known, and nothing that is there counts as the program's own.
func ReadEarlier(dir, record string) Earlier {
	read := func(name string) (e Earlier) {
		data, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil || json.Unmarshal(data, &e) != nil {
			return Earlier{}
		}
		return e
	}
	e := read(record)
	e.record = record
	for _, r := range records {
		if r != record {
			e.others = append(e.others, read(r).Sums)
		}
	}
	return e
}

// ours reports whether a file is as one of the commands has written it.
func (e Earlier) ours(name string, now []byte) bool {
	s := Sum(now)
	return e.Sums[name] == s || slices.ContainsFunc(e.others, func(m map[string]string) bool { return m[name] == s })
}

// Spare says what else has to be done so that no work is lost and nothing stale
// stays: a file that was changed since it was written is kept under another
// name, one that the job no longer makes is removed unless it was changed.
func (e Earlier) Spare(dir string, files []commit.File) (more []commit.File, said []string) {
	written := map[string]bool{}
	for _, f := range files {
		name, err := filepath.Rel(dir, f.Path)
		if err != nil || name == e.record {
			continue
		}
		name = filepath.ToSlash(name)
		written[name] = true
		now, err := os.ReadFile(f.Path)
		if errors.Is(err, fs.ErrNotExist) || err == nil && (bytes.Equal(now, f.Data) || e.ours(name, now)) {
			continue
		}
		if err != nil {
			continue // what cannot be read cannot be replaced either: the commit says why
		}
		kept := freeName(f.Path)
		more = append(more, commit.File{Path: kept, Data: now})
		said = append(said, fmt.Sprintf("%s was changed since it was written: your copy is kept as %s", f.Path, filepath.Base(kept)))
	}
	for _, name := range e.Outputs {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if written[name] || name == e.record || !filepath.IsLocal(filepath.FromSlash(name)) {
			continue
		}
		now, err := os.ReadFile(path)
		switch {
		case err != nil:
		case e.Sums[name] == Sum(now):
			more = append(more, commit.File{Path: path, Remove: true})
			said = append(said, path+" is from the run before and is no longer made: removed")
		default:
			said = append(said, path+" is from the run before and is no longer made; it was changed since, so it stays")
		}
	}
	return more, said
}

// freeName is a name beside path that no file has.
func freeName(path string) string {
	ext := filepath.Ext(path)
	for i := 1; ; i++ {
		name := fmt.Sprintf("%s.changed-%d%s", strings.TrimSuffix(path, ext), i, ext)
		if _, err := os.Lstat(name); errors.Is(err, fs.ErrNotExist) {
			return name
		}
	}
}

// FileName is the file of build that tells about the others.
const FileName = "result.json"
