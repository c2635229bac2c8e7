package outcome

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"loopwright/assign"
	"loopwright/takeoff"
	"loopwright/takeoff/words"
)

// Addresses that stand on the drawing already, in the attribute that a circuit's
// addresses name: of devices that the ledger does not know yet, which keep them, and of
// devices that hang there without being the job's, whose addresses nobody else gets.

// tag is an address as drawn: 2-004 is address 4 of circuit 2.
type tag struct {
	circuit string // "" if it names none
	address int
}

// drawnTag is a circuit, if any, and the run of digits at the end: SLC-1-023, 1.23, 023.
var drawnTag = regexp.MustCompile(`^(?:(.*[^0-9])??)0*([1-9][0-9]{0,7})$`)

func drawnAddress(d takeoff.Device, attribute string) (tag, bool) {
	if attribute == "" {
		return tag{}, false
	}
	v, _ := words.Attrib(d.Attribs, attribute)
	m := drawnTag.FindStringSubmatch(strings.TrimSpace(v))
	if m == nil {
		return tag{}, false
	}
	a, err := strconv.Atoi(m[2])
	return tag{strings.Trim(m[1], " -./:,"), a}, err == nil
}

// names reports whether a tag may mean a circuit: by its name, or by the number that the
// name ends in.
func (t tag) names(circuit string) bool {
	plain := func(s string) string {
		return strings.ToUpper(strings.Map(func(r rune) rune {
			if strings.ContainsRune(" -./:,_", r) {
				return -1
			}
			return r
		}, s))
	}
	if plain(t.circuit) == plain(circuit) {
		return true
	}
	n := circuit[len(strings.TrimRight(circuit, "0123456789")):]
	return n != "" && strings.TrimLeft(t.circuit, "0") == strings.TrimLeft(n, "0")
}

// drawn is a device with the address that stands beside it.
type drawn struct {
	takeoff.Device
	tag
}

// drawnOn lists the devices whose tags stand for a circuit of a row of the job: those
// that name it, and, of those that name none that the job has, those of its levels.
func (o *Outcome) drawnOn(circuit string, row int) []drawn {
	attribute := o.Job.Circuits[row].Addresses.Drawn
	if attribute == "" {
		return nil
	}
	var out []drawn
	for _, d := range o.Take.Devices {
		t, ok := drawnAddress(d, attribute)
		if !ok {
			continue
		}
		switch {
		case t.names(circuit):
		case slices.ContainsFunc(o.Circuits, func(c Laid) bool { return t.names(c.Name) }), !rows(o.Job)[row].Serves(d.Level):
			continue
		}
		out = append(out, drawn{d, t})
	}
	return out
}

// stands reports whether a device that is not on the job's circuits hangs there, or
// will, and answers to its address: one that exists, is another's, or is not wired yet.
func (o *Outcome) stands(d takeoff.Device) bool {
	switch d.Status {
	case takeoff.Counted:
		return !slices.ContainsFunc(o.Circuits, func(c Laid) bool { return c.Kind == takeoff.SLC && slices.Contains(c.Devices, d.ID) })
	case takeoff.Excluded:
		return d.Reason == takeoff.Existing || d.Reason == takeoff.ByOthers
	}
	return false
}

// span is how many addresses a type takes.
func (o *Outcome) span(typ string) int {
	for _, t := range o.Job.Types {
		if t.Type == typ {
			return t.Addresses
		}
	}
	return 0
}

// holdDrawn gives the devices of a circuit the addresses that stand beside them, unless
// the ledger knows better, and keeps from others those of devices that are not the job's.
// Where two bear one address the first in the drawing's order has it.
func (o *Outcome) holdDrawn(w *assign.Walk, row int) {
	if w.Kind != takeoff.SLC {
		return
	}
	given := map[int]bool{}
	for _, d := range o.drawnOn(w.Circuit, row) {
		switch _, held := w.Held[d.ID]; {
		case o.stands(d.Device):
			for k := range max(1, o.span(d.Type)) {
				w.Addressing.Reserved = append(slices.Clone(w.Addressing.Reserved), d.address+k)
			}
		case held || given[d.address] || !slices.Contains(w.Devices, d.ID) || o.memory.Rows[d.ID].Address > 0:
		default:
			given[d.address] = true
			w.Held[d.ID] = assign.Held{Address: d.address, Span: o.span(d.Type)}
		}
	}
}

// doubtDrawn reports devices whose address is not the one on the drawing, and two on the
// drawing that bear one.
func (o *Outcome) doubtDrawn() {
	find := func(code string, s takeoff.Severity, d takeoff.Device, format string, args ...any) {
		o.Findings = append(o.Findings, takeoff.Finding{Code: code, Severity: s, Message: fmt.Sprintf(format, args...),
			Drawing: d.Drawing, Handle: d.Handle, At: d.At, Placed: d.Drawing != ""})
	}
	numbered := map[string]assign.Numbered{}
	for _, d := range o.Devices {
		numbered[d.ID] = d
	}
	for _, c := range o.Circuits {
		if c.Kind != takeoff.SLC {
			continue
		}
		attribute, first := o.Job.Circuits[c.Row].Addresses.Drawn, map[int]takeoff.Device{}
		for _, d := range o.drawnOn(c.Name, c.Row) {
			n, ours := numbered[d.ID], slices.Contains(c.Devices, d.ID)
			if !ours && !o.stands(d.Device) {
				continue
			}
			if other, twice := first[d.address]; twice {
				find(assign.CodeDrawnTwice, takeoff.Error, d.Device, "%s and %s both have address %d of circuit %s in attribute %s on the drawing: %s and %s; find out on site which one has it, and correct the other",
					other.ID, d.ID, d.address, c.Name, attribute, o.whereabouts(other), o.whereabouts(d.Device))
			} else {
				first[d.address] = d.Device
			}
			if ours && n.Circuit == c.Name && n.Address > 0 && n.Address != d.address {
				find(assign.CodeSeed, takeoff.Warning, d.Device, "%s has address %d on circuit %s, and its attribute %s on the drawing says %d: correct the one that is wrong", d.ID, n.Address, c.Name, attribute, d.address)
			}
		}
		for _, id := range c.Devices { // an address from the ledger that somebody else's device bears
			n := numbered[id]
			for k := range n.Span {
				other, taken := first[n.Address+k]
				if taken && n.Circuit == c.Name && other.ID != id && o.stands(other) {
					find(assign.CodeDrawnTwice, takeoff.Error, n.Device, "%s holds address %d of circuit %s, and %s has it in attribute %s on the drawing: %s and %s; find out on site which one has it, and correct the other",
						id, n.Address+k, c.Name, other.ID, attribute, o.whereabouts(n.Device), o.whereabouts(other))
				}
			}
		}
	}
}

// whereabouts is a place as people look for it.
func (o *Outcome) whereabouts(d takeoff.Device) string {
	where := d.Level
	if d.Room != "" {
		where += ", " + d.Room
	}
	return where + " at " + o.Job.Report.Place(d.Pos.X, d.Pos.Y, 2)
}
