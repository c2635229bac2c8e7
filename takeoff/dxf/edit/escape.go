package edit

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// escapeLine writes plain text as the value of a TEXT or ATTRIB: %% starts a
// code there, ^ a control character and \U+ a Unicode escape, so a literal
// one of each is spelled out.
func escapeLine(s string) string {
	s = strings.ReplaceAll(s, "^", "^ ")
	if strings.Contains(s, "%%") {
		s = escapePercents(s)
	}
	return escapeUnicodeEscapes(s)
}

// escapePercents triples each percent sign of a run of two or more: %%% is
// how one percent sign is written where it would start a code.
func escapePercents(s string) string {
	var b strings.Builder
	for i := 0; i < len(s); {
		n := i
		for n < len(s) && s[n] == '%' {
			n++
		}
		if run := n - i; run >= 2 {
			b.WriteString(strings.Repeat("%%%", run))
			i = n
			continue
		}
		b.WriteByte(s[i])
		i++
	}
	return b.String()
}

func escapeUnicodeEscapes(s string) string {
	for _, p := range []string{"U+", "u+", "M+", "m+"} {
		s = strings.ReplaceAll(s, `\`+p, `\U+005C`+p)
	}
	return s
}

// checkPlain refuses what cannot stand in a string of a drawing.
func checkPlain(s, what string) error {
	if !utf8.ValidString(s) {
		return fmt.Errorf("%s %q is not valid UTF-8", what, s)
	}
	for _, r := range s {
		if r < ' ' || r >= 0x7F && r < 0xA0 || r == 0x2028 || r == 0x2029 {
			return fmt.Errorf("%s %q contains the control character %U", what, s, r)
		}
	}
	return nil
}
