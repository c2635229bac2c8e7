package main

import (
	"fmt"
	"path/filepath"
	"runtime"
	"strings"

	"github.com/spf13/cobra"
)

// hint prints what one usually does after a command, below its text. Programs
// that read JSON need none.
func (a *app) hint(cmd *cobra.Command, outcome error) error {
	if a.json || cmd.Flags().Changed("help") {
		return nil
	}
	args := cmd.Flags().Args()
	job, dir := "", ""
	if len(args) > 0 || cmd.Name() == "demo" {
		job, dir = jobOf(cmd, args)
	}
	var next string
	switch {
	case len(args) == 0 && cmd.Name() != "demo":
		return nil
	case cmd.Name() == "survey":
		next = "loopwright begin " + shellWords(args...) + " -o job.yaml     drafts the job file"
	case outcome != nil && job != "":
		next = "settle the findings of severity error above, in the drawing or in " + shellWords(job) + ", then run again"
	case cmd.Name() == "check":
		next = "loopwright build " + shellWords(job) + " -o " + shellWords(dir) + "     writes everything"
	case cmd.Name() == "build" || cmd.Name() == "demo":
		next = "read the findings above and open " + shellWords(filepath.Join(dir, "takeoff.xlsx")) + "; to change anything edit " + shellWords(job) +
			" and run\n      loopwright build " + shellWords(job) + " -o " + shellWords(dir)
	default:
		return nil
	}
	_, err := fmt.Fprintf(a.out, "\nnext: %s\n", next)
	return err
}

// shellWords writes words as they are typed on a command line.
func shellWords(words ...string) string {
	var out []string
	for _, w := range words {
		if w == "" || strings.ContainsAny(w, " \t\n\"'`$&|;<>()[]{}*?!#~\\^%") && !(runtime.GOOS == "windows" && !strings.ContainsAny(w, " \t&|<>^%()")) {
			if runtime.GOOS == "windows" {
				w = `"` + w + `"`
			} else {
				w = "'" + strings.ReplaceAll(w, "'", `'\''`) + "'"
			}
		}
		out = append(out, w)
	}
	return strings.Join(out, " ")
}
