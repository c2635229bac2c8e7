package compare

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"loopwright/assign/ledger"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
)

// WriteText writes a report as people read it on a screen; in the units given.
func (r Report) WriteText(w io.Writer, units measure.System) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintf(t, "%s against %s: %s\n", r.New, r.Old, r.summary())
	for _, s := range r.Shifts {
		fmt.Fprintf(t, "%s on %s: %s\n", s.Level, s.Drawing, ledger.Motion(s.Turn, geom.Pt(s.By[0], s.By[1]), units))
	}
	if len(r.Changes) > 0 {
		fmt.Fprintf(t, "\nchange\tid\ttype\tlevel\troom\t\n")
	}
	for _, c := range r.Changes {
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\n", c.Change, c.ID, r.named(c.Type), c.Level, c.Room, r.note(c, units))
	}
	r.writeCost(t, units)
	if err := t.Flush(); err != nil {
		return err
	}
	for i, a := range r.Again {
		if i == 0 {
			fmt.Fprintf(w, "\nto print again, labels and lines of the switch sheets (loopwright build %s --since OLD.ledger.csv):\n", r.New)
		}
		fmt.Fprintf(w, "  %s: %s\n", a.Circuit, strings.Join(a.Devices, ", "))
	}
	for _, f := range r.Findings {
		fmt.Fprintf(w, "\n%s %s: %s\n", f.Code, f.Severity, f.Message)
	}
	_, err := fmt.Fprintln(w, "\n"+takeoff.Caution)
	return err
}

func (r Report) summary() string {
	n := map[Kind]int{}
	for _, c := range r.Changes {
		n[c.Change]++
	}
	var parts []string
	for _, k := range kinds {
		if n[k] > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n[k], k))
		}
	}
	if len(parts) == 0 {
		return "no device has changed"
	}
	return strings.Join(parts, ", ")
}

// note says in words what the columns before it do not.
func (r Report) note(c Change, units measure.System) string {
	var parts []string
	if c.Change == renumbered {
		parts = append(parts, fmt.Sprintf("%s -> %s", place(c.Circuit, c.Address), place(c.NewCircuit, c.NewAddress)))
	}
	if c.NewType != "" {
		parts = append(parts, "now "+r.named(c.NewType))
	}
	if c.Distance > 0 && c.Change != renumbered {
		parts = append(parts, units.Length(c.Distance, 2))
	}
	if c.NewRoom != "" && c.Change != renumbered {
		parts = append(parts, "to "+c.NewRoom)
	}
	switch {
	case c.Address > 0 && (c.Change == moved || c.Change == retyped):
		parts = append(parts, "has "+place(c.Circuit, c.Address))
	case c.Change == removed && c.Address > 0:
		parts = append(parts, "was "+place(c.Circuit, c.Address))
	case c.Change == added && c.NewAddress > 0:
		parts = append(parts, "gets "+place(c.NewCircuit, c.NewAddress))
	}
	if c.Why != "" {
		parts = append(parts, c.Why)
	}
	return strings.Join(parts, ", ")
}

func place(circuit string, address int) string {
	switch {
	case circuit == "":
		return "no circuit"
	case address == 0:
		return circuit
	}
	return fmt.Sprintf("%s %d", circuit, address)
}

func (r Report) writeCost(t io.Writer, units measure.System) {
	fmt.Fprintf(t, "\ntype\told\tnew\tdifference\n")
	for _, c := range r.Types {
		fmt.Fprintf(t, "%s\t%d\t%d\t%+d\n", r.named(c.Type), c.Old, c.New, c.New-c.Old)
	}
	if len(r.Cables) > 0 {
		fmt.Fprintf(t, "\ncable to order\told\tnew\tdifference\n")
	}
	for _, c := range r.Cables {
		fmt.Fprintf(t, "%s\t%s\t%s\t%+.0f %s\n", c.Cable, units.Length(c.Order, 0), units.Length(c.Reorder, 0), units.In(c.Reorder-c.Order), units.Unit())
	}
	if r.Bid == nil {
		return
	}
	b := *r.Bid
	fmt.Fprintf(t, "\nbid %s\told\tnew\tdifference\n", b.Currency)
	for _, row := range []struct {
		name string
		s    Sum
	}{{"devices", b.Material}, {"cable", b.Cable}, {"hours", b.Hours}, {"labor", b.Labor}, {"total", b.Total}} {
		fmt.Fprintf(t, "%s\t%.2f\t%.2f\t%+.2f\n", row.name, row.s.Old, row.s.New, row.s.Diff)
	}
}
