package main

import (
	"errors"
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"loopwright/cmd/internal/compare"
	"loopwright/cmd/internal/result"
	"loopwright/takeoff"
	"loopwright/takeoff/measure"
)

func (a *app) compareCommand() *cobra.Command {
	var dir, units string
	c := &cobra.Command{
		Use:   "compare OLD NEW",
		Short: "Compare two revisions: what changed, and what it costs",
		Long: `Compares two jobs, or two drawings: which devices were added, removed, moved,
retyped or renumbered, and for jobs what that does to cable, hours and price.
Devices are matched by handle, or else by type and place, even if the whole plan
was moved. Between two drawings every block counts as a type of its own; if a
legend names blocks, only those are compared.

With -o, the list of changes is written as CSV and JSON, with a copy of each new
drawing that has the changes clouded.`,
		Example: "  loopwright compare old.yaml new.yaml -o changes\n  loopwright compare --units in old.dxf new.dxf",
		Args:    cobra.ExactArgs(2),
		RunE:    func(_ *cobra.Command, args []string) error { return a.compare(args[0], args[1], units, dir) },
	}
	c.Flags().StringVar(&units, "units", "", unitsFlag+"; job files give their own")
	c.Flags().StringVarP(&dir, "output", "o", "", "`DIR` for the list of changes and the marked drawings (default: nothing is written)")
	return c
}

func (a *app) compare(oldFile, newFile, units, dir string) error {
	if units != "" {
		u, err := measure.ParseUnit(units)
		if err != nil {
			return usageError{err}
		}
		units = u
	}
	bar := a.progress()
	old, fresh, err := compare.Load(oldFile, newFile, units, bar.step)
	bar.close()
	if errors.Is(err, compare.ErrMixed) {
		return usageError{err}
	}
	if err != nil {
		return err
	}
	r := compare.Compare(old, fresh)
	if dir != "" {
		said, err := r.Write(old, fresh, dir)
		if err != nil {
			return fmt.Errorf("nothing was written: %w", err)
		}
		a.say(said)
	}
	if a.json {
		err = result.WriteJSON(a.out, r)
	} else {
		err = r.WriteText(a.out, fresh.Units())
		if err == nil && dir != "" {
			fmt.Fprintf(a.out, "\nWritten to %s%c: %d files\n", dir, os.PathSeparator, len(r.Outputs))
		}
	}
	if err != nil {
		return err
	}
	for _, f := range r.Findings {
		if f.Severity == takeoff.Error {
			return errFindings
		}
	}
	return nil
}
