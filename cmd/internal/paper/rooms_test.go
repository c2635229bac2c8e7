package paper_test

import (
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// Every room that holds a device has its name on the plans: in the demo most of
// them are attributes of the architect's room tags, and some are plain texts.
func TestRoomNamesOnPlans(t *testing.T) {
	need(t, "pdftotext")
	dir, r := built(t)
	text, err := exec.Command("pdftotext", "-raw", filepath.Join(dir, "plans.pdf"), "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	plans := strings.Join(strings.Fields(string(text)), " ")
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
