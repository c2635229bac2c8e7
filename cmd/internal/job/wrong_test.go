package job

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"regexp"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the messages that wrong job files get into testdata")

// fill completes a part of a job file with the keys that every job needs.
func fill(part string) string {
	if strings.HasPrefix(part, "# whole") {
		return part
	}
	for _, need := range []struct{ key, line string }{
		{"job:", "job: T"},
		{"plans:", "plans: [{drawing: a.dxf, level: L}]"},
		{"panels:", "panels: [{panel: P, match: [{block: P}]}]"},
	} {
		if !strings.HasPrefix(part, need.key) && !strings.Contains(part, "\n"+need.key) {
			part += need.line + "\n"
		}
	}
	return part
}

// wrongCase is one job file and what is said about it.
type wrongCase struct{ name, file, said string }

var caseName = regexp.MustCompile(`(?m)^-- (.*) --\n`)

// readCases splits testdata/wrong.txt at its lines "-- name --"; the messages
// stand behind "-- name (said) --".
func readCases(t testing.TB) (head string, cases []wrongCase) {
	data, err := os.ReadFile(wrongFile)
	if err != nil {
		t.Fatal(err)
	}
	text := string(data)
	marks := caseName.FindAllStringSubmatchIndex(text, -1)
	head = text[:marks[0][0]]
	for i, m := range marks {
		end := len(text)
		if i+1 < len(marks) {
			end = marks[i+1][0]
		}
		name, body := text[m[2]:m[3]], text[m[1]:end]
		if _, ok := strings.CutSuffix(name, saidSuffix); ok {
			cases[len(cases)-1].said = body
			continue
		}
		cases = append(cases, wrongCase{name: name, file: body})
	}
	return head, cases
}

const (
	wrongFile  = "testdata/wrong.txt"
	saidSuffix = " (said)"
)

// TestWrongFiles holds the messages against testdata/wrong.txt, where a person
// reads them below the file that caused them.
func TestWrongFiles(t *testing.T) {
	head, cases := readCases(t)
	if len(cases) < 45 {
		t.Errorf("only %d cases", len(cases))
	}
	var out strings.Builder
	out.WriteString(head)
	for _, c := range cases {
		_, err := Parse("job.yaml", []byte(fill(c.file)))
		if err == nil {
			t.Errorf("%s: no complaint", c.name)
			continue
		}
		var es Errors
		if !errors.As(err, &es) {
			t.Errorf("%s: %T is no Errors", c.name, err)
		}
		said := err.Error() + "\n"
		fmt.Fprintf(&out, "-- %s --\n%s-- %s%s --\n%s", c.name, c.file, c.name, saidSuffix, said)
		if !*update && said != c.said {
			t.Errorf("%s:\ngot\n%s\nwant\n%s", c.name, said, c.said)
		}
	}
	if *update {
		if err := os.WriteFile(wrongFile, []byte(out.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
