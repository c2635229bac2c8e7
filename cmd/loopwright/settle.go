package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"loopwright/cmd/internal/commit"
	"loopwright/takeoff/where"
)

// settle finishes or takes back what an interrupted run has left of a job,
// before a command looks at it, and says so.
func (a *app) settle(cmd *cobra.Command, args []string) error {
	job, dir := jobOf(cmd, args)
	if job == "" {
		return nil
	}
	if strings.EqualFold(filepath.Ext(job), ".dxf") {
		return usageError{where.In(job, fmt.Errorf("%s is a drawing, but %s needs a job file; draft one: loopwright begin %s -o job.yaml", job, cmd.Name(), shellWords(job)))}
	}
	if info, err := os.Stat(job); err == nil && !info.Mode().IsRegular() && !info.IsDir() {
		return usageError{where.In(job, fmt.Errorf("%s is not a file: save the job to a file next to its drawings and ledger", job))}
	}
	said, err := commit.Recover(dir, strings.TrimSuffix(job, filepath.Ext(job))+".ledger.csv", strings.TrimSuffix(job, filepath.Ext(job))+".ledger.before.csv")
	for _, s := range said {
		fmt.Fprintln(a.err, "loopwright: "+s)
	}
	return err
}

// jobOf returns the job file that a command works on and the folder that it
// writes into or that its results are in; "" if it works on none.
func jobOf(cmd *cobra.Command, args []string) (job, dir string) {
	switch cmd.Name() {
	case "demo":
		dir = "demo"
		if len(args) > 0 {
			dir = args[0]
		}
		return filepath.Join(dir, "job.yaml"), dir
	case "build", "check", "reconcile":
		job = args[0]
	default:
		return "", ""
	}
	if f := cmd.Flags().Lookup("output"); f != nil && f.Value.String() != "" {
		return job, f.Value.String()
	}
	if cmd.Name() == "reconcile" {
		return job, filepath.Join(filepath.Dir(job), "as-built")
	}
	return job, filepath.Join(filepath.Dir(job), "out")
}
