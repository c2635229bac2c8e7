package begin

import (
	"testing"

	"github.com/goccy/go-yaml"
	"pgregory.net/rapid"

	"loopwright/cmd/internal/job"
)

// oddNames are names that a YAML reader would take for something else if they
// stood in a draft without quotes, or that would end a line or a value there.
var oddNames = []string{"", " ", "NO", "on", "Y", "~", "null", "1e3", "0x1F", "010", "12:30", ".inf", "NaN", "=", "<<", "-", "- x", "Level #1", "a: b",
	"E-FIRE*", "O'BRIEN", `3/4" PIPE`, "tab\there", "two\nlines", "bell\a", "\u2028", "ÉTAGE 1", "A ", "{kind}", "[1, 2]", "!x", "&x", "%x", "@x", "`x`"}

// Whatever a block, layer, level or project is called, a reader of YAML finds
// that name in the draft.
func TestNamesSurviveTheDraft(t *testing.T) {
	reads := func(t rapid.TB, s string) {
		for _, written := range []string{job.Quote(s), quoted(s)} {
			var v struct{ V any }
			if err := yaml.Unmarshal([]byte("v: "+written+"\n"), &v); err != nil {
				t.Fatalf("%q is written %s: %v", s, written, err)
			}
			if v.V != any(s) {
				t.Fatalf("%q is written %s and read as %v (%T)", s, written, v.V, v.V)
			}
		}
	}
	for _, s := range oddNames {
		reads(t, s)
	}
	rapid.Check(t, func(t *rapid.T) {
		reads(t, rapid.OneOf(rapid.String(), rapid.StringMatching(`[A-Za-z0-9 ._/#:-]{0,12}`)).Draw(t, "name"))
	})
}
