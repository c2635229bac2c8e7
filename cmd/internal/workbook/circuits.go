package workbook

import (
	"fmt"
	"slices"
	"strings"

	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook/xlsx"
	"loopwright/takeoff"
)

// circuitsSheet is the table of circuits: what each carries and whether it is proved.
func circuitsSheet(b *book, o *outcome.Outcome) *xlsx.Sheet {
	u := b.u.length
	s := b.NewSheet("Circuits", 11, 7, 9, 7, 6, 16, 10, 18, 9, 12, 12, 8, 12, 12, 11, 12, 13, 10, 10, 11, 14, 24)
	s.Large = true
	s.Title("Circuits", "Lengths in "+u+". No route over the same distances is shorter than the lower bound. Verdicts come from the "+
		"sheets Loop, Voltage and Faults, and are of the circuit as drawn.")
	s.Head = s.Header("circuit", "kind", "panel", "class", "T-taps", "levels", "cable", "conductor", "devices", "addresses used", "addresses usable", "left",
		"measured, "+u, "of it return, "+u, "slack, "+u, "installed, "+u, "lower bound, "+u, "loop, ohm", "limit, ohm", "lowest, V", "capacitance, uF", "verdict").Row
	s.Freeze = 1
	first := s.Next()
	for i := range o.Circuits {
		circuitRow(b, o, s, &o.Circuits[i])
	}
	last := s.Next() - 1
	if last < first {
		s.Note("No circuit was laid.")
		return s
	}
	s.Verdicts = append(s.Verdicts, fmt.Sprintf("V%d:V%d", first, last))
	b.DefineSpan("CircuitVerdict", s, 22, first, last)
	cells := []xlsx.Cell{xlsx.Text("total").As(xlsx.RoleTotal)}
	for c := 2; c <= 22; c++ {
		t := xlsx.Cell{}.As(xlsx.RoleTotal)
		switch c {
		case 9, 10, 13, 14, 15, 16:
			f, sum := xlsx.FormLength, 0.0
			if c < 11 {
				f = xlsx.FormWhole
			}
			for r := first; r <= last; r++ {
				sum += s.Ref(r, c).Or0()
			}
			t = xlsx.Calc(fmt.Sprintf("SUM(%s:%s)", xlsx.At(c, first), xlsx.At(c, last)), sum, f).As(xlsx.RoleTotal)
		}
		cells = append(cells, t)
	}
	s.Add(cells...)
	return s
}

func circuitRow(b *book, o *outcome.Outcome, s *xlsx.Sheet, c *outcome.Laid) {
	row, cc := s.Next(), b.byCircuit[c.Name]
	used := 0
	for _, d := range o.Devices {
		if d.Circuit == c.Name {
			used += d.Span
		}
	}
	usedCell, capacity, left := xlsx.Cell{}, xlsx.Cell{}, xlsx.Cell{}
	if c.Kind == takeoff.SLC {
		usedCell, capacity = xlsx.Whole(used), xlsx.Whole(c.Addressing.Capacity())
		left = xlsx.Calc(fmt.Sprintf("K%[1]d-J%[1]d", row), c.Addressing.Capacity()-used, xlsx.FormWhole)
	}
	taps := ""
	if c.Taps {
		taps = "yes"
	}
	levels := strings.Join(c.Levels, ", ")
	if levels == "" {
		levels = "all"
	}
	bound := xlsx.Cell{}
	if c.LowerBound > 0 {
		bound = xlsx.Number(b.u.lengthIn(c.LowerBound), xlsx.FormLength)
	}
	link := func(r xlsx.Ref, f xlsx.Form) xlsx.Cell {
		v := r.Cell().Value
		if v == nil {
			return xlsx.Calc(fmt.Sprintf(`IF(ISNUMBER(%[1]s),%[1]s,"")`, r.There()), "", f)
		}
		return xlsx.Calc(r.There(), v, f)
	}
	volts := xlsx.Cell{}
	if len(cc.volts) > 0 {
		volts = lowestVolts(cc.volts)
	}
	cc.verdict = s.Add(xlsx.Text(c.Name), xlsx.Text(string(c.Kind)), xlsx.Text(c.Panel), xlsx.Text(string(c.Pathway)), xlsx.Text(taps), xlsx.Text(levels), xlsx.Text(c.Cable.Name), xlsx.Text(strings.TrimSuffix(c.Cable.Conductor.String()+", "+o.Pathway(*c), ", ")),
		xlsx.Whole(len(c.Devices)), usedCell, capacity, left,
		link(cc.measured, xlsx.FormLength), xlsx.Number(b.u.lengthIn(c.Back), xlsx.FormLength), link(cc.slack, xlsx.FormLength), link(cc.installed, xlsx.FormLength), bound,
		link(cc.ohm, xlsx.FormFine), link(cc.limit, xlsx.FormFine), volts, link(cc.farads, xlsx.FormMilli), verdictOf(cc, c)).Right(21)
}

// lowestVolts is the least of the voltages that are worked out, of several states.
func lowestVolts(states []xlsx.Ref) xlsx.Cell {
	var at []string
	var low any = ""
	for _, r := range states {
		at = append(at, r.There())
		if v, ok := r.Num(); ok && (low == "" || v < low.(float64)) {
			low = v
		}
	}
	list := strings.Join(at, ",")
	return xlsx.Calc(fmt.Sprintf(`IF(COUNT(%[1]s)>0,MIN(%[1]s),"")`, list), low, xlsx.FormFine)
}

// verdictOf joins the verdicts on a circuit as drawn: what fails comes first, then
// what is not proved. An SLC is judged by resistance, and in every state of the system where its
// current or voltage is limited; appliance and power circuits the other way round.
func verdictOf(cc *circuitCells, c *outcome.Laid) xlsx.Cell {
	if !c.SegmentFits(c.Survival.Segment) {
		return xlsx.Text("FAILS: devices between isolators, as drawn") // by no figure of the sheets
	}
	proofs, wire := cc.verdicts, append(slices.Clone(cc.verdicts), cc.loop)
	if c.Kind == takeoff.SLC {
		proofs = wire
	}
	words := func(r xlsx.Ref) string { v, _ := r.Cell().Value.(string); return v }
	fails := func(r xlsx.Ref) bool { return strings.HasPrefix(words(r), "FAILS") }
	formula, value := `"passes"`, "passes"
	step := func(test string, holds bool, then, word string) {
		formula = fmt.Sprintf("IF(%s,%s,%s)", test, then, formula)
		if holds {
			value = word
		}
	}
	// Built from the inside: what is asked first is put around the rest.
	for _, r := range slices.Backward(proofs) {
		step(r.There()+`<>"passes"`, words(r) != "passes", r.There(), words(r))
	}
	for _, r := range slices.Backward(wire) {
		step(fmt.Sprintf(`LEFT(%s,5)="FAILS"`, r.There()), fails(r), r.There(), words(r))
	}
	if cc.shorts.Sheet != nil {
		step(fmt.Sprintf(`%s="FAILS"`, cc.shorts.There()), fails(cc.shorts), `"FAILS: one short, as drawn"`, "FAILS: one short, as drawn")
	}
	return xlsx.Calc(formula, value, xlsx.FormGeneral)
}
