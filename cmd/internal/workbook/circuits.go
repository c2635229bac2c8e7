package workbook

import (
	"fmt"
	"strings"

	"loopwright/cmd/internal/outcome"
	"loopwright/takeoff"
)

// circuitsSheet is the table of circuits: what each carries and whether it is proved.
func (b *book) circuitsSheet() *sheet {
	u := b.u.length
	s := b.newSheet("Circuits", 11, 7, 9, 7, 6, 16, 10, 18, 9, 12, 12, 8, 12, 12, 11, 12, 13, 10, 10, 11, 14, 24)
	s.large = true
	s.title("Circuits", "Lengths in "+u+". The lower bound is a length that no route under the same distances can beat. Verdicts come from the "+
		"sheets Loop and Voltage.")
	s.head = s.header("circuit", "kind", "panel", "class", "T-taps", "levels", "cable", "conductor", "devices", "addresses used", "addresses usable", "left",
		"measured, "+u, "of it return, "+u, "slack, "+u, "installed, "+u, "lower bound, "+u, "loop, ohm", "limit, ohm", "lowest, V", "capacitance, uF", "verdict").row
	s.freeze = 1
	first := s.next()
	for i := range b.in.Circuits {
		b.circuitRow(s, &b.in.Circuits[i])
	}
	last := s.next() - 1
	if last < first {
		s.note("No circuit was laid.")
		return s
	}
	s.verdict = append(s.verdict, fmt.Sprintf("V%d:V%d", first, last))
	b.defineSpan("CircuitVerdict", s, 22, first, last)
	cells := []cell{text("total").as(roleTotal)}
	for c := 2; c <= 22; c++ {
		t := cell{}.as(roleTotal)
		switch c {
		case 9, 10, 13, 14, 15, 16:
			f, sum := formLength, 0.0
			if c < 11 {
				f = formWhole
			}
			for r := first; r <= last; r++ {
				sum += ref{s, r, c}.or0()
			}
			t = calc(fmt.Sprintf("SUM(%s:%s)", at(c, first), at(c, last)), sum, f).as(roleTotal)
		}
		cells = append(cells, t)
	}
	s.add(cells...)
	return s
}

func (b *book) circuitRow(s *sheet, c *outcome.Laid) {
	row, cc := s.next(), b.byCircuit[c.Name]
	used := 0
	for _, d := range b.in.Devices {
		if d.Circuit == c.Name {
			used += d.Span
		}
	}
	usedCell, capacity, left := cell{}, cell{}, cell{}
	if c.Kind == takeoff.SLC {
		usedCell, capacity = whole(used), whole(c.Addressing.Capacity())
		left = calc(fmt.Sprintf("K%[1]d-J%[1]d", row), c.Addressing.Capacity()-used, formWhole)
	}
	taps := ""
	if c.Taps {
		taps = "yes"
	}
	levels := strings.Join(c.Levels, ", ")
	if levels == "" {
		levels = "all"
	}
	bound := cell{}
	if c.LowerBound > 0 {
		bound = number(b.u.lengthIn(c.LowerBound), formLength)
	}
	link := func(r ref, f form) cell {
		v := r.cell().value
		if v == nil {
			return calc(fmt.Sprintf(`IF(ISNUMBER(%[1]s),%[1]s,"")`, r.there()), "", f)
		}
		return calc(r.there(), v, f)
	}
	volts, verdict := cell{}, cc.loopVerdict
	if cc.hasVoltage {
		volts, verdict = link(cc.worstVolts, formFine), cc.voltageVerdict
	}
	s.add(text(c.Name), text(string(c.Kind)), text(c.Panel), text(string(c.Pathway)), text(taps), text(levels), text(c.Cable.Name), text(c.Cable.Conductor.String()),
		whole(len(c.Devices)), usedCell, capacity, left,
		link(cc.measured, formLength), number(b.u.lengthIn(c.Back), formLength), link(cc.slack, formLength), link(cc.installed, formLength), bound,
		link(cc.ohm, formFine), link(cc.limit, formFine), volts, link(cc.farads, formMilli), link(verdict, formGeneral))
}
