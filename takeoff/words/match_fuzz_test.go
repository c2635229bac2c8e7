package words

import (
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"
)

// FuzzWildcard holds patterns against regular expressions that say the same.
func FuzzWildcard(f *testing.F) {
	for _, s := range [][2]string{
		{"*SMK*", "FA-SMK-1"}, {"SMK?", "smk1"}, {"", ""}, {"*", ""}, {"?", ""}, {"a*b*c", "abcbc"}, {"**", "x"}, {"*É?", "àéx"}, {"[a]", "[A]"}, {"*U12", "*u12"}, {"\xff*", "\xffx"},
	} {
		f.Add(s[0], s[1])
	}
	f.Fuzz(func(t *testing.T, pattern, name string) {
		if !utf8.ValidString(pattern) || !utf8.ValidString(name) || len(pattern) > 200 {
			Wildcard(pattern, name) // must end
			return
		}
		quoted := regexp.QuoteMeta(strings.ToUpper(pattern))
		quoted = strings.NewReplacer(`\*`, `.*`, `\?`, `.`).Replace(quoted)
		re, err := regexp.Compile(`(?s)\A` + quoted + `\z`)
		if err != nil {
			return
		}
		if want, got := re.MatchString(strings.ToUpper(name)), Wildcard(pattern, name); got != want {
			t.Errorf("pattern %q on %q: %v, want %v", pattern, name, got, want)
		}
		if !Wildcard("*", name) || !Wildcard(name+"*", name) || !strings.ContainsAny(name, "*?") && !Wildcard(name, name) {
			t.Errorf("%q does not fit itself", name)
		}
	})
}
