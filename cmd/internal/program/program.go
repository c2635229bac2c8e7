// Package program says which program this is, as far as its build recorded it.
package program

import (
	"cmp"
	"runtime/debug"
	"strings"
)

// Name is the program with its version, as every deliverable names it. One build
// always gives the same.
func Name() string { return "loopwright " + source() }

// Version is the version with what it was compiled by, for people who report a fault.
func Version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return source()
	}
	return source() + ", " + info.GoVersion
}

// source tells which source the program was built from: the version that the build
// stamped, or else the revision.
func source() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown"
	}
	var parts []string
	parts = append(parts, cmp.Or(strings.Trim(info.Main.Version, "()"), "devel"))
	for _, s := range info.Settings {
		switch {
		case s.Key == "vcs.revision":
			parts = append(parts, s.Value[:min(12, len(s.Value))])
		case s.Key == "vcs.modified" && s.Value == "true":
			parts = append(parts, "with changes")
		}
	}
	return strings.Join(parts, ", ")
}
