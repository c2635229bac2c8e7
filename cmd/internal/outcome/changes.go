package outcome

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"loopwright/assign"
	"loopwright/assign/ledger"
	"loopwright/assign/pair"
	"loopwright/cmd/internal/job"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
)

// changeKinds are the kinds of change in the order of the
var changeKinds = []string{"added", "returned", "removed", "retyped", "moved", "renumbered"}

// Changes is the difference from an earlier issue of the job.
type Changes struct {
	Since string // what it is compared with, as people call it
	List  []Change
}

// Change is one difference.
type Change struct {
	Kind   string // added, removed, moved, retyped, renumbered ...
	ID     string
	Type   string
	Level  string
	Room   string
	Was    string // place or value before; "" if it was not there
	Is     string // the same now; "" if it is gone
	Detail string // in plain words
}

// before is the job's ledger as it was before the drawings changed the last time.
type before struct {
	known  bool
	ledger ledger.Ledger
	fresh  []byte // to be written as [BeforePath]; nil if it stays as it is
}

// BeforePath is where a job's ledger lies as it was before the drawings changed
// the last time: beside the ledger, and written with it. The workbook compares
// with it and not with the last run: a job built again without a change gives the
// same bytes and still shows what its drawings' last issue changed.
func BeforePath(j *job.Job) string {
	return strings.TrimSuffix(LedgerPath(j), ".csv") + ".before.csv"
}

// lookBack finds what to compare with: the ledger l as read, if devices are other
// than it has them, else the one that was kept when that was so last.
func (o *Outcome) lookBack(l ledger.Ledger, data []byte) (before, error) {
	c := o.memory.Changes
	switch {
	case c.First:
		return before{}, nil
	case len(c.Added)+len(c.Gone)+len(c.Returned)+len(c.Moved)+len(c.Retyped)+len(c.Shifts) > 0:
		return before{known: true, ledger: l, fresh: data}, nil
	}
	file := BeforePath(o.Job)
	kept, err := os.ReadFile(file)
	if errors.Is(err, fs.ErrNotExist) {
		return before{}, nil
	}
	if err != nil {
		return before{}, err
	}
	old, err := ledger.Parse(file, kept)
	return before{known: true, ledger: old}, err
}

// changes lists device by device what the last change of the drawings brought.
// It is nil where there was none yet.
func (o *Outcome) changes() *Changes {
	if !o.memory.before.known {
		return nil
	}
	c := changeList{memory: o.memory.before.ledger.Recall(o.Take.Devices), units: o.Job.Report}
	for _, d := range o.Devices {
		if r, known := c.memory.Rows[d.ID]; known {
			c.found(r, d)
		} else if slices.Contains(c.memory.Changes.Added, d.ID) {
			c.add("added", d, "", c.spot(d.Pos), "gets "+place(d.Circuit, d.Address))
		}
	}
	for _, r := range c.memory.Gone {
		if slices.Contains(c.memory.Changes.Gone, r.ID) {
			c.list = append(c.list, Change{Kind: "removed", ID: r.ID, Type: r.Type, Level: r.Level, Room: r.Room,
				Was: c.spot(geom.Pt(r.X, r.Y)), Detail: "had " + place(r.Circuit, r.Address) + "; its address is not reused"})
		}
	}
	slices.SortStableFunc(c.list, func(a, b Change) int {
		return cmp.Or(cmp.Compare(slices.Index(changeKinds, a.Kind), slices.Index(changeKinds, b.Kind)), assign.Natural(a.Level, b.Level), assign.Natural(a.ID, b.ID))
	})
	return &Changes{Since: "the job's ledger as it was before the drawings last changed, kept as " + filepath.Base(BeforePath(o.Job)), List: c.list}
}

// changeList gathers the rows; lengths are in the job's units.
type changeList struct {
	memory ledger.Recalled
	units  measure.System
	list   []Change
}

func (c *changeList) add(kind string, d assign.Numbered, was, is, detail string) {
	c.list = append(c.list, Change{Kind: kind, ID: d.ID, Type: d.Type, Level: d.Level, Room: d.Room, Was: was, Is: is, Detail: detail})
}

// found compares a device with the row that it had.
func (c *changeList) found(r ledger.Row, d assign.Numbered) {
	by := c.moved(r, d)
	var notes []string
	if by > pair.Still {
		notes = append(notes, "by "+c.units.Length(by, 2))
	}
	if r.Room != d.Room && r.Room != "" {
		notes = append(notes, "was in "+r.Room)
	}
	detail := strings.Join(notes, "; ")
	switch {
	case slices.Contains(c.memory.Changes.Returned, r.ID):
		c.add("returned", d, "", c.spot(d.Pos), "was gone, and is on the drawing again")
	case r.Type != d.Type:
		c.add("retyped", d, r.Type, d.Type, detail)
	case by > pair.Still:
		c.add("moved", d, c.spot(geom.Pt(r.X, r.Y)), c.spot(d.Pos), detail)
	}
	if r.Circuit != d.Circuit || r.Address != d.Address {
		c.add("renumbered", d, place(r.Circuit, r.Address), place(d.Circuit, d.Address), "")
	}
}

// moved is how far a device has moved in metres, the shift of its whole sheet taken off.
func (c *changeList) moved(r ledger.Row, d assign.Numbered) float64 {
	was := geom.Pt(r.X, r.Y)
	for _, s := range c.memory.Changes.Shifts {
		if s.Level == d.Level && s.Sheet == d.Drawing {
			was = s.Apply(was)
		}
	}
	return was.Dist(d.Pos)
}

// spot writes a place in the building.
func (c *changeList) spot(p geom.Point) string {
	return c.units.Place(p.X, p.Y, 2)
}

// place writes a circuit and the address on it.
func place(circuit string, address int) string {
	switch {
	case circuit == "":
		return "no circuit"
	case address == 0:
		return circuit
	}
	return fmt.Sprintf("%s address %d", circuit, address)
}
