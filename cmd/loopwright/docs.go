package main

import (
	"bytes"
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"loopwright/assign"
	"loopwright/assign/sheet"
	"loopwright/cmd/internal/commit"
	"loopwright/cmd/internal/compare"
	"loopwright/cmd/internal/drafting"
	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/reconcile"
	"loopwright/cmd/internal/result"
	"loopwright/route"
	"loopwright/takeoff"
)

// docsCommand writes the reference of the command line, made from the commands
// themselves, and that of the job file, made from the table that reads it. The
// package that cobra has for commands needs three more modules.
func (a *app) docsCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "docs DIR",
		Short:   "Write the manual with every finding, and a job file with every key explained",
		Example: "  loopwright docs manual",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := commit.Open(args[0])
			if err != nil {
				return err
			}
			defer s.Close()
			var md, man bytes.Buffer
			writeMarkdown(&md, cmd.Root())
			writeCodes(&md)
			writeMan(&man, cmd.Root())
			files := []commit.File{
				{Path: filepath.Join(args[0], "loopwright.md"), Data: md.Bytes()},
				{Path: filepath.Join(args[0], "loopwright.1"), Data: man.Bytes()},
				{Path: filepath.Join(args[0], "every-key.yaml"), Data: []byte(job.Reference())},
			}
			if err := s.Write(files); err != nil || !a.json {
				return err
			}
			var wrote struct {
				Outputs []string `json:"outputs"`
			}
			for _, f := range files {
				wrote.Outputs = append(wrote.Outputs, filepath.Base(f.Path))
			}
			return result.WriteJSON(a.out, wrote)
		},
	}
}

// documented lists the commands that people use, in the order of the help.
func documented(root *cobra.Command) []*cobra.Command {
	var cs []*cobra.Command
	for _, c := range root.Commands() {
		if !c.Hidden && c.Name() != "help" && c.Name() != "completion" {
			cs = append(cs, c)
		}
	}
	return cs
}

// about is a command's long text, or its short one.
func about(c *cobra.Command) string {
	if c.Long != "" {
		return c.Long
	}
	return c.Short + "."
}

func writeMarkdown(b *bytes.Buffer, root *cobra.Command) {
	fmt.Fprintf(b, "# loopwright\n\n%s\n\n", about(root))
	fmt.Fprintf(b, "Flags of every command:\n\n%s\n", flagList(root.PersistentFlags(), "- `%s` %s\n"))
	for _, c := range documented(root) {
		fmt.Fprintf(b, "## %s\n\n    %s\n\n%s\n\n", c.Name(), c.UseLine(), about(c))
		if flags := flagList(c.NonInheritedFlags(), "- `%s` %s\n"); flags != "" {
			fmt.Fprintf(b, "%s\n", flags)
		}
		if c.Example != "" {
			fmt.Fprintf(b, "Example:\n\n    %s\n\n", strings.ReplaceAll(strings.TrimSpace(c.Example), "\n  ", "\n    "))
		}
	}
}

// codes are the findings that any command can report, in the order of their numbers.
func codes() []takeoff.Code {
	all := slices.Concat(job.Codes(), takeoff.Codes(), route.Codes(), outcome.Codes(), assign.Codes(), sheet.Codes(), drafting.Codes(), compare.Codes(), reconcile.Codes())
	slices.SortFunc(all, func(a, b takeoff.Code) int { return cmp.Compare(a.Code, b.Code) })
	return all
}

func writeCodes(b *bytes.Buffer) {
	b.WriteString("## Findings\n\nWhat a person must know is a finding: its code, how grave it is (note, warning or error), the place, and what to do.\n\n" +
		"| code | what it tells | what to do |\n|---|---|---|\n")
	for _, c := range codes() {
		fmt.Fprintf(b, "| %s | %s | %s |\n", c.Code, c.Meaning, c.Remedy)
	}
}

// flagList writes flags in a format for name and meaning.
func flagList(fs *pflag.FlagSet, format string) string {
	var b strings.Builder
	fs.VisitAll(func(f *pflag.Flag) {
		if f.Hidden || f.Name == "help" || f.Name == "version" {
			return
		}
		value, usage := pflag.UnquoteUsage(f)
		name := strings.TrimSpace("--" + f.Name + " " + value)
		if f.Shorthand != "" {
			name = "-" + f.Shorthand + ", " + name
		}
		if f.DefValue != "" && f.DefValue != "false" && f.DefValue != "0" {
			usage += " (default " + f.DefValue + ")"
		}
		fmt.Fprintf(&b, format, name, usage)
	})
	return b.String()
}

// writeMan writes a manual page in the man macros (man-pages(7)).
func writeMan(b *bytes.Buffer, root *cobra.Command) {
	fmt.Fprintf(b, ".TH LOOPWRIGHT 1\n.SH NAME\nloopwright \\- %s\n.SH SYNOPSIS\n.B loopwright\nCOMMAND [FLAGS] [ARGUMENTS]\n", roff(root.Short))
	fmt.Fprintf(b, ".SH DESCRIPTION\n%s\n.SH OPTIONS\n%s.SH COMMANDS\n", roff(about(root)), manFlags(root.PersistentFlags()))
	for _, c := range documented(root) {
		fmt.Fprintf(b, ".SS %s\n.B %s\n.PP\n%s\n%s", c.Name(), roff(c.UseLine()), roff(about(c)), manFlags(c.NonInheritedFlags()))
		if c.Example != "" {
			fmt.Fprintf(b, ".PP\n.nf\n%s\n.fi\n", roff(strings.TrimSpace(c.Example)))
		}
	}
	b.WriteString(".SH FINDINGS\n")
	for _, c := range codes() {
		fmt.Fprintf(b, ".TP\n.B %s\n%s. %s.\n", c.Code, roff(sentence(c.Meaning)), roff(sentence(c.Remedy)))
	}
	fmt.Fprintf(b, ".SH EXIT STATUS\n.TP\n.B %d\ndone\n.TP\n.B %d\nfailed, and nothing was written\n.TP\n.B %d\ncalled wrongly\n.TP\n.B %d\ndone, but a finding of severity error remains\n",
		exitDone, exitFailed, exitUsage, exitFindings)
}

// sentence begins a text with a capital letter.
func sentence(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

func manFlags(fs *pflag.FlagSet) string {
	var b strings.Builder
	for line := range strings.Lines(flagList(fs, "%s\x00%s\n")) {
		name, usage, _ := strings.Cut(strings.TrimSpace(line), "\x00")
		fmt.Fprintf(&b, ".TP\n.B %s\n%s\n", roff(name), roff(usage))
	}
	return b.String()
}

// roff escapes text: backslashes, dashes that are to be copied, and lines that
// would be taken as requests. An empty line begins a paragraph.
func roff(s string) string {
	s = strings.NewReplacer(`\`, `\e`, "-", `\-`).Replace(s)
	lines := strings.Split(s, "\n")
	for i, l := range lines {
		switch {
		case l == "":
			lines[i] = ".PP"
		case l[0] == '.' || l[0] == '\'':
			lines[i] = `\&` + l
		}
	}
	return strings.Join(lines, "\n")
}
