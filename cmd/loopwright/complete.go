package main

import (
	"github.com/spf13/cobra"

	"loopwright/assign"
)

// fileEnds are the endings of the files that a command's arguments may be: of
// the first, and of those after it.
var fileEnds = map[string][2][]string{
	"survey":    {{"dxf"}, {"dxf"}},
	"begin":     {{"dxf"}, {"dxf"}},
	"build":     {{"yaml", "yml"}, nil},
	"check":     {{"yaml", "yml"}, nil},
	"compare":   {{"yaml", "yml", "dxf"}, {"yaml", "yml", "dxf"}},
	"strip":     {{"dxf"}, nil},
	"reconcile": {{"yaml", "yml"}, {"pdf", "xlsx", "json"}},
}

// complete tells the shell's completion what the arguments and flags of a command are.
func complete(c *cobra.Command) {
	ends, files := fileEnds[c.Name()]
	c.ValidArgsFunction = func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		switch {
		case c.Name() == "demo" && len(args) == 0 || c.Name() == "docs":
			return nil, cobra.ShellCompDirectiveFilterDirs
		case !files || len(args) > 0 && ends[1] == nil:
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		return ends[min(len(args), 1)], cobra.ShellCompDirectiveFilterFileExt
	}
	if out := c.Flags().Lookup("output"); out != nil {
		switch c.Name() {
		case "begin":
			out.Annotations = map[string][]string{cobra.BashCompFilenameExt: {"yaml", "yml"}}
		case "strip":
			out.Annotations = map[string][]string{cobra.BashCompFilenameExt: {"dxf"}}
		default:
			out.Annotations = map[string][]string{cobra.BashCompSubdirsInDir: {}}
		}
	}
	for flag, words := range map[string][]string{
		"scheme": assign.SchemeNames, "first-switch": {"lowest", "highest"}, "on-means": {"1", "0"},
		"units": {"in", "ft", "yd", "mm", "cm", "dm", "m", "km"},
	} {
		if c.Flags().Lookup(flag) == nil {
			continue
		}
		if err := c.RegisterFlagCompletionFunc(flag, cobra.FixedCompletions(words, cobra.ShellCompDirectiveNoFileComp)); err != nil {
			panic(err) // the flag is there, and this is called once
		}
	}
}
