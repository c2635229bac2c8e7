package ledger

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"loopwright/assign"
	"loopwright/takeoff"
	"loopwright/takeoff/measure"
)

// Doubts are findings about what is installed and is not drawn, drawn elsewhere or
// drawn as another type, about rows that nothing in the job answers to, and about
// plans that may have been turned another way. File is the ledger's name; exists
// tells the circuits of the job.
func (rec Recalled) Doubts(file string, units measure.System, exists func(circuit string) bool) []takeoff.Finding {
	var fs []takeoff.Finding
	for _, c := range rec.conflicts {
		fs = append(fs, c.finding(file, units))
	}
	for _, d := range rec.Devices {
		r, ok := rec.Rows[d.ID]
		if !ok {
			continue
		}
		if r.State == Exchange && !slices.ContainsFunc(rec.conflicts, func(c conflict) bool { return c.was.ID == r.ID }) {
			fs = append(fs, at(d, assign.CodeExchange, takeoff.Warning,
				"%s is drawn as %s and another type is installed (%s): exchange it, and write installed as its state in %s", r.ID, d.Type, r.Remark, file))
		}
		if n, err := strconv.Atoi(strings.TrimSpace(r.Found)); err == nil && r.State == Installed && r.Address > 0 && n != r.Address {
			fs = append(fs, at(d, assign.CodeFoundOther, takeoff.Warning,
				"%s is installed, and address %d was found on it where %s has %d: reset the device, or write %d in the column address of %s", r.ID, n, file, r.Address, n, file))
		}
	}
	for _, s := range rec.Changes.Shifts {
		if s.Doubtful {
			fs = append(fs, takeoff.Finding{Code: assign.CodeTurned, Severity: takeoff.Error, Drawing: s.Sheet,
				Message: fmt.Sprintf("%s on %s: %s, and its devices fit another turn as well: check the addresses of two devices that stand apart; if they are wrong, restore %s and write turned under the plan", s.Level, s.Sheet, Motion(s.Turn, s.By, units), file)})
		}
	}
	return append(fs, rec.strangers(file, exists)...)
}

// strangers reports rows on circuits that the job does not have.
func (rec Recalled) strangers(file string, exists func(string) bool) []takeoff.Finding {
	count, first, order := map[string]int{}, map[string]string{}, []string{}
	add := func(r Row) {
		if r.Circuit == "" || r.Address == 0 || exists(r.Circuit) {
			return
		}
		if count[r.Circuit]++; count[r.Circuit] == 1 {
			order, first[r.Circuit] = append(order, r.Circuit), r.ID
		}
	}
	for _, d := range rec.Devices {
		if r, ok := rec.Rows[d.ID]; ok {
			add(r)
		}
	}
	for _, r := range rec.Gone {
		add(r)
	}
	var fs []takeoff.Finding
	for _, c := range order {
		fs = append(fs, takeoff.Finding{Code: assign.CodeStranger, Severity: takeoff.Warning,
			Message: fmt.Sprintf("%s has %s on circuit %s, first %s, and the job has no such circuit; if it was renamed, rename it in %s too", file, measure.Count(count[c], "row"), c, first[c], file)})
	}
	return fs
}

// finding tells of both places.
func (c conflict) finding(file string, units measure.System) takeoff.Finding {
	was := fmt.Sprintf("%s %s, installed in %s", c.was.ID, where(c.was.Circuit, c.was.Address), spot(c.was.Level, c.was.Room, units.Place(c.was.X, c.was.Y, 2)))
	if c.now.Type == "" {
		return takeoff.Finding{Code: assign.CodeInstalledGone, Severity: takeoff.Warning, Drawing: c.was.Drawing,
			Message: fmt.Sprintf("%s, is not drawn any more: its address stays its own; draw it again, or write released as its state in %s once it is taken down", was, file)}
	}
	now := spot(c.now.Level, c.now.Room, units.Place(c.now.Pos.X, c.now.Pos.Y, 2))
	if c.now.Type != c.was.Type {
		return at(c.now, assign.CodeExchange, takeoff.Error,
			"%s as %s, is drawn as %s in %s: it keeps its address and is to be exchanged; if the drawing is wrong, correct it and write installed as its state in %s", was, c.was.Type, c.now.Type, now, file)
	}
	return at(c.now, assign.CodeInstalledMoved, takeoff.Error,
		"%s, is drawn %s away in %s: its address stays its own; put the symbol back, or write planned as its state in %s if the device is to be moved", was, units.Length(c.by, 2), now, file)
}

func at(d takeoff.Device, code string, s takeoff.Severity, format string, args ...any) takeoff.Finding {
	return takeoff.Finding{Code: code, Severity: s, Message: fmt.Sprintf(format, args...), Drawing: d.Drawing, Handle: d.Handle, At: d.At, Placed: d.Drawing != ""}
}

func where(circuit string, address int) string {
	if address == 0 {
		return "without an address"
	}
	return fmt.Sprintf("(%s address %d)", circuit, address)
}

func spot(level, room, place string) string {
	if room != "" {
		level += ", " + room
	}
	return level + " at " + place
}
