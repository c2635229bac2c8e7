package begin

import (
	"regexp"
	"strings"
	"testing"

	"loopwright/cmd/internal/job"
)

// TestBlanksAreKeys: the rows of circuits load without their first #, with every
// blank reported, and once more with the blanks filled in.
func TestBlanksAreKeys(t *testing.T) {
	var w writer
	(&draft{}).circuitRows(&w)
	rows := regexp.MustCompile(`(?m)^# (circuits:|cables:|  )`).ReplaceAllString(w.String(), "$1")
	const least = "job: T\nplans: [{drawing: a.dxf, level: L}]\npanels: [{panel: FACP, match: [{block: P}]}]\n"
	asked := []int{3, 3} // resistance, capacitance, devices; current, start, end
	for _, fill := range []bool{false, true} {
		text := rows
		if fill {
			text = strings.ReplaceAll(regexp.MustCompile(`(?m)^( +)# (\w+:)`).ReplaceAllString(rows, "$1$2"), "____", "20")
			text = strings.Replace(text, "end: 20", "end: 19", 1)
		}
		j, err := job.Parse("job.yaml", []byte(least+text))
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		for i, n := range asked {
			if fill {
				n = 0
			}
			if b := j.BlankOfCircuit(i); len(b) != n {
				t.Errorf("%s: %d blanks, want %d: %v", j.Circuits[i].Circuit, len(b), n, b)
			}
		}
	}
}
