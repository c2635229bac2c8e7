package sheet

import (
	"strings"
	"testing"
)

// FuzzFieldName: a field's name holds what it was made from, and never the
// separator of the form itself (ISO 32000-1, 12.7.3.2).
func FuzzFieldName(f *testing.F) {
	for _, s := range [][2]string{{"SLC-1", "L1-023"}, {"", ""}, {"a/b", "c.d"}, {"100%", "%2F"}, {"%252E", "é"}} {
		f.Add(s[0], s[1])
	}
	f.Fuzz(func(t *testing.T, circuit, id string) {
		name := FieldName(circuit, id, "found")
		c, i, what, ok := parseFieldName(name)
		if !ok || c != circuit || i != id || what != "found" || strings.Contains(name, ".") {
			t.Errorf("%q, %q became %q and read back %q, %q, %q, %v", circuit, id, name, c, i, what, ok)
		}
		_, _, _, _ = parseFieldName(circuit) // what is not ours must not stop us
	})
}
