package begin

import (
	"path/filepath"
	"strings"
	"testing"
)

// The account of a draft closes for every drawing of the traps and of the demo, whatever the draft makes of it,
// and stands in its text.
func TestAccountOfDrafts(t *testing.T) {
	files, err := filepath.Glob("../../../testdata/traps/*/*.dxf")
	if err != nil || len(files) < 20 {
		t.Fatalf("only %d drawings: %v", len(files), err)
	}
	placed, counted := 0, 0
	for _, f := range append(files, demo+"level-1.dxf", demo+"level-2.dxf") {
		d, err := draftOf(".", []string{f})
		if err != nil {
			continue // a drawing that is refused
		}
		for _, a := range d.account {
			sum := a.Counted + a.Landmark + a.Rest
			for _, n := range a.Out {
				sum += n
			}
			if sum != a.Placed || a.Placed == 0 {
				t.Errorf("%s: %+v: %d are told of %d", f, a, sum, a.Placed)
			}
			placed, counted = placed+a.Placed, counted+a.Counted
		}
		kinds := 0
		for _, k := range d.kinds {
			for _, b := range k.blocks {
				kinds += b.placed
			}
		}
		if text := d.text(); !strings.Contains(text, "# The account:") {
			t.Errorf("%s: no account in\n%s", f, text)
		}
		if n := len(d.account); n == 0 && kinds > 0 {
			t.Errorf("%s: %d devices and no account", f, kinds)
		}
	}
	if placed < 500 || counted < 200 {
		t.Errorf("only %d figures, %d of them counted", placed, counted)
	}
}

// What repeats and is no block is asked about: text-only plans and exploded symbols too.
func TestAsksAboutTextsAndFigures(t *testing.T) {
	for file, want := range map[string]string{
		"text-only/plan.dxf": `- {type: ?, match: [{text: "WP"}]}`,
		"exploded/plan.dxf":  `a figure that is not a block, circle with "S"`,
	} {
		text, err := draftText(".", []string{"../../../testdata/traps/" + file})
		if err != nil || !strings.Contains(text, want) {
			t.Errorf("%s: no %q in\n%s%v", file, want, text, err)
		}
	}
}
