package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"loopwright/cmd/internal/commit"
	"loopwright/cmd/internal/outcome"
	"loopwright/takeoff/where"
	"loopwright/testdata"
)

func (a *app) demoCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "demo [DIR]",
		Short: "Write the built-in demo job to a folder and build it",
		Long: `Writes the demo job, two levels of an invented library, to DIR (default: demo)
and builds it. The job file is commented: read it, change it, build it again.`,
		Example: "  loopwright demo out",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			dir := "demo"
			if len(args) > 0 {
				dir = args[0]
			}
			if err := writeDemo(dir); err != nil {
				return err
			}
			return a.build(filepath.Join(dir, "job.yaml"), dir, outcome.Known{})
		},
	}
}

// writeDemo writes the demo's files into dir, all or none. A file that is there
// already with other content is somebody's work and is not overwritten.
func writeDemo(dir string) error {
	demo, err := fs.Sub(testdata.Demo, "demo")
	if err != nil {
		return err
	}
	var missing []commit.File
	err = fs.WalkDir(demo, ".", func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		data, err := fs.ReadFile(demo, name)
		if err != nil {
			return err
		}
		path := filepath.Join(dir, filepath.FromSlash(name))
		there, err := isThere(path, data)
		if !there {
			missing = append(missing, commit.File{Path: path, Data: data})
		}
		return err
	})
	if err != nil || len(missing) == 0 {
		return err
	}
	s, err := commit.Open(dir)
	if err != nil {
		return err
	}
	defer s.Close()
	return s.Write(missing)
}

// isThere reports whether a file is there with the given content; another
// content is an error.
func isThere(path string, data []byte) (bool, error) {
	old, err := os.ReadFile(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return false, nil
	case err != nil:
		return false, err
	case string(old) != string(data):
		return false, where.In(path, fmt.Errorf("%s already exists and was changed: choose another folder, or build it with 'loopwright build'", path))
	}
	return true, nil
}
