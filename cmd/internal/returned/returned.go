// Package returned is what comes back from site, as every reader hands it over:
// filled sheets, an edited workbook, an export of the field page. Values stand
// as they were entered; what they mean is decided where they are held against
// the job.
package returned

import "strings"

// Kind says what kind of file a source is.
type Kind string

// The kinds of file that are read back.
const (
	Sheets   Kind = "filled sheets"
	Workbook Kind = "workbook"
	Page     Kind = "field page"
)

// Source is one file as read.
type Source struct {
	File     string
	Kind     Kind
	Job      string // "" where the file does not say
	Revision string
	Entries  []Entry
	Readings []Reading
	Remarks  []Remark // what the file holds and nobody can understand
}

// Entry is what one source says about one device on one circuit.
type Entry struct {
	Where   string // cell or entry, for messages
	ID      string
	Circuit string // "" where the source does not say
	OnNone  bool   // the source says that it is on no circuit
	Planned int    // address that the source was made with; 0 for none or unknown
	Found   string // as entered
	Ticks   []string
	Date    string // of the ticks; "" if not known
	Problem bool
	Serial  string
	Note    string
}

// The ticks of an entry.
const (
	Set     = "set"
	Mounted = "mounted"
	Tested  = "tested"
	Done    = "done"
)

// Ticks are all of them, in the order in which the ledger keeps them.
var Ticks = []string{Set, Mounted, Tested, Done}

// Says reports whether anybody has entered anything.
func (e Entry) Says() bool {
	return e.Found != "" || len(e.Ticks) > 0 || e.Problem || e.Serial != "" || e.Note != ""
}

// Words says what an entry holds, for messages: nothing of it is lost.
func (e Entry) Words() string {
	var parts []string
	add := func(what, v string) {
		if v != "" {
			parts = append(parts, strings.TrimSpace(what+" "+v))
		}
	}
	add("found", e.Found)
	add("", strings.Join(e.Ticks, " "))
	if e.Problem {
		add("", "problem")
	}
	add("serial", e.Serial)
	add("note:", strings.ReplaceAll(e.Note, "\n", " / "))
	return strings.Join(parts, ", ")
}

// Reading is what one source says about one end of a circuit.
type Reading struct {
	Where    string
	Circuit  string
	End      string // "" for the worst end
	Ohm      string // as entered
	Volt     string // as entered
	Initials string
	Date     string
}

// Says reports whether anybody has entered anything.
func (r Reading) Says() bool { return r.Ohm != "" || r.Volt != "" || r.Initials != "" }

// Words says what a reading holds, for messages.
func (r Reading) Words() string {
	var parts []string
	for _, p := range [][2]string{{r.Ohm, " ohm"}, {r.Volt, " V"}, {r.Initials, ""}, {r.Date, ""}} {
		if p[0] != "" {
			parts = append(parts, p[0]+p[1])
		}
	}
	return strings.Join(parts, ", ")
}

// Remark is a place of a source that cannot be understood.
type Remark struct{ Where, Text string }

// Day is the date of a time as the page writes it; "" if it is none.
func Day(at string) string {
	d, _, ok := strings.Cut(at, "T")
	if !ok || len(d) != len("2026-03-31") || strings.Trim(d, "0123456789-") != "" {
		return ""
	}
	return d
}
