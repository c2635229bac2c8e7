// Package ledger keeps from run to run which device holds which address. A
// ledger is a CSV file that people read, edit and keep under version control;
// the devices of a revised drawing find their rows in it again.
//
// There is one row for each device that counts. A row is planned, installed, exchange
// (installed as another type than is drawn now), retired (gone from the drawing, its
// address kept) or released (written by a person: the next run drops it). The first
// line counts the rows: a file that has fewer has lost some. The columns found, serial, done and remark are as built and
// belong to people. Parse takes what spreadsheets make of the file (line ends, byte
// order mark, other orders of rows and columns, an apostrophe before = + - @) and
// refuses anything doubtful with a [Damage] that names the line; a refused file is
// never written over. Bytes is canonical: the same rows give the same bytes.
package ledger

import (
	"cmp"
	"slices"

	"loopwright/assign"
)

// State says how far a device has come.
type State string

// The states. A row that a person sets to Released frees its address: the next
// run drops it.
const (
	Planned   State = "planned"
	Installed State = "installed"
	Exchange  State = "exchange" // installed as another type than is drawn now: to be exchanged
	Retired   State = "retired"  // gone from the drawing; its address is not reused
	Released  State = "released"
)

// Row is one device.
type Row struct {
	ID      string
	Circuit string // "" if it is on none
	Order   int    // place in the walk along Circuit, from 1; 0 for none
	Address int    // 0 for none
	Span    int    // consecutive addresses; 0 for none
	Type    string
	Level   string
	Room    string
	Drawing string
	Handle  string
	X, Y    float64 // metres in the building's frame
	State   State
	Also    []Place // further circuits that it is wired to

	// As built, from the site; nothing is computed from these.
	Found  string // address found on the device
	Serial string
	Done   string
	Remark string
}

// Place is a device's place on a further circuit.
type Place struct {
	Circuit string
	Order   int
}

// live reports whether the device of a row is on the drawing.
func (r Row) live() bool { return r.State == Planned || r.State == Installed || r.State == Exchange }

// Ledger is every row, sorted by circuit, address and id.
type Ledger struct {
	Rows []Row
}

// sort puts rows where a reader and a version control look for them: a row
// moves only if its circuit or address changes.
func (l *Ledger) sort() {
	slices.SortStableFunc(l.Rows, func(a, b Row) int {
		return cmp.Or(
			cmp.Compare(rank(a.Circuit == ""), rank(b.Circuit == "")), assign.Natural(a.Circuit, b.Circuit),
			cmp.Compare(rank(a.Address == 0), rank(b.Address == 0)), cmp.Compare(a.Address, b.Address),
			assign.Natural(a.ID, b.ID))
	})
}

// rank puts what is true last.
func rank(last bool) int {
	if last {
		return 1
	}
	return 0
}
