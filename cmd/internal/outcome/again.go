package outcome

import (
	"errors"
	"fmt"
	"io/fs"
	"os"

	"loopwright/assign"
	"loopwright/assign/ledger"
	"loopwright/takeoff"
	"loopwright/takeoff/where"
)

// Again tells the devices on a circuit whose sticker and line on the switch sheets are
// other than an earlier ledger has them: new, on another address or circuit, of another
// type, or in another room. The place in the walk alone does not count: one device more
// would have every paper behind it printed again.
func (o *Outcome) Again(l ledger.Ledger) map[string]bool {
	rec := l.Recall(o.Take.Devices)
	out := map[string]bool{}
	for i, d := range o.Devices {
		if d.Status != takeoff.Counted || d.Circuit == "" {
			continue
		}
		r, known := rec.Rows[rec.Devices[i].ID]
		if !known || !asPrinted(r, d) {
			out[d.ID] = true
		}
	}
	return out
}

func asPrinted(r ledger.Row, d assign.Numbered) bool {
	return r.ID == d.ID && r.Circuit == d.Circuit && r.Address == d.Address && r.Span == d.Span && r.Type == d.Type && r.Level == d.Level && r.Room == d.Room
}

// printSince reads the ledger since which papers are printed again.
func (o *Outcome) printSince(file string) error {
	if file == "" {
		return nil
	}
	data, err := os.ReadFile(file)
	if errors.Is(err, fs.ErrNotExist) {
		return where.In(file, fmt.Errorf("no file %s: --since wants an earlier ledger, from version control or a copy", file))
	}
	if err != nil {
		return err
	}
	l, err := ledger.Parse(file, data)
	if err != nil {
		return err
	}
	o.PrintAgain = o.Again(l)
	return nil
}
