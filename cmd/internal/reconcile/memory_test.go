package reconcile

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/returned"
)

// computed is the demo job with its text changed, computed for one test alone.
func computed(t *testing.T, old, fresh string) *outcome.Outcome {
	t.Helper()
	j := demoJob(t)
	if old != "" {
		data, err := os.ReadFile(j.File)
		if err != nil {
			t.Fatal(err)
		}
		text := strings.Replace(string(data), old, fresh, 1)
		if text == string(data) {
			t.Fatalf("the demo does not say %q", old)
		}
		write(t, j.File, text)
		if j, err = job.Load(filepath.Clean(j.File)); err != nil {
			t.Fatal(err)
		}
	}
	o, err := outcome.Compute(j, nil)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// What the ledger knows of the site stays known when nobody speaks of it, and
// what somebody corrects is kept beside the correction.
func TestWhatTheLedgerKnows(t *testing.T) {
	o := computed(t, "", "")
	id := at(t, o, "SLC-1", 47)
	o.SetAsBuilt(id, outcome.AsBuilt{Installed: true, Found: "46", Serial: "S1", Done: "done 2026-03-31", Remark: "ceiling closed"})
	for _, tt := range []struct {
		name, in             string
		found, serial, codes string
		remark               []string
	}{
		// Address 46 found on two devices is an error whoever said it and whenever.
		{"nobody speaks of it", "a: #12 done", "46", "S1", "F704 warning, F705 warning", []string{"ceiling closed"}},
		{"the same again", "a: #47 found 46 done serial S1", "46", "S1", "F704 warning, F705 warning", []string{"ceiling closed"}},
		{"put right", "a: #47 found 47 done", "47", "S1", "F712 note", []string{"ceiling closed", "found before: 46"}},
		{"another serial number", "a: #47 serial S2", "46", "S2", "F704 warning, F705 warning, F712 note", []string{"ceiling closed", "serial before: S1"}},
		{"a word more", "a: #47 second note", "46", "S1", "F704 warning, F705 warning", []string{"ceiling closed", "second note"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			m, err := hold(o, heard(t, tt.in))
			if err != nil {
				t.Fatal(err)
			}
			s := m.at[id]
			if got := values(s.found); got != tt.found {
				t.Errorf("found %s, want %s", got, tt.found)
			}
			if got := values(s.serial); got != tt.serial {
				t.Errorf("serial %s, want %s", got, tt.serial)
			}
			if !s.installed() {
				t.Error("it was installed and is not any more")
			}
			for _, want := range tt.remark {
				if !strings.Contains(strings.Join(s.notes, "\n"), want) {
					t.Errorf("%q is lost: %q", want, s.notes)
				}
			}
			if got := codes(m); got != tt.codes {
				t.Errorf("%s, want %s\n%+v", got, tt.codes, m.diffs)
			}
		})
	}
}

// An address that a device can be set to and its circuit does not have.
func TestAddressesThatTheCircuitDoesNotHave(t *testing.T) {
	o := computed(t, "first: 1, last: 127, spare: 20%", "first: 1, last: 120, spare: 20%, reserved: [118]")
	id := at(t, o, "SLC-1", 47)
	for found, says := range map[string]string{"121": "the circuit has 1 to 120", "118": "118 is reserved"} {
		m, err := hold(o, []returned.Source{{File: "a", Kind: returned.Sheets, Entries: []returned.Entry{{Where: "line", ID: id, Circuit: "SLC-1", Found: found}}}})
		if err != nil {
			t.Fatal(err)
		}
		if got := codes(m); got != "F703 error" {
			t.Errorf("%s found: %s, want F703 error", found, got)
		}
		if len(m.diffs) == 0 || !strings.Contains(m.diffs[0].Message, says) {
			t.Errorf("%s found: %+v\nwant %q", found, m.diffs, says)
		}
	}
}

// An export made for another revision of the job is told.
func TestOtherRevision(t *testing.T) {
	o := demoOutcome(t)
	m, err := hold(o, []returned.Source{{File: "old.json", Kind: returned.Page, Job: o.Job.Name, Revision: "A", Entries: []returned.Entry{{Where: "line", ID: at(t, o, "SLC-1", 1), Circuit: "SLC-1", Ticks: []string{"done"}}}}})
	if err != nil {
		t.Fatal(err)
	}
	if got := codes(m); got != "F710 warning" {
		t.Errorf("%s, want F710 warning: %+v", got, m.diffs)
	}
}
