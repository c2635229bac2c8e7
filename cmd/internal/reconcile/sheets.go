package reconcile

import (
	"io"

	"loopwright/assign/sheet"
)

// readSheets reads a filled switch sheet or test sheet.
func readSheets(r io.Reader) (Source, error) {
	entries, err := sheet.ReadForm(r)
	if err != nil {
		return Source{}, err
	}
	s := Source{Kind: Sheets}
	for _, e := range entries {
		where := "fields of " + e.Circuit + "/" + e.ID
		p := Report{Where: where, ID: e.ID, Circuit: e.Circuit, Found: e.Found, Serial: e.Serial, Note: e.Remark}
		for _, t := range []struct {
			on   bool
			word string
		}{{e.Set, tickSet}, {e.Mounted, tickMounted}, {e.Tested, tickTested}} {
			if t.on {
				p.Ticks = append(p.Ticks, t.word)
			}
		}
		m := Reading{Where: where, Circuit: e.Circuit, End: e.ID, Ohm: e.Ohm, Volt: e.Volt, Initials: e.Initials, Date: e.Date}
		if p.says() {
			s.Reports = append(s.Reports, p)
		}
		if m.says() || e.Date != "" {
			s.Readings = append(s.Readings, m)
		}
	}
	return s, nil
}
