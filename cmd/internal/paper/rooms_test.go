package paper_test

import (
	"path/filepath"
	"strings"
	"testing"

	"loopwright/testdata/against"
)

// Every room that holds a device has its name on the plans: in the demo most of
// them are attributes of the architect's room tags, and some are plain texts.
func TestAgainstPopplerRoomNamesOnPlans(t *testing.T) {
	against.Program(t, "pdftotext")
	dir, r := built(t)
	plans := strings.Join(strings.Fields(textOf(t, filepath.Join(dir, "plans.pdf"), "-raw")), " ")
	rooms := map[string]bool{}
	for _, d := range r.Devices {
		if _, name, ok := strings.Cut(d.Room, " "); ok && !rooms[name] {
			rooms[name] = true
			if !strings.Contains(plans, name) {
				t.Errorf("%s is not on the plans", name)
			}
		}
	}
	if len(rooms) < 10 {
		t.Errorf("%d rooms, want more to look for", len(rooms))
	}
}
