package workbook_test

import (
	"bytes"
	"strings"
	"testing"

	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook"
)

// TestChangesSheet: the rows, and what they do to the counts, above them.
func TestChangesSheet(t *testing.T) {
	in := small(t)
	in.Changes = &outcome.Changes{Since: "the run before", List: []outcome.Change{
		{Kind: "added", ID: "L1-009", Type: "smoke", Level: "Level 1", Room: "101 HALL", Is: "3.0, 4.0 ft", Detail: "gets SLC-1 address 9"},
		{Kind: "removed", ID: "L1-002", Type: "smoke", Level: "Level 1", Was: "1.0, 4.0 ft"},
		{Kind: "removed", ID: "L1-003", Type: "pull", Level: "Level 1", Was: "=1+1"},
		{Kind: "retyped", ID: "L1-004", Type: "heat", Level: "Level 1", Was: "smoke", Is: "heat"},
		{Kind: "moved", ID: "L1-005", Type: "heat", Level: "Level 1", Was: "1.0, 2.0 ft", Is: "2.0, 2.0 ft", Detail: "by 1.00 ft"},
	}}
	sheets, err := workbook.Compose(in)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range sheets {
		if s.Name != "Changes" {
			continue
		}
		var b bytes.Buffer
		if err := s.WriteCSV(&b); err != nil {
			t.Fatal(err)
		}
		got := b.String()
		for _, want := range []string{"1 added; 2 removed; 1 retyped; 1 moved; counts: heat +1, pull -1, smoke -1", "Compared with the run before.",
			"added,L1-009,smoke,Level 1,101 HALL,,\"3.0, 4.0 ft\",gets SLC-1 address 9", "moved,L1-005,heat,Level 1,,\"1.0, 2.0 ft\",\"2.0, 2.0 ft\",by 1.00 ft"} {
			if !strings.Contains(got, want) {
				t.Errorf("no %q in\n%s", want, got)
			}
		}
		return
	}
	t.Error("no sheet Changes")
}
