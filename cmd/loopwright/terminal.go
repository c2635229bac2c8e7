package main

import (
	"fmt"
	"io"
	"os"
	"slices"
	"sync"
	"unicode/utf8"

	"golang.org/x/term"
)

// terminal returns the terminal that w writes to, nil if it is none.
func terminal(w io.Writer) *os.File {
	f, ok := w.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return nil
	}
	return f
}

// tidyWriter keeps control characters away from what is written: names and texts
// of drawings stand in it, and a terminal takes some of them as commands. Line
// ends and tabs pass. In JSON they are escaped and nothing is lost, in text a
// question mark stands for each. The first error stays in err.
type tidyWriter struct {
	w        io.Writer
	json     *bool    // whether it is JSON; nil for text
	terminal *os.File // where w is one
	part     []byte   // the beginning of a character whose rest has not come yet
	err      error

	mu    sync.Mutex // a signal may end the program while results are printed
	wrote bool
}

// begun reports whether something was printed.
func (t *tidyWriter) begun() bool {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.wrote
}

func (t *tidyWriter) Write(p []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.wrote = true
	if t.err != nil {
		return 0, t.err
	}
	text := slices.Concat(t.part, p)
	t.part = nil
	out := make([]byte, 0, len(text)+16)
	for len(text) > 0 {
		r, n := utf8.DecodeRune(text)
		if r == utf8.RuneError && n <= 1 && !utf8.FullRune(text) {
			t.part = append([]byte(nil), text...)
			break
		}
		switch {
		case r == utf8.RuneError && n == 1:
			out = append(out, '?')
		case !control(r):
			out = append(out, text[:n]...)
		case t.json != nil && *t.json:
			out = fmt.Appendf(out, `\u%04x`, r)
		default:
			out = append(out, '?')
		}
		text = text[n:]
	}
	if _, err := t.w.Write(out); err != nil {
		t.err = err
		return 0, err
	}
	return len(p), nil
}

// control reports the C0 and C1 control characters (ECMA-48) but line end and
// tab, and those that change the direction of writing (Unicode, UAX 9), which
// make a text read as another one.
func control(r rune) bool {
	switch {
	case r == '\n' || r == '\t':
		return false
	case r < ' ' || r >= 0x7f && r < 0xa0:
		return true
	}
	return r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069
}
