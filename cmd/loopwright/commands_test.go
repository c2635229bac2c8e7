package main

import (
	"io"
	"strings"
	"testing"

	"github.com/spf13/cobra"
)

// TestEveryCommandIsExplained holds the help of every command to the same form.
func TestEveryCommandIsExplained(t *testing.T) {
	a := newApp(strings.NewReader(""), io.Discard, io.Discard)
	for _, c := range documented(a.rootCommand()) {
		if c.Short == "" || strings.HasSuffix(c.Short, ".") {
			t.Errorf("%s: its short text is %q", c.Name(), c.Short)
		}
		if c.Example == "" {
			t.Errorf("%s has no example", c.Name())
		}
		for line := range strings.Lines(c.Example) {
			runnable(t, a, c, strings.Fields(line))
		}
	}
}

// runnable checks that an example would be taken as it stands.
func runnable(t *testing.T, a *app, c *cobra.Command, words []string) {
	t.Helper()
	if len(words) < 2 || words[0] != "loopwright" || words[1] != c.Name() {
		t.Errorf("%s: its example is %q", c.Name(), strings.Join(words, " "))
		return
	}
	root := a.rootCommand()
	found, rest, err := root.Find(words[1:])
	if err == nil {
		err = found.ParseFlags(rest)
	}
	if err == nil && found.Args != nil {
		err = found.Args(found, found.Flags().Args())
	}
	if err != nil {
		t.Errorf("%q: %v", strings.Join(words, " "), err)
	}
}

func TestTidyWriter(t *testing.T) {
	yes, no := true, false
	tests := []struct {
		name, in, want string
		json           *bool
	}{
		{"plain", "Étage 1\tx\n", "Étage 1\tx\n", nil},
		{"escape sequences", "a\x1b[31mred\x1b]0;title\x07\r\n", "a?[31mred?]0;title??\n", nil},
		{"C1 control characters", "a\u009b31m\u0085", "a?31m?", &no},
		{"turned writing", "abc\u202egpj.exe", "abc?gpj.exe", nil},
		{"not UTF-8", "a\xffb", "a?b", nil},
		{"JSON", "\"a\u009b\u202e\"\n", "\"a\\u009b\\u202e\"\n", &yes},
	}
	for _, tt := range tests {
		for size := 1; size <= len(tt.in); size++ {
			var b strings.Builder
			w := &tidyWriter{w: &b, json: tt.json}
			for from := 0; from < len(tt.in); from += size {
				part := tt.in[from:min(from+size, len(tt.in))]
				if n, err := io.WriteString(w, part); n != len(part) || err != nil {
					t.Fatalf("%d, %v", n, err)
				}
			}
			if b.String() != tt.want {
				t.Errorf("%s in pieces of %d: %q, want %q", tt.name, size, b.String(), tt.want)
			}
		}
	}
}
