package reconcile

import (
	"io"

	"loopwright/assign/sheet"
	"loopwright/cmd/internal/returned"
)

// readSheets reads a filled switch sheet or test sheet.
func readSheets(r io.Reader) (returned.Source, error) {
	entries, err := sheet.ReadForm(r)
	if err != nil {
		return returned.Source{}, err
	}
	s := returned.Source{Kind: returned.Sheets}
	for _, e := range entries {
		where := "fields of " + e.Circuit + "/" + e.ID
		p := returned.Entry{Where: where, ID: e.ID, Circuit: e.Circuit, Found: e.Found, Serial: e.Serial, Note: e.Remark}
		for _, t := range []struct {
			on   bool
			word string
		}{{e.Set, returned.Set}, {e.Mounted, returned.Mounted}, {e.Tested, returned.Tested}} {
			if t.on {
				p.Ticks = append(p.Ticks, t.word)
			}
		}
		m := returned.Reading{Where: where, Circuit: e.Circuit, End: e.ID, Ohm: e.Ohm, Volt: e.Volt, Initials: e.Initials, Date: e.Date}
		if p.Says() {
			s.Entries = append(s.Entries, p)
		}
		if m.Says() || e.Date != "" {
			s.Readings = append(s.Readings, m)
		}
	}
	return s, nil
}
