package begin

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"testing"

	"loopwright/takeoff/words"
	"loopwright/testdata/against"
)

// Every device of the vocabulary that is counted has its usual values.
func TestCatalogueIsComplete(t *testing.T) {
	named := map[words.Concept]bool{}
	for _, file := range []string{"own.csv", "words.csv"} {
		f, err := os.Open(filepath.Join("..", "..", "..", "takeoff", "words", "data", file))
		if err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(f).ReadAll()
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range rows {
			if c := words.Concept(r[0]); c.Group() == "device" {
				named[c] = true
			}
		}
	}
	for c := range named {
		if _, ok := deviceOf(c); !ok && c != panelConcept && c != "device.end_of_line" {
			t.Errorf("%s is not in the catalogue", c)
		}
	}
	for _, d := range catalogue {
		if !named[d.concept] {
			t.Errorf("no words name %s", d.concept)
		}
	}
}

// The event codes of the catalogue are held against the list of ANSI/SIA DC-05-1999.09.
func TestAgainstEventCodes(t *testing.T) {
	f, err := os.Open(against.Folder(t, "facts", "csv", "event_codes.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	meaning := map[string]string{}
	for _, r := range rows {
		meaning[r[1]] = r[2]
	}
	want := map[string]string{"111": "Smoke", "113": "Water flow", "114": "Heat", "115": "Pull station", "116": "Duct", "117": "Flame", "140": "General alarm",
		"162": "Carbon monoxide detected", "201": "Low water pressure", "203": "Gate valve sensor", "320": "Sounder/relay"}
	for _, d := range catalogue {
		for _, p := range d.points {
			if want[p[1]] == "" || meaning[p[1]] != want[p[1]] {
				t.Errorf("%s: event %s is %q on the list, want %q", d.Type, p[1], meaning[p[1]], want[p[1]])
			}
		}
	}
}
