package main

import (
	"runtime/debug"
	"strings"
)

// version tells which source the program was built from, as far as the build
// recorded it.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown"
	}
	parts := []string{strings.Trim(info.Main.Version, "()")}
	for _, s := range info.Settings {
		switch {
		case s.Key == "vcs.revision":
			parts = append(parts, s.Value[:min(12, len(s.Value))])
		case s.Key == "vcs.modified" && s.Value == "true":
			parts = append(parts, "with changes")
		}
	}
	return strings.Join(append(parts, info.GoVersion), ", ")
}
