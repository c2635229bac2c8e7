package reconcile

import (
	"strconv"
	"strings"
	"testing"
)

// FuzzOhms: a resistance as entered is a number that is not negative, or none;
// and what the number is written as reads as the same number.
func FuzzOhms(f *testing.F) {
	for _, s := range []string{"12.5", " 12,5 ohm", "12 \u2126", "12\u03a9", ".5", "", "OL", "-1", "1e5", "1.2.3", "1,234.5", "NaN", "0x10", "5.15k", "5,2 kohm", "k", "0,125", "5,150", "."} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		v, ok := ohms(text)
		if !ok {
			return
		}
		if v < 0 || v != v {
			t.Fatalf("%q is %v", text, v)
		}
		if digits := strings.Map(func(r rune) rune {
			if r >= '0' && r <= '9' {
				return r
			}
			return -1
		}, text); digits == "" {
			t.Errorf("%q holds no digit and is %v", text, v)
		}
		plain := strconv.FormatFloat(v, 'f', -1, 64)
		if again, ok := ohms(plain); !ok || again != v {
			t.Errorf("%q is %v, and %q is %v, %v", text, v, plain, again, ok)
		}
	})
}
