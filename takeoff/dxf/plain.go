package dxf

import (
	"strings"
	"unicode/utf8"
)

// plainText resolves the codes of a TEXT or attribute value: %%d, %%p and %%c
// are the signs for degree, plus-minus and diameter, %%nnn is a character by
// number, %%% is a percent sign, %%u, %%o and %%k only switch lines on and off.
// Caret codes are resolved too.
func plainText(s string) string {
	s = decodeCaret(s)
	if !strings.Contains(s, "%%") {
		return s
	}
	var out strings.Builder
	for i := 0; i < len(s); {
		if s[i] != '%' || i+2 >= len(s) || s[i+1] != '%' {
			out.WriteByte(s[i])
			i++
			continue
		}
		text, n := lineCode(s[i+2:])
		out.WriteString(text)
		i += 2 + n
	}
	return out.String()
}

// lineCode reads what follows %% in a TEXT and tells how long it is.
func lineCode(s string) (text string, n int) {
	switch s[0] {
	case 'u', 'U', 'o', 'O', 'k', 'K':
		return "", 1
	case '%':
		return "%", 1
	}
	return signCode(s)
}

// signCode reads those codes after %% that mean the same in TEXT and MTEXT; what
// is none of them stays.
func signCode(s string) (text string, n int) {
	switch s[0] {
	case 'd', 'D':
		return "°", 1
	case 'p', 'P':
		return "±", 1
	case 'c', 'C':
		return "Ø", 1
	}
	v := 0
	for n < len(s) && n < 3 && s[n]-'0' <= 9 {
		v = v*10 + int(s[n]-'0')
		n++
	}
	if n == 3 && v > 0 && v < 256 {
		return string(rune(v)), 3
	}
	return "%%", 0
}

// plainMText resolves the inline codes of an MTEXT: formatting is dropped, \P
// and \N are line ends, \~ a space that does not break, stacks (\S) become
// upper/lower, escaped signs stand for themselves. Of the %% codes only the signs
// and character numbers exist here; the switches for lines do not.
func plainMText(s string) string {
	s = decodeCaret(s)
	if !strings.ContainsAny(s, `\{}%`) {
		return s
	}
	var out strings.Builder
	for i := 0; i < len(s); {
		switch c := s[i]; c {
		case '{', '}':
			i++
		case '%':
			if strings.HasPrefix(s[i:], "%%") && i+2 < len(s) {
				text, n := signCode(s[i+2:])
				out.WriteString(text)
				i += 2 + n
				continue
			}
			out.WriteByte(c)
			i++
		case '\\':
			i += inlineCode(s[i+1:], &out) + 1
		default:
			out.WriteByte(c)
			i++
		}
	}
	return out.String()
}

// inlineCode handles what follows a backslash and returns how much it took. DXF
// reference, MTEXT, and the format codes for multiline text in the user guide.
func inlineCode(s string, out *strings.Builder) int {
	if s == "" {
		out.WriteByte('\\')
		return 0
	}
	switch s[0] {
	case 'P', 'N', 'X':
		out.WriteByte('\n')
		return 1
	case '~':
		out.WriteRune('\u00a0')
		return 1
	case '\\', '{', '}':
		out.WriteByte(s[0])
		return 1
	case 'L', 'l', 'O', 'o', 'K', 'k':
		return 1
	case 'S':
		return 1 + stack(s[1:], out)
	case 'A', 'C', 'c', 'f', 'F', 'H', 'Q', 'T', 'W', 'p':
		if end := strings.IndexByte(s, ';'); end >= 0 {
			return end + 1
		}
		return argument(s)
	}
	out.WriteByte('\\')
	_, n := utf8.DecodeRuneInString(s)
	out.WriteString(s[:n])
	return n
}

// argument skips a code whose closing semicolon is missing: its letter and the
// number after it.
func argument(s string) int {
	n := 1
	for n < len(s) && (s[n]-'0' <= 9 || s[n] == '.' || s[n] == '-' || s[n] == 'x') {
		n++
	}
	return n
}

// stack writes a stacked fraction: the divider ^, / or # stays between the parts.
func stack(s string, out *strings.Builder) int {
	for i := 0; i < len(s); i++ {
		switch s[i] {
		case ';':
			return i + 1
		case '\\':
			if i+1 < len(s) {
				i++
				out.WriteByte(s[i])
			}
		default:
			out.WriteByte(s[i])
		}
	}
	return len(s)
}

// decodeCaret resolves caret codes of text content: ^ and a character stand for
// the character 64 places before it, so ^I is a tab and ^J a line end (^M too,
// here); "^ " is a caret and ^? (delete) is nothing.
func decodeCaret(s string) string {
	if strings.IndexByte(s, '^') < 0 {
		return s
	}
	var out strings.Builder
	for i := 0; i < len(s); i++ {
		if s[i] != '^' || i+1 == len(s) {
			out.WriteByte(s[i])
			continue
		}
		i++
		switch c := s[i]; {
		case c == ' ':
			out.WriteByte('^')
		case c == 'I':
			out.WriteByte('\t')
		case c == 'J' || c == 'M':
			out.WriteByte('\n')
		case c == '?':
		case c >= '@' && c < 0x80:
			out.WriteByte(c - '@')
		default:
			out.WriteByte('^')
			out.WriteByte(c)
		}
	}
	return out.String()
}
