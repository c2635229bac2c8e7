package build

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"loopwright/cmd/internal/commit"
	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/result"
)

// Output is one file to be written: its name relative to the folder, with
// forward slashes, and its content.
type Output struct {
	Name string
	Data []byte
}

// WriteAll writes all files into dir, or none, whatever stops it (see package
// commit). Files that were there before and are not in the list stay as they are,
// but for those that the record, one of the files, lists as of the run before. A
// file that somebody has worked on since is kept under another name, and said
// tells so. None of the inputs is written over.
func WriteAll(dir, record string, outs []Output, inputs []string) (said []string, err error) {
	files, err := placed(dir, outs)
	if err != nil {
		return nil, err
	}
	s, err := commit.Open(dir)
	if err != nil {
		return nil, err
	}
	defer s.Close()
	if err := sparesInputs(inputs, files); err != nil {
		return nil, err
	}
	more, said := result.ReadEarlier(dir, record).Spare(dir, files)
	return said, s.Write(append(files, more...))
}

// WriteWithLedger is WriteAll with the ledger beside the job file among the files
// and what the job is read from among the inputs.
func WriteWithLedger(o *outcome.Outcome, dir, record string, outs []Output, inputs []string) (said []string, err error) {
	s, err := commit.Open(dir, outcome.LedgerPath(o.Job), outcome.BeforePath(o.Job))
	if err != nil {
		return nil, err
	}
	defer s.Close()
	files, err := placed(dir, outs)
	if err != nil {
		return nil, err
	}
	more, said := result.ReadEarlier(dir, record).Spare(dir, files)
	return said, commitAll(o, s, append(files, more...), slices.Concat(inputs, Inputs(o.Job)))
}

// Sums are the sums of outputs by name.
func Sums(outs []Output) map[string]string {
	m := map[string]string{}
	for _, o := range outs {
		m[o.Name] = result.Sum(o.Data)
	}
	return m
}

// placed gives outputs their places below dir, and refuses a name that leaves it.
func placed(dir string, outs []Output) ([]commit.File, error) {
	var files []commit.File
	for _, o := range outs {
		name := filepath.FromSlash(o.Name)
		if !filepath.IsLocal(name) {
			return nil, fmt.Errorf("output %q would leave its folder", o.Name)
		}
		files = append(files, commit.File{Path: filepath.Join(dir, name), Data: o.Data})
	}
	return files, nil
}

// Inputs are the files that a job is read from: its own, the drawings, lists of
// devices and the font.
func Inputs(j *job.Job) []string {
	inputs := []string{j.File}
	for _, p := range j.Plans {
		for _, name := range []string{p.Drawing, p.Devices} {
			if name != "" {
				inputs = append(inputs, j.Resolve(name))
			}
		}
	}
	if j.Font != "" {
		inputs = append(inputs, j.Resolve(j.Font))
	}
	return inputs
}

// sparesInputs refuses a list of files of which one would replace an input.
func sparesInputs(inputs []string, files []commit.File) error {
	for _, in := range inputs {
		read, err := os.Stat(in)
		if err != nil {
			continue // a built-in font, or a file that vanished since
		}
		for _, f := range files {
			if there, err := os.Stat(f.Path); err == nil && os.SameFile(read, there) {
				return fmt.Errorf("%s is an input of this run and would be overwritten: choose another folder with -o", f.Path)
			}
		}
	}
	return nil
}

// maxName is the longest name of an output, in bytes: file systems allow 255,
// and other programs add to names.
const maxName = 200

// portable makes a file's name one that every system can store, so that a folder
// of results can be handed on: what one of them forbids becomes an underscore.
func portable(name string) string {
	name = strings.ToValidUTF8(name, "_")
	name = strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f || strings.ContainsRune(`<>:"/\|?*`, r) {
			return '_'
		}
		return r
	}, name)
	ext := filepath.Ext(name)
	stem := strings.TrimRight(strings.TrimSuffix(name, ext), ". ")
	if len(stem)+len(ext) > maxName && len(ext) < maxName {
		stem = strings.ToValidUTF8(stem[:maxName-len(ext)], "")
	}
	if stem == "" || reserved(stem) {
		stem = "_" + stem
	}
	return stem + ext
}

// reserved reports whether Windows keeps a name for a device, whatever its ending
// ("Naming Files, Paths, and Namespaces", Windows documentation).
func reserved(stem string) bool {
	s, _, _ := strings.Cut(strings.ToUpper(stem), ".")
	switch s {
	case "CON", "PRN", "AUX", "NUL":
		return true
	}
	return len(s) == 4 && (strings.HasPrefix(s, "COM") || strings.HasPrefix(s, "LPT")) && s[3] >= '1' && s[3] <= '9'
}
