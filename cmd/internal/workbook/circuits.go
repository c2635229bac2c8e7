package workbook

import (
	"fmt"
	"strings"

	"loopwright/cmd/internal/outcome"
	"loopwright/takeoff"
)

// circuitsSheet is the table of circuits: what each carries and whether it is proved.
func (b *book) circuitsSheet() *Sheet {
	u := b.u.length
	s := b.NewSheet("Circuits", 11, 7, 9, 7, 6, 16, 10, 18, 9, 12, 12, 8, 12, 12, 11, 12, 13, 10, 10, 11, 14, 24)
	s.Large = true
	s.Title("Circuits", "Lengths in "+u+". The lower bound is a length that no route under the same distances can beat. Verdicts come from the "+
		"sheets Loop and Voltage.")
	s.Head = s.Header("circuit", "kind", "panel", "class", "T-taps", "levels", "cable", "conductor", "devices", "addresses used", "addresses usable", "left",
		"measured, "+u, "of it return, "+u, "slack, "+u, "installed, "+u, "lower bound, "+u, "loop, ohm", "limit, ohm", "lowest, V", "capacitance, uF", "verdict").Row
	s.Freeze = 1
	first := s.Next()
	for i := range b.in.Circuits {
		b.circuitRow(s, &b.in.Circuits[i])
	}
	last := s.Next() - 1
	if last < first {
		s.Note("No circuit was laid.")
		return s
	}
	s.Verdicts = append(s.Verdicts, fmt.Sprintf("V%d:V%d", first, last))
	b.DefineSpan("CircuitVerdict", s, 22, first, last)
	cells := []Cell{Text("total").As(RoleTotal)}
	for c := 2; c <= 22; c++ {
		t := Cell{}.As(RoleTotal)
		switch c {
		case 9, 10, 13, 14, 15, 16:
			f, sum := FormLength, 0.0
			if c < 11 {
				f = FormWhole
			}
			for r := first; r <= last; r++ {
				sum += s.Ref(r, c).Or0()
			}
			t = Calc(fmt.Sprintf("SUM(%s:%s)", At(c, first), At(c, last)), sum, f).As(RoleTotal)
		}
		cells = append(cells, t)
	}
	s.Add(cells...)
	return s
}

func (b *book) circuitRow(s *Sheet, c *outcome.Laid) {
	row, cc := s.Next(), b.byCircuit[c.Name]
	used := 0
	for _, d := range b.in.Devices {
		if d.Circuit == c.Name {
			used += d.Span
		}
	}
	usedCell, capacity, left := Cell{}, Cell{}, Cell{}
	if c.Kind == takeoff.SLC {
		usedCell, capacity = Whole(used), Whole(c.Addressing.Capacity())
		left = Calc(fmt.Sprintf("K%[1]d-J%[1]d", row), c.Addressing.Capacity()-used, FormWhole)
	}
	taps := ""
	if c.Taps {
		taps = "yes"
	}
	levels := strings.Join(c.Levels, ", ")
	if levels == "" {
		levels = "all"
	}
	bound := Cell{}
	if c.LowerBound > 0 {
		bound = Number(b.u.lengthIn(c.LowerBound), FormLength)
	}
	link := func(r Ref, f Form) Cell {
		v := r.Cell().Value
		if v == nil {
			return Calc(fmt.Sprintf(`IF(ISNUMBER(%[1]s),%[1]s,"")`, r.There()), "", f)
		}
		return Calc(r.There(), v, f)
	}
	volts, verdict := Cell{}, cc.loopVerdict
	if cc.hasVoltage {
		volts, verdict = link(cc.worstVolts, FormFine), cc.voltageVerdict
	}
	s.Add(Text(c.Name), Text(string(c.Kind)), Text(c.Panel), Text(string(c.Pathway)), Text(taps), Text(levels), Text(c.Cable.Name), Text(c.Cable.Conductor.String()),
		Whole(len(c.Devices)), usedCell, capacity, left,
		link(cc.measured, FormLength), Number(b.u.lengthIn(c.Back), FormLength), link(cc.slack, FormLength), link(cc.installed, FormLength), bound,
		link(cc.ohm, FormFine), link(cc.limit, FormFine), volts, link(cc.farads, FormMilli), link(verdict, FormGeneral))
}
