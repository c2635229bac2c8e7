package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

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
			return a.build(filepath.Join(dir, "job.yaml"), dir)
		},
	}
}

// writeDemo writes the demo's files into dir. A file that is there already with
// other content is somebody's work and is not overwritten.
func writeDemo(dir string) error {
	files, err := fs.Sub(testdata.Demo, "demo")
	if err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	return fs.WalkDir(files, ".", func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		data, err := fs.ReadFile(files, name)
		if err != nil {
			return err
		}
		return writeNew(filepath.Join(dir, name), data)
	})
}

// writeNew writes a file that is not there yet, or is there with the same content.
func writeNew(path string, data []byte) error {
	old, err := os.ReadFile(path)
	switch {
	case err == nil && string(old) == string(data):
		return nil
	case err == nil:
		return fmt.Errorf("%s is there already and was changed: choose another folder, or build it with 'loopwright build'", path)
	case !errors.Is(err, fs.ErrNotExist):
		return err
	}
	return os.WriteFile(path, data, 0o666)
}
