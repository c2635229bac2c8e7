package compare

import (
	"cmp"
	"math"
	"slices"

	"loopwright/assign"
	"loopwright/assign/ledger"
	"loopwright/assign/pair"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// Kind says what happened to a device.
type Kind string

// The kinds of change, in the order of the report. A device that was retyped
// and moved is Retyped, with how far it moved; one that got another address as
// well has a second row.
const (
	added      Kind = "added"
	removed    Kind = "removed"
	moved      Kind = "moved"
	retyped    Kind = "retyped"
	renumbered Kind = "renumbered"
)

// kinds lists the kinds of change.
var kinds = []Kind{added, removed, moved, retyped, renumbered}

// Change is one row of the list of changes. Places are metres in the building's
// frame of the revision that they belong to.
type Change struct {
	Change     Kind        `json:"change"`
	ID         string      `json:"id"`
	OldID      string      `json:"old_id,omitempty"` // where it differs
	Type       string      `json:"type"`             // in the old revision, if it was there
	NewType    string      `json:"new_type,omitempty"`
	Level      string      `json:"level"`
	Room       string      `json:"room,omitempty"`
	NewRoom    string      `json:"new_room,omitempty"` // where it differs
	Drawing    string      `json:"drawing,omitempty"`
	Handle     string      `json:"handle,omitempty"`
	From       *[2]float64 `json:"from_m,omitempty"`
	To         *[2]float64 `json:"to_m,omitempty"`
	Distance   float64     `json:"distance_m,omitempty"` // the shift of the whole plan taken off
	Circuit    string      `json:"circuit,omitempty"`
	Address    int         `json:"address,omitempty"`
	NewCircuit string      `json:"new_circuit,omitempty"`
	NewAddress int         `json:"new_address,omitempty"`
	Why        string      `json:"why,omitempty"` // why it does not count any more, or did not before

	device *takeoff.Device // as the new revision has it; nil if it is gone
	ghost  pair.Spot       // where a removed device would stand in the new revision
	was    geom.Point      // building's frame of the new revision: where a moved device stood
}

// changes pairs the devices that count and lists what became of each.
func changes(old, fresh Side) ([]Change, []pair.Shift) {
	a, b := counted(old), counted(fresh)
	m := pair.Match(spots(a), spots(b))
	c := changer{m: m, oldNumber: numbers(old), newNumber: numbers(fresh), old: old, fresh: fresh}
	for _, p := range m.Pairs {
		c.both(a[p.Old], b[p.New], p)
	}
	for _, i := range m.Removed {
		c.removed(a[i])
	}
	for _, j := range m.Added {
		c.added(b[j])
	}
	slices.SortStableFunc(c.out, func(x, y Change) int {
		return cmp.Or(cmp.Compare(slices.Index(kinds, x.Change), slices.Index(kinds, y.Change)), assign.Natural(x.Level, y.Level), assign.Natural(x.ID, y.ID))
	})
	return c.out, m.Shifts
}

func counted(s Side) []*takeoff.Device { return having(s, takeoff.Counted) }

func having(s Side, status takeoff.Status) []*takeoff.Device {
	var ds []*takeoff.Device
	for i := range s.take.Devices {
		if d := &s.take.Devices[i]; d.Status == status {
			ds = append(ds, d)
		}
	}
	return ds
}

func spots(ds []*takeoff.Device) []pair.Spot {
	out := make([]pair.Spot, len(ds))
	for i, d := range ds {
		out[i] = ledger.SpotOf(*d)
	}
	return out
}

// numbers are the devices of a job with their addresses, by id.
func numbers(s Side) map[string]assign.Numbered {
	out := map[string]assign.Numbered{}
	if s.out != nil {
		for _, d := range s.out.Devices {
			out[d.ID] = d
		}
	}
	return out
}

// changer gathers the rows.
type changer struct {
	m                    pair.Result
	old, fresh           Side
	oldNumber, newNumber map[string]assign.Numbered
	out                  []Change
}

func at(p geom.Point) *[2]float64 { return &[2]float64{tidy(p.X), tidy(p.Y)} }

// tidy rounds to a micrometre.
func tidy(v float64) float64 { return math.Round(v*1e6) / 1e6 }

func (c *changer) both(a, b *takeoff.Device, p pair.Pair) {
	na, nb := c.oldNumber[a.ID], c.newNumber[b.ID]
	row := Change{ID: b.ID, Type: a.Type, Level: b.Level, Room: a.Room, Drawing: b.Drawing, Handle: b.Handle,
		From: at(a.Pos), To: at(b.Pos), Circuit: na.Circuit, Address: na.Address, device: b, was: c.m.Carry(ledger.SpotOf(*a)).Pos}
	if a.ID != b.ID {
		row.OldID = a.ID
	}
	if a.Room != b.Room {
		row.NewRoom = b.Room
	}
	if p.Distance > pair.Still {
		row.Distance = tidy(p.Distance)
	}
	switch {
	case a.Type != b.Type:
		row.Change, row.NewType = retyped, b.Type
		c.out = append(c.out, row)
	case row.Distance > 0:
		row.Change = moved
		c.out = append(c.out, row)
	}
	if na.Circuit != nb.Circuit || na.Address != nb.Address {
		row.Change, row.NewType, row.NewCircuit, row.NewAddress = renumbered, "", nb.Circuit, nb.Address
		c.out = append(c.out, row)
	}
}

func (c *changer) removed(d *takeoff.Device) {
	n := c.oldNumber[d.ID]
	row := Change{Change: removed, ID: d.ID, Type: d.Type, Level: d.Level, Room: d.Room, Drawing: d.Drawing, Handle: d.Handle,
		From: at(d.Pos), Circuit: n.Circuit, Address: n.Address, ghost: c.m.Carry(ledger.SpotOf(*d))}
	if x := same(row.ghost, c.fresh); x != nil {
		row.Why = string(x.Reason)
	}
	c.out = append(c.out, row)
}

func (c *changer) added(d *takeoff.Device) {
	n := c.newNumber[d.ID]
	row := Change{Change: added, ID: d.ID, Type: d.Type, Level: d.Level, Room: d.Room, Drawing: d.Drawing, Handle: d.Handle,
		To: at(d.Pos), NewCircuit: n.Circuit, NewAddress: n.Address, device: d}
	for _, x := range having(c.old, takeoff.Excluded) {
		if s := c.m.Carry(ledger.SpotOf(*x)); s.Type == d.Type && s.Level == d.Level && s.Pos.Dist(d.Pos) <= pair.Near {
			row.Why = "was left out as " + string(x.Reason)
			break
		}
	}
	c.out = append(c.out, row)
}

// same finds the symbol that stands in the place of a spot and does not count.
func same(s pair.Spot, side Side) *takeoff.Device {
	for _, x := range having(side, takeoff.Excluded) {
		if x.Type == s.Type && x.Level == s.Level && x.Pos.Dist(s.Pos) <= pair.Near {
			return x
		}
	}
	return nil
}
