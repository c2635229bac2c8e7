package assign

import (
	"strings"
	"testing"
)

func TestExpand(t *testing.T) {
	words := map[string]string{"circuit": "SLC-1", "address": "7", "room": " 101 ", "level": "Level 1"}
	for _, c := range []struct{ pattern, want string }{
		{"{circuit}-{address:3}", "SLC-1-007"},
		{"{address}", "7"},
		{"{room}/{address:2}", "101/07"},
		{"{circuit:3}", "SLC-1"},
		{"{nothing}", "{nothing}"},
		{"plain", "plain"},
	} {
		if got := Expand(c.pattern, words); got != c.want {
			t.Errorf("%s: %q, want %q", c.pattern, got, c.want)
		}
	}
}

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
