package ledger

import (
	"fmt"
	"slices"
	"strings"

	"loopwright/assign"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
)

// Next is the ledger after a run: a row for every device that counts, with what
// people wrote into it kept, and the rows of those that are gone.
func (rec Recalled) Next(devices []assign.Numbered, walks []assign.Walk) Ledger {
	type spot struct {
		circuit string
		order   int
	}
	further := map[string][]spot{}
	for _, w := range walks {
		for i, id := range w.Devices {
			further[id] = append(further[id], spot{w.Circuit, i + 1})
		}
	}
	var l Ledger
	for _, d := range devices {
		if d.Status != takeoff.Counted {
			continue
		}
		r := rec.Rows[d.ID]
		if r.State == "" {
			r.State = Planned
		}
		r.ID, r.Circuit, r.Order, r.Address, r.Span, r.Type = d.ID, clean(d.Circuit), d.Order, d.Address, d.Span, clean(d.Type)
		r.Drawing, r.Handle = clean(d.Drawing), clean(d.Handle)
		if !rec.hangs[d.ID] {
			r.Level, r.Room = clean(d.Level), clean(d.Room)
			r.X, r.Y = tidy(d.Pos.X), tidy(d.Pos.Y)
		}
		r.Also = nil
		for _, s := range further[d.ID] {
			if s.circuit != d.Circuit {
				r.Also = append(r.Also, Place{clean(s.circuit), s.order})
			}
		}
		l.Rows = append(l.Rows, r)
	}
	l.Rows = append(l.Rows, rec.Gone...)
	l.sort()
	return l
}

// clean keeps control characters of a drawing's texts out of the file.
func clean(s string) string {
	return strings.Map(func(c rune) rune {
		if c < ' ' || c >= 0x7f && c < 0xa0 {
			return ' '
		}
		return c
	}, strings.ToValidUTF8(s, "?"))
}

// Order is the walk of an earlier run along a circuit, as ids; devices that are
// gone are left out.
func (rec Recalled) Order(circuit string) []string {
	type spot struct {
		id    string
		order int
	}
	var spots []spot
	for id, r := range rec.Rows {
		if r.Circuit == circuit && r.Order > 0 {
			spots = append(spots, spot{id, r.Order})
		}
		for _, p := range r.Also {
			if p.Circuit == circuit {
				spots = append(spots, spot{id, p.Order})
			}
		}
	}
	slices.SortFunc(spots, func(a, b spot) int {
		if a.order != b.order {
			return a.order - b.order
		}
		return strings.Compare(a.id, b.id)
	})
	var ids []string
	for _, s := range spots {
		ids = append(ids, s.id)
	}
	return ids
}

// Findings reports the addresses that are kept for devices that are gone; file is the ledger's name.
func (l Ledger) Findings(file string) []takeoff.Finding {
	var order []string
	kept := map[string][]string{}
	for _, r := range l.Rows {
		if r.State != Retired || r.Address == 0 {
			continue
		}
		if kept[r.Circuit] == nil {
			order = append(order, r.Circuit)
		}
		kept[r.Circuit] = append(kept[r.Circuit], fmt.Sprintf("%d (%s)", r.Address, r.ID))
	}
	var fs []takeoff.Finding
	for _, c := range order {
		list := kept[c]
		const most = 10
		more := ""
		if len(list) > most {
			more = fmt.Sprintf(" and %d more", len(list)-most)
			list = list[:most]
		}
		fs = append(fs, takeoff.Finding{Code: assign.CodeRetired, Severity: takeoff.Note,
			Message: fmt.Sprintf("circuit %s: addresses of removed devices are not reused: %s%s; to free one, set the state of its row in %s to released", c, strings.Join(list, ", "), more, file)})
	}
	return fs
}

// Motion says in words how a whole plan was moved; turn in degrees, by in metres.
func Motion(turn float64, by geom.Point, units measure.System) string {
	if turn != 0 { // how far it moved depends on the point that it was turned about
		return fmt.Sprintf("the whole plan has turned by %.4g degrees", turn)
	}
	return "the whole plan has moved by " + units.Place(by.X, by.Y, 2)
}

// Lines says in words what has changed since the earlier run, with lengths in the units given.
func (c Changes) Lines(units measure.System) []string {
	if c.First {
		return nil
	}
	var out []string
	say := func(what string, list []string) {
		if len(list) == 0 {
			return
		}
		const most = 8
		more := ""
		if len(list) > most {
			more = fmt.Sprintf(" and %d more", len(list)-most)
		}
		out = append(out, fmt.Sprintf("%d %s: %s%s", len(list), what, strings.Join(list[:min(most, len(list))], ", "), more))
	}
	for _, s := range c.Shifts {
		out = append(out, fmt.Sprintf("%s on %s: %s", s.Level, s.Sheet, Motion(s.Turn, s.By, units)))
	}
	say("new", c.Added)
	say("gone, their addresses are not reused", c.Gone)
	say("back", c.Returned)
	say("changed type", c.Retyped)
	var moved []string
	for _, m := range c.Moved {
		moved = append(moved, m.id+" by "+units.Length(m.by, 2))
	}
	say("moved", moved)
	return out
}
