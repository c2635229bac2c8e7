package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"loopwright/cmd/internal/build"
	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/result"
	"loopwright/takeoff"
)

func (a *app) buildCommand() *cobra.Command {
	var dir string
	var known outcome.Known
	c := &cobra.Command{
		Use:   "build JOB",
		Short: "Run the whole job and write every deliverable",
		Long: `Runs the whole job: counts the devices, lays and proves the circuits, assigns the
addresses, and writes the workbook, labeled drawings, sheets, lists and field
page: all of them or none. The ledger beside the job file keeps the addresses; if it
has lost some, or nearly all would be new, nothing is written until you restore it or
give them up with --forget and their number.
Drawings and job file are never changed; a file in the folder that you edited is
kept under another name.`,
		Example: "  loopwright build job.yaml -o out",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if dir == "" {
				dir = filepath.Join(filepath.Dir(args[0]), "out")
			}
			return a.build(args[0], dir, known)
		},
	}
	c.Flags().StringVarP(&dir, "output", "o", "", "`DIR` for the deliverables (default: out beside the job file)")
	c.Flags().IntVar(&known.Forget, "forget", 0, "give up `N` addresses that the ledger has lost; the message that asks for it names the number")
	c.Flags().StringVar(&known.Since, "since", "", "also write print-again/: switch sheets and labels of what has changed since an earlier `LEDGER`")
	return c
}

func (a *app) build(file, dir string, known outcome.Known) error {
	if known.Forget < 0 {
		return usageError{fmt.Errorf("--forget %d: want the number of addresses to give up", known.Forget)}
	}
	j, err := job.Load(file)
	if err != nil {
		return err
	}
	boundMemory(j)
	bar := a.progress()
	r, err := build.Run(j, dir, known, bar.step)
	bar.close()
	if err != nil {
		return err
	}
	if known.Since != "" && !slices.ContainsFunc(r.Outputs, func(f string) bool { return strings.HasPrefix(f, "print-again/") }) {
		a.say([]string{"nothing on the sheets and labels has changed since " + known.Since + ": there is nothing to print again"})
	}
	return a.report(j, r, dir)
}

// report prints a result: as JSON, or as a short text.
func (a *app) report(j *job.Job, r result.Result, dir string) error {
	for _, line := range r.Since {
		fmt.Fprintln(a.err, "since the last run: "+line)
	}
	a.say(r.Kept)
	if a.json {
		if err := result.WriteJSON(a.out, r); err != nil {
			return err
		}
	} else if err := result.WriteText(a.out, r, j.Report); err != nil {
		return err
	}
	if dir != "" && !a.json {
		fmt.Fprintf(a.out, "\nWritten to %s%c: %d files\n", dir, os.PathSeparator, len(r.Outputs))
	}
	return standing(r)
}

// say writes messages to standard error.
func (a *app) say(lines []string) {
	for _, line := range lines {
		fmt.Fprintln(a.err, "loopwright: "+line)
	}
}

// standing returns errFindings if a finding of severity error remains.
func standing(r result.Result) error {
	for _, f := range r.Findings {
		if f.Severity == takeoff.Error {
			return errFindings
		}
	}
	return nil
}

func (a *app) checkCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "check JOB",
		Short: "Run the whole job and report its findings; nothing is written",
		Long: `Does everything build does except write files: prints counts, circuits and
findings. The exit status is 3 if a finding of severity error remains.`,
		Example: "  loopwright check job.yaml",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			j, err := job.Load(args[0])
			if err != nil {
				return err
			}
			bar := a.progress()
			o, err := outcome.Compute(j, bar.step)
			bar.close()
			if err != nil {
				return err
			}
			return a.report(j, result.Of(o, nil), "")
		},
	}
}
