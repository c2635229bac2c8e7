package ledger

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"loopwright/assign"
	"loopwright/assign/pair"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// Recalled is what a ledger knows of the devices of a drawing.
type Recalled struct {
	Devices []takeoff.Device // in the order given, with the ids that they had before
	Rows    map[string]Row   // by id: the row of each device that was found again
	Gone    []Row            // retired rows: devices that are not on the drawing any more
	Changes Changes

	conflicts []conflict

	known map[int]bool    // devices that were found again
	given map[string]bool // ids of devices that a person gave
	hangs map[string]bool // ids of devices whose row keeps the place where they were installed
}

// Changes lists what differs from the ledger.
type Changes struct {
	First    bool // there was no ledger
	Added    []string
	Gone     []string
	Returned []string
	Moved    []Moved
	Retyped  []string // with both types
	Shifts   []pair.Shift
}

// Moved is a device that stands elsewhere than before.
type Moved struct {
	id string
	by float64 // metres, the shift of its whole sheet taken off
}

// conflict is an installed device that is drawn otherwise than it was installed.
type conflict struct {
	was Row // as carried into the revised plan
	now takeoff.Device
	by  float64 // metres
}

// nudge is how far in metres an installed device may be drawn away from its place
// before somebody must look: as far as a person redraws a symbol beside a new wall.
// It is ours.
const nudge = 1.0

// Recall finds the rows of the devices that count: by type and place, else by
// drawing and handle. Devices take back their ids; new ones get ids that were
// never in use.
func (l Ledger) Recall(devices []takeoff.Device) Recalled {
	rec := Recalled{Devices: append([]takeoff.Device(nil), devices...), Rows: map[string]Row{}, known: map[int]bool{}, given: map[string]bool{}, hangs: map[string]bool{}}
	for _, d := range devices {
		if d.Handle == "" {
			rec.given[d.ID] = true
		}
	}
	rec.Changes.First = len(l.Rows) == 0
	var live, retired []Row
	for _, r := range l.Rows {
		switch {
		case r.live():
			live = append(live, r)
		case r.State == Retired:
			retired = append(retired, r)
		}
	}
	var counted []int
	var fresh []pair.Spot
	for i, d := range devices {
		if d.Status == takeoff.Counted {
			counted = append(counted, i)
			fresh = append(fresh, SpotOf(d))
		}
	}
	m := pair.Match(spotsOf(live), fresh)
	rec.Changes.Shifts = m.Shifts
	for _, p := range m.Pairs {
		rec.found(live[p.Old], m, counted[p.New], p)
	}
	rec.back(m, retired, counted, fresh)
	for _, i := range m.Removed {
		r := carried(m, live[i])
		if r.State == Installed {
			rec.conflicts = append(rec.conflicts, conflict{was: r})
		}
		r.State = Retired
		rec.Gone = append(rec.Gone, r)
		rec.Changes.Gone = append(rec.Changes.Gone, r.ID)
	}
	rec.name(counted)
	return rec
}

// Give drops the rows of devices that are gone: their addresses are free again.
func (rec *Recalled) Give(ids []string) {
	rec.Gone = slices.DeleteFunc(rec.Gone, func(r Row) bool { return slices.Contains(ids, r.ID) })
	rec.conflicts = slices.DeleteFunc(rec.conflicts, func(c conflict) bool { return slices.Contains(ids, c.was.ID) })
}

func spotsOf(rows []Row) []pair.Spot {
	out := make([]pair.Spot, len(rows))
	for i, r := range rows {
		out[i] = pair.Spot{Key: r.Handle, Type: r.Type, Level: r.Level, Sheet: r.Drawing, Room: r.Room, Pos: geom.Pt(r.X, r.Y)}
		if r.Handle == "" {
			out[i].Key, out[i].Certain = r.ID, true
		}
	}
	return out
}

// SpotOf sees a device as the matching does. One without a handle comes from a
// list of devices and has an id that a person gave.
func SpotOf(d takeoff.Device) pair.Spot {
	s := pair.Spot{Key: d.Handle, Type: d.Type, Level: d.Level, Sheet: d.Drawing, Room: d.Room, Pos: d.Pos}
	if d.Handle == "" {
		s.Key, s.Certain = d.ID, true
	}
	return s
}

// carried moves a row along with its sheet.
func carried(m pair.Result, r Row) Row {
	s := m.Carry(spotsOf([]Row{r})[0])
	r.Level, r.Drawing, r.X, r.Y = s.Level, s.Sheet, tidy(s.Pos.X), tidy(s.Pos.Y)
	return r
}

// found gives a device its row. An installed one that is drawn elsewhere keeps the
// place where it hangs until a person says otherwise; of one that is drawn as another
// type, what was read off the old device goes into the remark.
func (rec *Recalled) found(r Row, m pair.Result, i int, p pair.Pair) {
	d := &rec.Devices[i]
	c := &rec.Changes
	hangs := r.State == Installed && r.Type == d.Type && p.Distance > nudge
	if hangs || r.State == Installed && r.Type != d.Type {
		rec.conflicts = append(rec.conflicts, conflict{carried(m, r), *d, p.Distance})
	}
	switch {
	case hangs: // no change that was made: it is told of until a person settles it
		r = carried(m, r)
	case r.Type != d.Type && r.State == Installed:
		r = r.exchanged()
		fallthrough
	case r.Type != d.Type:
		c.Retyped = append(c.Retyped, fmt.Sprintf("%s: %s is now %s", r.ID, r.Type, d.Type))
	case p.Distance > pair.Still:
		c.Moved = append(c.Moved, Moved{r.ID, p.Distance})
	}
	d.ID = r.ID
	for d.Handle != "" && rec.given[d.ID] { // a list of devices has the id now, and a person gave it
		d.ID += "b"
	}
	rec.Rows[d.ID] = r
	rec.known[i], rec.hangs[d.ID] = true, hangs
}

// exchanged is the row of a device that must make way for one of another type.
func (r Row) exchanged() Row {
	var notes []string
	for _, n := range []string{r.Remark, "was " + r.Type, labeled("serial", r.Serial), labeled("found", r.Found), labeled("done", r.Done)} {
		if n != "" {
			notes = append(notes, n)
		}
	}
	r.State, r.Serial, r.Found, r.Done, r.Remark = Exchange, "", "", "", strings.Join(notes, "; ")
	return r
}

func labeled(what, value string) string {
	if value == "" {
		return ""
	}
	return what + " " + value
}

// back finds retired devices that stand on the drawing again; the others stay retired.
func (rec *Recalled) back(m pair.Result, retired []Row, counted []int, fresh []pair.Spot) {
	var free []int
	var spots []pair.Spot
	for _, j := range m.Added {
		free = append(free, counted[j])
		spots = append(spots, fresh[j])
	}
	again := map[int]bool{}
	for _, p := range m.Return(spotsOf(retired), spots) {
		r := retired[p.Old]
		again[p.Old] = true
		r.State = Planned
		rec.Changes.Returned = append(rec.Changes.Returned, r.ID)
		rec.found(r, m, free[p.New], p)
	}
	for i, r := range retired {
		if !again[i] {
			rec.Gone = append(rec.Gone, carried(m, r))
		}
	}
}

// name gives ids to the devices that the ledger does not know. They keep the
// running number of the takeoff unless somebody has or had it. Those that count
// come first, so that the others have no say in what is kept.
func (rec *Recalled) name(counted []int) {
	n := namer{taken: map[string]bool{}, top: map[string]int{}}
	for id := range rec.Rows {
		n.take(id)
	}
	for _, r := range rec.Gone {
		n.take(r.ID)
	}
	isCounted := map[int]bool{}
	for _, i := range counted {
		isCounted[i] = true
		if d := &rec.Devices[i]; !rec.known[i] {
			d.ID = n.fresh(*d)
			rec.Changes.Added = append(rec.Changes.Added, d.ID)
		}
	}
	for i := range rec.Devices {
		if !isCounted[i] {
			rec.Devices[i].ID = n.fresh(rec.Devices[i])
		}
	}
}

// namer gives out ids that are not in use.
type namer struct {
	taken map[string]bool
	top   map[string]int // highest running number by head
}

func (n *namer) take(id string) string {
	n.taken[id] = true
	head, k := prefix(id)
	n.top[head] = max(n.top[head], k)
	return id
}

// fresh returns the id that the takeoff gave a device, or the next one if it is taken.
func (n *namer) fresh(d takeoff.Device) string {
	if d.Handle == "" || !n.taken[d.ID] {
		return n.take(d.ID) // an id from a list of devices is a person's and stays
	}
	head, _ := prefix(d.ID)
	for {
		n.top[head]++
		if id := fmt.Sprintf("%s%03d", head, n.top[head]); !n.taken[id] {
			return n.take(id)
		}
	}
}

// prefix splits an id into its head and its running number.
func prefix(id string) (head string, n int) {
	k := len(strings.TrimRightFunc(id, func(c rune) bool { return c >= '0' && c <= '9' }))
	n, err := strconv.Atoi(id[k:])
	if err != nil {
		return id, 0
	}
	return id[:k], n
}

// tidy rounds to a tenth of a millimetre, finer than anything is drawn.
func tidy(v float64) float64 { return math.Round(v*1e4)/1e4 + 0 }

// Held lists the addresses that devices of a circuit hold: those of the ledger
// on that circuit, or on one that the job does not have any more.
func (rec Recalled) Held(circuit string, devices []string, exists func(circuit string) bool) map[string]assign.Held {
	out := map[string]assign.Held{}
	for _, id := range devices {
		if r, ok := rec.Rows[id]; ok && r.Address > 0 && (r.Circuit == circuit || !exists(r.Circuit)) {
			out[id] = assign.Held{Address: r.Address, Span: r.Span}
		}
	}
	return out
}

// Retired lists the addresses on a circuit that are kept for devices that are
// gone, also for those that the drawing has lost since the ledger was written.
func (rec Recalled) Retired(circuit string) []assign.Held {
	var hs []assign.Held
	for _, r := range rec.Gone {
		if r.Circuit == circuit && r.Address > 0 {
			hs = append(hs, assign.Held{Address: r.Address, Span: r.Span})
		}
	}
	return hs
}
