package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"loopwright/cmd/internal/begin"
	"loopwright/cmd/internal/result"
)

func (a *app) beginCommand() *cobra.Command {
	out := "job.yaml"
	c := &cobra.Command{
		Use:   "begin DRAWING... -o job.yaml",
		Short: "Write a commented job file with proposals, ready to be edited",
		Long: `Reads the drawings and drafts a job file: levels, units, walls, parts to
ignore, device types from the legend and the names of blocks, panel and risers.
Every proposal gives its reason. What you must settle before the job can be built
or trusted, units above all, is listed at the end. An existing job file is never
overwritten.`,
		Example: "  loopwright begin level-1.dxf level-2.dxf -o job.yaml",
		Args:    cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			open, err := begin.Write(out, args)
			if err != nil {
				return err
			}
			if a.json {
				return result.WriteJSON(a.out, struct {
					Outputs []string `json:"outputs"`
					Open    []string `json:"open,omitempty"`
				}{[]string{out}, open})
			}
			for _, o := range open {
				fmt.Fprintf(a.err, "to settle: %s\n", o)
			}
			_, err = fmt.Fprintf(a.out, "Written to %s: read it, correct it, then run: loopwright build %s\n", out, shellWords(out))
			return err
		},
	}
	c.Flags().StringVarP(&out, "output", "o", out, "the job `FILE` to write")
	return c
}
