package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"strings"
	"syscall"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"loopwright/cmd/internal/commit"
	"loopwright/cmd/internal/program"
	"loopwright/takeoff"
)

// The exit codes, fixed: scripts rely on them.
const (
	exitDone     = 0 // done
	exitFailed   = 1 // failed, and nothing was written
	exitUsage    = 2 // called wrongly
	exitFindings = 3 // done, but a finding of severity error remains
)

// usageError marks an error in how the program was called.
type usageError struct{ error }

func (e usageError) Unwrap() error { return e.error }

// errFindings says that the work is done and a finding of severity error remains.
var errFindings = errors.New("findings of severity error remain")

// app is what every command needs of its surroundings.
type app struct {
	in       io.Reader
	out, err *tidyWriter
	json     bool
	trace    bool
}

func newApp(in io.Reader, out, err io.Writer) *app {
	a := &app{in: in, err: &tidyWriter{w: err, terminal: terminal(err)}}
	a.out = &tidyWriter{w: out, json: &a.json}
	return a
}

// Run is the program: args without its name, results to out, messages to err.
// It returns the exit code.
func Run(args []string, in io.Reader, out, err io.Writer) int {
	a := newApp(in, out, err)
	stop := make(chan os.Signal, 1)
	signal.Notify(stop, os.Interrupt, syscall.SIGTERM)
	defer close(stop)
	defer signal.Stop(stop)
	go a.endOn(stop)
	return a.run(args)
}

func (a *app) run(args []string) (code int) {
	root := a.rootCommand()
	root.SetArgs(args)
	root.SetIn(a.in)
	root.SetOut(a.out)
	root.SetErr(a.err)
	defer func() {
		if r := recover(); r != nil {
			code = a.fault(r)
		}
	}()
	cmd, e := root.ExecuteC()
	if e == nil || errors.Is(e, errFindings) {
		e = errors.Join(a.hint(cmd, e), e)
	}
	if a.out.err != nil {
		e = unheard(a.out.err)
	}
	if errors.As(e, new(usageError)) {
		a.json = a.json || asksJSON(args) // the flag may stand behind the mistake
	}
	return a.exitCode(e)
}

// fault reports a mistake in the program itself as such: the user can do nothing
// about it but tell us, and needs to know that no file was harmed.
func (a *app) fault(r any) int {
	written := "Nothing was written."
	if commit.Abandon() {
		written = "All files were already written."
	}
	fmt.Fprintf(a.err, "loopwright: internal error: %v\n%s Please report it, with the job and drawings if you may share them, and this trace:\n%s\n", r, written, debug.Stack())
	a.tell(fmt.Errorf("internal error: %v. %s Please report it, with the trace on standard error", r, written))
	return exitFailed
}

// unheard says that standard output took no more of the results.
func unheard(err error) error {
	files := ""
	if commit.Wrote() {
		files = "; all files were written"
	}
	return fmt.Errorf("cannot write the report: %w%s", err, files)
}

// exitCode turns the error of a command into an exit code and prints it.
func (a *app) exitCode(err error) int {
	var usage usageError
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, syscall.EPIPE):
		return exitFailed // whoever read the results has gone: nobody is left to tell
	case errors.Is(err, errFindings):
		return exitFindings
	case errors.As(err, &usage):
		fmt.Fprintf(a.err, "loopwright: %v\nRun 'loopwright help' to see what it can do.\n", usage.error)
		a.tell(usage.error)
		return exitUsage
	}
	fmt.Fprintf(a.err, "loopwright: %v\n", err)
	a.tell(err)
	return exitFailed
}

func (a *app) rootCommand() *cobra.Command {
	root := &cobra.Command{
		Use:   "loopwright",
		Short: "Fire alarm takeoff, circuits, addresses and switch sheets from DXF floor plans",
		Long: `loopwright reads the devices off DXF floor plans, lays and proves the circuits,
numbers the devices in walking order, and writes the takeoff workbook, the
labeled drawings, the switch-setting sheets and the page for the field.

` + takeoff.Caution + `

Exit status: 0 done, 1 failed and nothing written, 2 called wrongly, 3 done but
a finding of severity error remains.`,
		Example: `  loopwright demo out
  loopwright survey plan.dxf
  loopwright begin plan.dxf -o job.yaml
  loopwright build job.yaml -o out`,
		SilenceUsage:  true,
		SilenceErrors: true,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return usageError{unknownCommand(cmd, args[0])}
			}
			return cmd.Help()
		},
		Args:    cobra.ArbitraryArgs,
		Version: program.Version(),
		PersistentPreRunE: func(cmd *cobra.Command, args []string) error {
			if err := named(cmd, args); err != nil {
				return err
			}
			return a.settle(cmd, args)
		},
	}
	root.SuggestionsMinimumDistance = 2
	cobra.EnableCommandSorting = false // the order of work is the one to read them in
	root.PersistentFlags().BoolVar(&a.json, "json", false, "write the result, or the error, as JSON to standard output")
	root.PersistentFlags().BoolVar(&a.trace, "trace", false, "write the time and memory of every stage to standard error")
	root.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error { return usageError{nearFlag(cmd, err)} })
	root.SetHelpCommand(helpCommand(root))
	root.AddCommand(a.surveyCommand(), a.beginCommand(), a.buildCommand(), a.checkCommand(), a.compareCommand(), a.reconcileCommand(), a.encodeCommand(), a.demoCommand(), a.stripCommand())
	root.AddCommand(a.docsCommand())
	for _, c := range root.Commands() {
		wrapArgs(c)
		complete(c)
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

// nearFlag names the nearest flag beside an unknown one.
func nearFlag(cmd *cobra.Command, err error) error {
	var unknown *pflag.NotExistError
	if !errors.As(err, &unknown) {
		return err
	}
	var names []string
	cmd.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
	if near := nearest(unknown.GetSpecifiedName(), names); near != "" && len(unknown.GetSpecifiedName()) > 1 {
		return fmt.Errorf("%w; did you mean --%s?", err, near)
	}
	return fmt.Errorf("%w; 'loopwright %s --help' lists those there are", err, cmd.Name())
}

// helpCommand is cobra's, except that an unknown topic is wrong usage.
func helpCommand(root *cobra.Command) *cobra.Command {
	return &cobra.Command{
		Use:   "help [COMMAND]",
		Short: "Explain the program or one of its commands",
		RunE: func(_ *cobra.Command, args []string) error {
			c, rest, err := root.Find(args)
			if err != nil || len(rest) > 0 {
				return usageError{unknownCommand(root, args[0])}
			}
			c.InitDefaultHelpFlag()
			return c.Help()
		},
	}
}

// wrapArgs marks wrong numbers of arguments as wrong usage.
func wrapArgs(c *cobra.Command) {
	check := c.Args
	if check == nil {
		return
	}
	c.Args = func(cmd *cobra.Command, args []string) error {
		if err := check(cmd, args); err != nil {
			example, _, _ := strings.Cut(strings.TrimSpace(cmd.Example), "\n")
			return usageError{fmt.Errorf("%w; for example: %s", err, example)}
		}
		return nil
	}
}
