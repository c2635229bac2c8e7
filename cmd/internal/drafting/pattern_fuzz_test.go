package drafting

import (
	"strings"
	"testing"
)

// FuzzExpand: placeholders are filled, and nothing else of a pattern changes.
func FuzzExpand(f *testing.F) {
	for _, s := range [][2]string{
		{"{circuit}-{address:3}", "7"}, {"{address:9}", "-1"}, {"{address:99999999999999999999}", "1"}, {"{{address}}", "x"}, {"{address", ""}, {"plain", "1"}, {"{address:}", "1"}, {"$1{address}", "$0"}, {"{address:999999999}", "1"},
	} {
		f.Add(s[0], s[1])
	}
	f.Fuzz(func(t *testing.T, pattern, value string) {
		got := Expand(pattern, map[string]string{"address": value, "circuit": "SLC-1"})
		if !strings.ContainsAny(pattern, "{}") && got != pattern {
			t.Errorf("%q became %q", pattern, got)
		}
		if pattern == "{address}" && got != strings.TrimSpace(value) && !strings.ContainsAny(value, "0123456789") {
			t.Errorf("%q became %q", value, got)
		}
		if len(got) > len(pattern)+(len(value)+100)*strings.Count(pattern, "{") {
			t.Errorf("%q became %d bytes", pattern, len(got))
		}
	})
}
