package workbook

import (
	"fmt"
	"slices"

	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook/xlsx"
)

// loopSheet proves the loop resistance of every circuit.
func loopSheet(b *book, o *outcome.Outcome) *xlsx.Sheet {
	u := b.u
	s := b.NewSheet("Loop", 11, 7, 7, 12, 11, 11, 11, 11, 11, 11, 24, 17, 11, 12, 11, 15, 11, 40)
	s.Large = true
	s.Title("Loop resistance",
		"Loop = 2 x length x ohm per "+u.rate+" / 1000 + devices in series: both conductors count. Class A and X: out and back over the whole loop; "+
			"class B: to the end that measures most. "+
			"Length is cable as installed, slack included.",
		"Capacitance = all cable of the circuit x the cable's pF per "+u.length+" / 1,000,000. Limits are listing data. Where none is given nothing "+
			"is judged. The column found is for the meter.")
	for _, m := range meteringNotes(o) {
		s.Note(m)
	}
	s.Head = s.Header("circuit", "kind", "class", "to", "length, "+u.length, "ohm per "+u.rate, "in series, ohm", "loop, ohm", "limit, ohm",
		"left, "+u.length, "verdict", "thinnest that passes", "found, ohm", "found - computed",
		"pF per "+u.length, "capacitance, uF", "limit, uF", "basis of the resistance").Row
	s.Freeze = 1
	first := s.Next()
	for i := range o.Circuits {
		loopRow(b, s, &o.Circuits[i])
	}
	last := max(first, s.Next()-1)
	if last >= s.Next() {
		s.Blank(1)
	}
	s.Verdicts = append(s.Verdicts, fmt.Sprintf("K%d:K%d", first, last))
	for _, col := range []int{6, 7, 9, 13, 15, 17} {
		s.Checks = append(s.Checks, xlsx.Check{Where: xlsx.At(col, first) + ":" + xlsx.At(col, last), Most: 1e6})
	}
	b.DefineSpan("LoopCircuit", s, 1, first, last)
	b.DefineSpan("LoopFound", s, 13, first, last)
	branchEnds(b, o, s)
	return s
}

// branchEnds lists every end of the circuits that have more than one: each is
// metered by itself. The first column stays blank, as what is read back goes by it.
func branchEnds(b *book, o *outcome.Outcome, s *xlsx.Sheet) {
	head := false
	for i := range o.Circuits {
		c := &o.Circuits[i]
		if len(c.Proof.Loop.Branches) < 2 {
			continue
		}
		if !head {
			s.Blank(1)
			s.Header("", "circuit", "class", "to every end", "length, "+b.u.length, "ohm per "+b.u.rate, "in series, ohm", "loop, ohm", "", "", "at 20 C, ohm")
			head = true
		}
		rate := b.u.rateIn(c.Proof.Loop.Rate.OhmPerMetre)
		for _, e := range c.Proof.Loop.Branches {
			row, length := s.Next(), b.u.lengthIn(e.Length)
			at20 := xlsx.Cell{}
			if ohm, ok := c.Cold(e); ok {
				at20 = xlsx.Number(rounded(ohm, 4), xlsx.FormFine)
			}
			s.Add(xlsx.Cell{}, xlsx.Text(c.Name), xlsx.Text(string(c.Pathway)), xlsx.Text(c.Proof.Nodes[e.End]), xlsx.Number(length, xlsx.FormLength),
				xlsx.Number(rate, xlsx.FormMilli), xlsx.Number(e.Series, xlsx.FormFine), xlsx.Calc(fmt.Sprintf("2*E%[1]d*F%[1]d/1000+G%[1]d", row), 2*length*rate/1000+e.Series, xlsx.FormFine).As(xlsx.RoleStrong),
				xlsx.Cell{}, xlsx.Cell{}, at20)
		}
	}
}

func loopRow(b *book, s *xlsx.Sheet, c *outcome.Laid) {
	row := s.Next()
	cc := b.byCircuit[c.Name]
	rate := b.u.rateIn(c.Proof.Loop.Rate.OhmPerMetre)
	length := sumParts(b, func(p legPart) bool { return p.circuit == c && p.worst }).installed()
	series, end := 0.0, ""
	if w := c.Proof.Loop.Worst; w >= 0 && w < len(c.Proof.Loop.Branches) {
		series, end = c.Proof.Loop.Branches[w].Series, c.Proof.WorstEnd()
	}
	if c.Pathway.Looped() {
		end = "and back"
	}
	loop := 2*length*rate/1000 + series
	limit := xlsx.Entry(c.MaxResistance, xlsx.FormFine)
	var left any = ""
	if v, ok := limit.Value.(float64); ok {
		left = (v - loop) / (2 * rate / 1000)
	}
	pico := xlsx.Entry(rounded(c.Cable.Capacitance*1e12/b.u.per, 6), xlsx.FormLength)
	micro := xlsx.Entry(rounded(c.MaxCapacitance*1e6, 9), xlsx.FormMilli)
	farads := any("pF not given")
	if v, ok := pico.Value.(float64); ok {
		farads = cc.installed.Or0() * v / 1e6
	}
	thin := ""
	if c.Proof.HasSmallest {
		thin = c.Proof.Smallest.String()
	}
	r := s.Add(xlsx.Text(c.Name), xlsx.Text(string(c.Kind)), xlsx.Text(string(c.Pathway)), xlsx.Text(end),
		xlsx.Calc(fmt.Sprintf("SUMPRODUCT(%s*LegWorst*LegInstalled)", exact("LegCircuit", xlsx.At(1, row))), length, xlsx.FormLength),
		xlsx.EntryZero(rate, xlsx.FormMilli), xlsx.EntryZero(series, xlsx.FormFine),
		xlsx.Calc(fmt.Sprintf("2*E%[1]d*F%[1]d/1000+G%[1]d", row), loop, xlsx.FormFine).As(xlsx.RoleStrong),
		limit,
		xlsx.Calc(fmt.Sprintf(`IF(AND(ISNUMBER(I%[1]d),F%[1]d>0),(I%[1]d-H%[1]d)/(2*F%[1]d/1000),"")`, row), left, xlsx.FormLength),
		xlsx.Calc(fmt.Sprintf(loopVerdict, row, loopTolerance), judgeLoop(loop, limit.Value, farads, micro.Value), xlsx.FormGeneral),
		xlsx.Text(thin), xlsx.Cell{Style: xlsx.Style{Form: xlsx.FormFine, Role: xlsx.RoleInput}},
		xlsx.Calc(fmt.Sprintf(`IF(ISNUMBER(M%[1]d),M%[1]d-H%[1]d,"")`, row), "", xlsx.FormFine),
		pico, xlsx.Calc(fmt.Sprintf(`IF(ISNUMBER(O%[1]d),%[2]s*O%[1]d/1000000,"pF not given")`, row, cc.installed.There()), farads, xlsx.FormMilli), micro,
		xlsx.Text(c.Proof.Loop.Rate.Basis.String()).Wrapped())
	s.Fit(row, 18, c.Proof.Loop.Rate.Basis.String())
	cc.rate, cc.ohm, cc.limit, cc.loop, cc.farads = r.Right(5), r.Right(7), r.Right(8), r.Right(10), r.Right(15)
}

// loopVerdict judges resistance (H against I) and capacitance (P against Q). A
// capacitance that is limited and not known must not read as passed.
const loopVerdict = `IF(AND(ISNUMBER(I%[1]d),H%[1]d>I%[1]d+%[2]g),"FAILS",IF(AND(ISNUMBER(Q%[1]d),NOT(ISNUMBER(P%[1]d))),"not proved: capacitance",` +
	`IF(AND(ISNUMBER(Q%[1]d),N(P%[1]d)>Q%[1]d+%[2]g),"FAILS: capacitance",IF(ISNUMBER(I%[1]d),"passes","not proved: no limit"))))`

// judgeLoop is what loopVerdict comes to; a figure that is not given is no float64.
func judgeLoop(ohm float64, limit, farads, most any) string {
	l, limited := limit.(float64)
	f, known := farads.(float64)
	m, bounded := most.(float64)
	switch {
	case limited && ohm > l+loopTolerance:
		return "FAILS"
	case bounded && !known:
		return "not proved: capacitance"
	case bounded && f > m+loopTolerance:
		return "FAILS: capacitance"
	case limited:
		return "passes"
	}
	return "not proved: no limit"
}

// loopTolerance keeps a circuit that stands exactly at its limit from failing by
// the last digit of a sum, in ohms.
const loopTolerance = 1e-9

// meteringNotes says how each class of circuit is metered.
func meteringNotes(o *outcome.Outcome) []string {
	var out []string
	for _, c := range o.Circuits {
		class := "class B"
		if c.Pathway.Looped() {
			class = "class A and X"
		}
		if m := "To meter " + class + ": " + c.Proof.Loop.Method + "."; c.Proof.Loop.Method != "" && !slices.Contains(out, m) {
			out = append(out, m)
		}
	}
	return out
}
