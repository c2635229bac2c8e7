package main

import (
	"bytes"
	"strings"
	"testing"
)

// FuzzEncode: whatever stands on the command line of encode, the program answers
// with a setting or a message, and a setting that is read back is the address.
func FuzzEncode(f *testing.F) {
	for _, w := range []string{
		"90", "-90", "0", "128", "1e3", "90 --scheme decade", "90 --scheme binary8 --first-switch highest", "90 --on-means 0", "90 --offset -1",
		"--on 2,8,16,64", "--on ,", "--on 2,2", "--row 0101101", "--row 4/3 --scheme decade", "--row ///// --scheme decade", "--row ０１", "1 2", "--json 90",
		"--scheme none 5000", "--scheme", "90 --first-switch", "--offset 99999999999999999999 1", "--help", "-- -5", "--on=9223372036854775807,1",
	} {
		f.Add(strings.ReplaceAll(w, " ", "\n"))
	}
	f.Fuzz(func(t *testing.T, line string) {
		args := append([]string{"encode"}, strings.Split(line, "\n")...)
		var out, errs bytes.Buffer
		code := Run(args, strings.NewReader(""), &out, &errs)
		if code < exitDone || code > exitUsage {
			t.Fatalf("exit %d", code)
		}
		if said := out.String() + errs.String(); strings.Contains(said, "fault in the program") || strings.Contains(said, "goroutine ") {
			t.Fatalf("it fell over:\n%s", said)
		}
		if (code == exitDone) != (errs.Len() == 0) || code != exitDone && out.Len() > 0 && !asksJSON(args) {
			t.Errorf("exit %d, results %q, messages %q", code, out.String(), errs.String())
		}
	})
}
