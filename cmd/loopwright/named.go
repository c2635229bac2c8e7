package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"loopwright/takeoff/where"
)

// wanted says what the files are that a command reads: its first argument, and
// those after it. A job file has messages of its own.
var wanted = map[string][2]string{
	"survey":    {"drawing (.dxf)", "drawing (.dxf)"},
	"begin":     {"drawing (.dxf)", "drawing (.dxf)"},
	"compare":   {"drawing (.dxf)", "drawing (.dxf)"},
	"strip":     {"drawing (.dxf)", "drawing (.dxf)"},
	"reconcile": {"", "filled PDF sheet, workbook (.xlsx) or export of the field page (.json)"},
}

// named refuses arguments that name no file, before any work is done: all of
// them at once, with what each should be and the name that is nearest.
func named(cmd *cobra.Command, args []string) error {
	var errs []error
	for i, file := range args {
		what := wanted[cmd.Name()][min(i, 1)]
		if _, reads := wanted[cmd.Name()]; file == "-" && (reads || cmd.Name() == "build" || cmd.Name() == "check") {
			return usageError{fmt.Errorf("%s does not read standard input: name a file instead of -", cmd.Name())}
		}
		if what == "" || cmd.Name() == "compare" && !isDrawing(file) {
			continue
		}
		info, err := os.Stat(file)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			errs = append(errs, where.In(file, fmt.Errorf("no file %s: %s reads a %s%s", file, cmd.Name(), what, fileBeside(file))))
		case err != nil:
			errs = append(errs, err)
		case info.IsDir():
			errs = append(errs, where.In(file, fmt.Errorf("%s is a folder: name each %s in it", file, what)))
		}
	}
	return errors.Join(errs...)
}

func isDrawing(file string) bool { return strings.EqualFold(filepath.Ext(file), ".dxf") }

// fileBeside names the file in the same folder that was probably meant.
func fileBeside(file string) string {
	list, err := os.ReadDir(filepath.Dir(file))
	if err != nil {
		return ""
	}
	var names []string
	for _, e := range list {
		if !e.IsDir() && strings.EqualFold(filepath.Ext(e.Name()), filepath.Ext(file)) {
			names = append(names, e.Name())
		}
	}
	if w := nearest(filepath.Base(file), names); w != "" {
		return "; did you mean " + filepath.Join(filepath.Dir(file), w) + "?"
	}
	return ""
}

// nearest is the one of some words that a word is probably a slip for; "" for none.
func nearest(word string, words []string) string {
	all := &cobra.Command{SuggestionsMinimumDistance: 2} // it knows how to find near names
	for _, w := range slices.Sorted(slices.Values(words)) {
		all.AddCommand(&cobra.Command{Use: strings.ReplaceAll(w, " ", "\x00"), Run: func(*cobra.Command, []string) {}})
	}
	if near := all.SuggestionsFor(strings.ReplaceAll(word, " ", "\x00")); len(near) > 0 {
		return strings.ReplaceAll(near[0], "\x00", " ")
	}
	return ""
}
