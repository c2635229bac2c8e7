package begin

import (
	"testing"
	"unicode/utf8"

	"github.com/goccy/go-yaml"

	"loopwright/cmd/internal/job"
)

// FuzzNames: a name of a drawing comes back as it was from the job file that is
// drafted, as the value and within a list of rules.
func FuzzNames(f *testing.F) {
	for _, s := range []string{"SMK", "*U12", "no", "1e3", "a: b", "x # y", "\"q\"", "'", "Étage 1", "\t", "a\nb", "\u0085", "\u2028x", "{a}", "- x", "0x1f", "~", "null", "2026-01-01", "\\N", "12:30", "=", "<<", "a ", " a", "\x00", "\ufeff"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, name string) {
		if !utf8.ValidString(name) {
			return // drawings are decoded before
		}
		for _, write := range []func(string) string{quoted, job.Quote} {
			var got struct {
				Name string              `yaml:"name"`
				List []map[string]string `yaml:"list"`
			}
			text := "name: " + write(name) + "\nlist: [{block: " + write(name) + "}]\n"
			if err := yaml.Unmarshal([]byte(text), &got); err != nil {
				t.Fatalf("%q is refused: %v\n%s", name, err, text)
			}
			if got.Name != name || len(got.List) != 1 || got.List[0]["block"] != name {
				t.Errorf("%q came back %q, %q\n%s", name, got.Name, got.List, text)
			}
		}
	})
}
