package main

import (
	"path/filepath"

	"github.com/spf13/cobra"

	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/reconcile"
	"loopwright/cmd/internal/result"
)

func (a *app) reconcileCommand() *cobra.Command {
	var dir string
	c := &cobra.Command{
		Use:   "reconcile JOB FILE...",
		Short: "Read what came back from site and write the as-built state",
		Long: `Reads filled PDF sheets, the workbook with its last columns filled in, and
exports of the field page, in any number and mix, and checks them against the
job. Writes the as-built state to the ledger, the found addresses on a layer of
their own in copies of the drawings, the workbook with what was found, and
differences.csv, readings.csv and reconcile.json. Nothing reported is lost: a
contradiction is a finding, and both values are kept.`,
		Example: `  loopwright reconcile job.yaml field-saltmarsh.json
  loopwright reconcile job.yaml switch-sheets.pdf test-sheet.pdf takeoff.xlsx -o as-built`,
		Args: cobra.MinimumNArgs(2),
		RunE: func(_ *cobra.Command, args []string) error {
			if dir == "" {
				dir = filepath.Join(filepath.Dir(args[0]), "as-built")
			}
			return a.reconcile(args[0], args[1:], dir)
		},
	}
	c.Flags().StringVarP(&dir, "output", "o", "", "`DIR` for what is written (default: as-built beside the job file)")
	return c
}

func (a *app) reconcile(file string, files []string, dir string) error {
	j, err := job.Load(file)
	if err != nil {
		return err
	}
	bar := a.progress()
	r, err := reconcile.Run(j, files, dir, bar.step)
	bar.close()
	if err != nil {
		return err
	}
	a.say(r.Kept)
	if a.json {
		err = result.WriteJSON(a.out, r)
	} else {
		err = reconcile.WriteText(a.out, r, dir)
	}
	if err != nil {
		return err
	}
	if r.Standing() {
		return errFindings
	}
	return nil
}
