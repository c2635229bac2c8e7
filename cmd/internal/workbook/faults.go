package workbook

import (
	"cmp"
	"fmt"
	"slices"

	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook/xlsx"
	"loopwright/route"
	"loopwright/route/circuit"
)

// The columns of the sheet of faults.
const (
	faultCircuit = 1 + iota
	faultClass
	faultOnPlan
	faultLimit
	faultZoneLimit
	faultLost
	faultZones
	faultBetween
	faultVerdict
	faultAdd
	faultThenLost
	faultThenZones
	faultThenBetween
	faultThenVerdict
	faultStubborn
)

// The columns of the sheet of legs by loss.
const (
	lossCircuit = 1 + iota
	lossBetween
	lossShort
	lossZones
	lossOver
	lossOpen
)

// faultsSheets say what single faults cost, circuit by circuit and leg by leg,
// and which isolators are missing. What a short loses is the program's to work
// out; what follows from it and from the limits is in formulas.
func faultsSheets(b *book, o *outcome.Outcome) (circuits, legs *xlsx.Sheet) {
	s := b.NewSheet("Faults", 12, 8, 10, 10, 10, 11, 10, 24, 12, 10, 10, 10, 24, 12, 12)
	s.Title("Faults and isolators",
		"What one short between two neighbours loses, with the isolators that the plans show and with the fewest that bring the circuit within its limits.",
		"The limits may be changed, and the verdicts follow. Which legs lose what, and which isolators to add, is worked out by the program: run "+
			"it again with the new limits in the job file.")
	s.Head = s.Header("circuit", "class", "isolators on plans", "limit, devices", "limit, zones", "worst short loses", "of zones", "short between", "as drawn",
		"isolators to add", "then it loses", "of zones", "short between", "with them", "shorts that none cures").Row
	s.Freeze = 1
	judged := judgedCircuits(o)
	if len(judged) == 0 {
		s.Note("No signaling line circuit was judged.")
		return s, nil
	}
	l := b.NewSheet("Faults by leg", 14, 30, 12, 12, 12, 12)
	l.Portrait = true
	l.Title("What a fault on each leg loses", "With the isolators on the plans; the legs of a circuit whose short loses most come first. Each "+
		"circuit refers to its rows: do not sort.")
	l.Head = l.Header("circuit", "between", "short loses", "of zones", "limits", "open loses").Row
	l.Freeze = 2
	faultRows(b, s, l, judged)
	return s, l
}

// judgedCircuits are the circuits whose faults are worked out.
func judgedCircuits(o *outcome.Outcome) []*outcome.Laid {
	var cs []*outcome.Laid
	for i := range o.Circuits {
		if c := &o.Circuits[i]; len(c.Survival.Legs) > 0 {
			cs = append(cs, c)
		}
	}
	return cs
}

// faultRows adds the circuits, their sum, the isolators to add, and the legs
// that the rows of the circuits refer to.
func faultRows(b *book, s, l *xlsx.Sheet, judged []*outcome.Laid) {
	first, legs := s.Next(), l.Next()
	last := first + len(judged) - 1
	var add []route.Isolator
	for i, c := range judged {
		b.byCircuit[c.Name].shorts = faultRow(s, l, c, legs)
		faultLegs(l, c, s.Ref(first+i, 1))
		legs += len(c.Survival.Legs)
		add = append(add, c.Survival.Added...)
	}
	s.Verdicts = append(s.Verdicts, fmt.Sprintf("I%d:I%d", first, last), fmt.Sprintf("N%d:N%d", first, last))
	s.Checks = append(s.Checks, xlsx.Check{Where: fmt.Sprintf("D%d:E%d", first, last), Whole: true, Most: 1e6})
	total := make([]xlsx.Cell, faultStubborn)
	for i := range total {
		total[i] = xlsx.Cell{}.As(xlsx.RoleTotal)
	}
	total[0].Value = "total"
	total[faultAdd-1] = xlsx.Calc(fmt.Sprintf("SUM(%s:%s)", xlsx.At(faultAdd, first), xlsx.At(faultAdd, last)), len(add), xlsx.FormCount).As(xlsx.RoleTotal)
	b.isolators = s.Add(total...).Right(faultAdd - 1)
	if len(add) == 0 {
		return
	}
	s.Blank(1)
	s.Section("Isolators to add")
	s.Header("circuit", "", "level", "", "", "", "", "beside", "", "", "", "", "on the cable between")
	for _, x := range add {
		cells := make([]xlsx.Cell, faultThenBetween)
		cells[0], cells[2], cells[faultBetween-1], cells[faultThenBetween-1] = xlsx.Text(x.Circuit), xlsx.Text(x.Level), xlsx.Text(x.Beside), xlsx.Text(x.From+" and "+x.To)
		s.Add(cells...)
	}
}

// faultLegs lists the legs of a circuit, those whose short loses most first.
func faultLegs(s *xlsx.Sheet, c *outcome.Laid, circuit xlsx.Ref) {
	for _, l := range byLoss(c.Survival.Legs) {
		row, words := s.Next(), ""
		if beyondLimit(c, l.Short, l.Zones) {
			words = "over"
		}
		s.Add(xlsx.Text(c.Name), xlsx.Text(between(l)), xlsx.Whole(l.Short), xlsx.Whole(l.Zones),
			xlsx.Calc(fmt.Sprintf(`IF(%s,"over","")`, overFormula(xlsx.At(lossShort, row), xlsx.At(lossZones, row), circuit, xlsx.Ref.There)), words, xlsx.FormGeneral), xlsx.Whole(l.Open))
	}
}

// byLoss sorts legs by what their short loses.
func byLoss(legs []route.LegLoss) []route.LegLoss {
	legs = slices.Clone(legs)
	slices.SortStableFunc(legs, func(x, y route.LegLoss) int {
		return cmp.Or(y.Short-x.Short, y.Zones-x.Zones, y.Open-x.Open)
	})
	return legs
}

// overFormula tests what a short loses against the limits in the row of its
// circuit. A short on a leg of a class X circuit may lose nothing at all.
func overFormula(lost, zones string, circuit xlsx.Ref, name func(xlsx.Ref) string) string {
	limit, zoneLimit, class := name(circuit.Right(faultLimit-1)), name(circuit.Right(faultZoneLimit-1)), name(circuit.Right(faultClass-1))
	return fmt.Sprintf(`OR(AND(ISNUMBER(%[3]s),%[1]s>%[3]s),AND(ISNUMBER(%[4]s),%[2]s>%[4]s),`+
		`AND(%[5]s="X",%[1]s>0))`, lost, zones, limit, zoneLimit, class)
}

// beyondLimit is what overFormula comes to.
func beyondLimit(c *outcome.Laid, lost, zones int) bool {
	return c.MaxLostDevices > 0 && lost > c.MaxLostDevices || c.Limits.Zones > 0 && zones > c.Limits.Zones || c.Pathway == circuit.ClassX && lost > 0
}

// faultRow adds a circuit, whose legs begin in row legs of the other sheet, and
// returns the cell with its verdict as drawn.
func faultRow(s, l *xlsx.Sheet, c *outcome.Laid, legs int) xlsx.Ref {
	f, row := &c.Survival, s.Next()
	lost, zones, where, worst, most := xlsx.Whole(0), xlsx.Whole(0), xlsx.Text(""), 0, 0
	if sorted := byLoss(f.Legs); len(sorted) > 0 {
		last := legs + len(sorted) - 1
		worst, most = sorted[0].Short, slices.MaxFunc(sorted, func(x, y route.LegLoss) int { return x.Zones - y.Zones }).Zones
		lost = xlsx.Calc("MAX("+l.Span(lossShort, legs, last)+")", worst, xlsx.FormWhole)
		zones = xlsx.Calc("MAX("+l.Span(lossZones, legs, last)+")", most, xlsx.FormWhole)
		where = xlsx.Calc(fmt.Sprintf("INDEX(%s,MATCH(%s,%s,0))", l.Span(lossBetween, legs, last), xlsx.At(faultLost, row), l.Span(lossShort, legs, last)), between(sorted[0]), xlsx.FormGeneral)
	}
	return s.Add(xlsx.Text(c.Name), xlsx.Text(string(c.Pathway)), xlsx.Whole(f.OnPlan), xlsx.Entry(float64(c.MaxLostDevices), xlsx.FormCount), xlsx.Entry(float64(c.Limits.Zones), xlsx.FormCount),
		lost, zones, where,
		judge(c, s.Ref(row, 1), faultLost, faultZones, worst, most, 0),
		xlsx.Cell{Value: len(f.Added), Style: xlsx.Style{Form: xlsx.FormCount}}, xlsx.Whole(f.With.Short), xlsx.Whole(f.With.Zones), xlsx.Text(between(f.With)),
		judge(c, s.Ref(row, 1), faultThenLost, faultThenZones, f.With.Short, f.With.Zones, f.Stubborn),
		xlsx.Cell{Value: f.Stubborn, Style: xlsx.Style{Form: xlsx.FormCount}}).Right(faultVerdict - 1)
}

// judge holds what stands in two columns of a circuit's row against its limits;
// shorts that no isolator cures fail, too.
func judge(c *outcome.Laid, on xlsx.Ref, lostAt, zonesAt, lost, zones, stubborn int) xlsx.Cell {
	words := "passes"
	switch {
	case c.MaxLostDevices <= 0 && c.Limits.Zones <= 0 && c.Pathway != circuit.ClassX:
		words = "no limit"
	case beyondLimit(c, lost, zones) || stubborn > 0:
		words = "FAILS"
	}
	row := on.Row
	fails := overFormula(xlsx.At(lostAt, row), xlsx.At(zonesAt, row), on, xlsx.Ref.Here)
	if lostAt == faultThenLost {
		fails = fmt.Sprintf("OR(%s,%s>0)", fails, xlsx.At(faultStubborn, row))
	}
	return xlsx.Calc(fmt.Sprintf(`IF(AND(NOT(ISNUMBER(%s)),NOT(ISNUMBER(%s)),%s<>"X"),"no limit",IF(%s,"FAILS","passes"))`,
		xlsx.At(faultLimit, row), xlsx.At(faultZoneLimit, row), xlsx.At(faultClass, row), fails), words, xlsx.FormGeneral)
}

func between(l route.LegLoss) string {
	if l.From == "" && l.To == "" {
		return ""
	}
	return l.From + " and " + l.To
}
