package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"
)

// The exit codes, fixed: scripts rely on them.
const (
	exitDone     = 0 // done
	exitFailed   = 1 // failed, and nothing was written
	exitUsage    = 2 // called wrongly
	exitFindings = 3 // done, but a finding of severity error stands
)

// usageError marks an error in how the program was called.
type usageError struct{ error }

func (e usageError) Unwrap() error { return e.error }

// errFindings says that the work is done and a finding of severity error stands.
var errFindings = errors.New("findings of severity error stand")

// app is what every command needs of its surroundings.
type app struct {
	in       io.Reader
	out, err io.Writer
	json     bool
}

// Run is the program: args without its name, results to out, messages to err.
// It returns the exit code.
func Run(args []string, in io.Reader, out, err io.Writer) int {
	a := &app{in: in, out: out, err: err}
	root := a.rootCommand()
	root.SetArgs(args)
	root.SetIn(in)
	root.SetOut(out)
	root.SetErr(err)
	return a.exitCode(root, root.Execute())
}

// exitCode turns the error of a command into an exit code and prints it.
func (a *app) exitCode(root *cobra.Command, err error) int {
	var usage usageError
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errFindings):
		return exitFindings
	case errors.As(err, &usage):
		fmt.Fprintf(a.err, "loopwright: %v\nRun 'loopwright help' to see what it can do.\n", err)
		return exitUsage
	}
	fmt.Fprintf(a.err, "loopwright: %v\n", err)
	return exitFailed
}

func (a *app) rootCommand() *cobra.Command {
	root := &cobra.Command{
		Use:   "loopwright",
		Short: "Fire alarm takeoff, circuits, addresses and switch sheets from DXF floor plans",
		Long: `loopwright reads the devices off DXF floor plans, lays and proves the circuits,
numbers the devices in walking order, and writes the takeoff workbook, the
labeled drawings, the switch-setting sheets and the page for the field.

It is an aid, not an approval: the adopted code, the equipment's listing, the
authority having jurisdiction and licensed practice govern.`,
		SilenceUsage:  true,
		SilenceErrors: true,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return usageError{unknownCommand(cmd, args[0])}
			}
			return cmd.Help()
		},
		Args: cobra.ArbitraryArgs,
	}
	root.SuggestionsMinimumDistance = 2
	root.PersistentFlags().BoolVar(&a.json, "json", false, "write the result as JSON to standard output")
	root.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return usageError{err} })
	root.AddCommand(a.surveyCommand(), a.beginCommand(), a.buildCommand(), a.checkCommand(), a.encodeCommand(), a.demoCommand())
	for _, c := range root.Commands() {
		wrapArgs(c)
	}
	return root
}

// unknownCommand names the nearest command, as a mistyped word usually means one.
func unknownCommand(root *cobra.Command, word string) error {
	if near := root.SuggestionsFor(word); len(near) > 0 {
		return fmt.Errorf("there is no command %q; did you mean %q?", word, near[0])
	}
	return fmt.Errorf("there is no command %q", word)
}

// wrapArgs marks wrong numbers of arguments as wrong usage.
func wrapArgs(c *cobra.Command) {
	check := c.Args
	if check == nil {
		return
	}
	c.Args = func(cmd *cobra.Command, args []string) error {
		if err := check(cmd, args); err != nil {
			return usageError{fmt.Errorf("%w; usage: %s", err, cmd.UseLine())}
		}
		return nil
	}
}
