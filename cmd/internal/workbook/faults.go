package workbook

import (
	"cmp"
	"fmt"
	"slices"

	"loopwright/cmd/internal/outcome"
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
func (b *book) faultsSheets() (circuits, legs *sheet) {
	s := b.newSheet("Faults", 12, 8, 10, 10, 10, 11, 10, 24, 12, 10, 10, 10, 24, 12, 12)
	s.title("Faults and isolators",
		"What one short between two neighbours loses, with the isolators that the plans show and with the fewest that bring the circuit within its limits.",
		"The limits may be changed, and the verdicts follow. Which legs lose what, and which isolators are to be added, the program works out: run "+
			"it again with the new limits in the job file.")
	s.head = s.header("circuit", "class", "isolators on plans", "limit, devices", "limit, zones", "worst short loses", "of zones", "short between", "as drawn",
		"isolators to add", "then it loses", "of zones", "short between", "with them", "shorts that none cures").row
	s.freeze = 1
	judged := b.judged()
	if len(judged) == 0 {
		s.note("No signaling line circuit was judged.")
		return s, nil
	}
	l := b.newSheet("Faults by leg", 14, 30, 12, 12, 12, 12)
	l.portrait = true
	l.title("What a fault on each leg loses", "With the isolators on the plans; the legs of a circuit whose short loses most come first. Each "+
		"circuit refers to its rows: do not sort.")
	l.head = l.header("circuit", "between", "short loses", "of zones", "limits", "open loses").row
	l.freeze = 2
	b.faultRows(s, l, judged)
	return s, l
}

// judged are the circuits whose faults are worked out.
func (b *book) judged() []*outcome.Laid {
	var cs []*outcome.Laid
	for i := range b.in.Circuits {
		if c := &b.in.Circuits[i]; len(c.Survival.Legs) > 0 {
			cs = append(cs, c)
		}
	}
	return cs
}

// faultRows adds the circuits, their sum, the isolators to add, and the legs
// that the rows of the circuits refer to.
func (b *book) faultRows(s, l *sheet, judged []*outcome.Laid) {
	first, legs := s.next(), l.next()
	last := first + len(judged) - 1
	var add []route.Isolator
	for i, c := range judged {
		b.faultRow(s, l, c, legs)
		b.faultLegs(l, c, ref{s, first + i, 1})
		legs += len(c.Survival.Legs)
		add = append(add, c.Survival.Added...)
	}
	s.verdict = append(s.verdict, fmt.Sprintf("I%d:I%d", first, last), fmt.Sprintf("N%d:N%d", first, last))
	s.checks = append(s.checks, check{where: fmt.Sprintf("D%d:E%d", first, last), whole: true, most: 1e6})
	total := make([]cell, faultStubborn)
	for i := range total {
		total[i] = cell{}.as(roleTotal)
	}
	total[0].value = "total"
	total[faultAdd-1] = calc(fmt.Sprintf("SUM(%s:%s)", at(faultAdd, first), at(faultAdd, last)), len(add), formCount).as(roleTotal)
	b.isolators = s.add(total...).right(faultAdd - 1)
	if len(add) == 0 {
		return
	}
	s.blank(1)
	s.section("Isolators to add")
	s.header("circuit", "", "level", "", "", "", "", "beside", "", "", "", "", "on the cable between")
	for _, x := range add {
		cells := make([]cell, faultThenBetween)
		cells[0], cells[2], cells[faultBetween-1], cells[faultThenBetween-1] = text(x.Circuit), text(x.Level), text(x.Beside), text(x.From+" and "+x.To)
		s.add(cells...)
	}
}

// faultLegs lists the legs of a circuit, those whose short loses most first.
func (b *book) faultLegs(s *sheet, c *outcome.Laid, circuit ref) {
	for _, l := range byLoss(c.Survival.Legs) {
		row, words := s.next(), ""
		if beyondLimit(c, l.Short, l.Zones) {
			words = "over"
		}
		s.add(text(c.Name), text(between(l)), whole(l.Short), whole(l.Zones),
			calc(fmt.Sprintf(`IF(%s,"over","")`, overFormula(at(lossShort, row), at(lossZones, row), circuit, ref.there)), words, formGeneral), whole(l.Open))
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
func overFormula(lost, zones string, circuit ref, name func(ref) string) string {
	limit, zoneLimit, class := name(circuit.right(faultLimit-1)), name(circuit.right(faultZoneLimit-1)), name(circuit.right(faultClass-1))
	return fmt.Sprintf(`OR(AND(ISNUMBER(%[3]s),%[1]s>%[3]s),AND(ISNUMBER(%[4]s),%[2]s>%[4]s),`+
		`AND(%[5]s="X",%[1]s>0))`, lost, zones, limit, zoneLimit, class)
}

// beyondLimit is what overFormula comes to.
func beyondLimit(c *outcome.Laid, lost, zones int) bool {
	return c.MaxLostDevices > 0 && lost > c.MaxLostDevices || c.Limits.Zones > 0 && zones > c.Limits.Zones || c.Pathway == circuit.ClassX && lost > 0
}

// faultRow adds a circuit, whose legs begin in row legs of the other sheet.
func (b *book) faultRow(s, l *sheet, c *outcome.Laid, legs int) {
	f, row := &c.Survival, s.next()
	lost, zones, where, worst, most := whole(0), whole(0), text(""), 0, 0
	if sorted := byLoss(f.Legs); len(sorted) > 0 {
		last := legs + len(sorted) - 1
		worst, most = sorted[0].Short, slices.MaxFunc(sorted, func(x, y route.LegLoss) int { return x.Zones - y.Zones }).Zones
		lost = calc("MAX("+l.span(lossShort, legs, last)+")", worst, formWhole)
		zones = calc("MAX("+l.span(lossZones, legs, last)+")", most, formWhole)
		where = calc(fmt.Sprintf("INDEX(%s,MATCH(%s,%s,0))", l.span(lossBetween, legs, last), at(faultLost, row), l.span(lossShort, legs, last)), between(sorted[0]), formGeneral)
	}
	s.add(text(c.Name), text(string(c.Pathway)), whole(f.OnPlan), entry(float64(c.MaxLostDevices), formCount), entry(float64(c.Limits.Zones), formCount),
		lost, zones, where,
		judge(c, ref{s, row, 1}, faultLost, faultZones, worst, most, 0),
		cell{value: len(f.Added), style: style{form: formCount}}, whole(f.With.Short), whole(f.With.Zones), text(between(f.With)),
		judge(c, ref{s, row, 1}, faultThenLost, faultThenZones, f.With.Short, f.With.Zones, f.Stubborn),
		cell{value: f.Stubborn, style: style{form: formCount}})
}

// judge holds what stands in two columns of a circuit's row against its limits;
// shorts that no isolator cures fail, too.
func judge(c *outcome.Laid, on ref, lostAt, zonesAt, lost, zones, stubborn int) cell {
	words := "passes"
	switch {
	case c.MaxLostDevices <= 0 && c.Limits.Zones <= 0 && c.Pathway != circuit.ClassX:
		words = "no limit"
	case beyondLimit(c, lost, zones) || stubborn > 0:
		words = "FAILS"
	}
	row := on.row
	fails := overFormula(at(lostAt, row), at(zonesAt, row), on, ref.here)
	if lostAt == faultThenLost {
		fails = fmt.Sprintf("OR(%s,%s>0)", fails, at(faultStubborn, row))
	}
	return calc(fmt.Sprintf(`IF(AND(NOT(ISNUMBER(%s)),NOT(ISNUMBER(%s)),%s<>"X"),"no limit",IF(%s,"FAILS","passes"))`,
		at(faultLimit, row), at(faultZoneLimit, row), at(faultClass, row), fails), words, formGeneral)
}

func between(l route.LegLoss) string {
	if l.From == "" && l.To == "" {
		return ""
	}
	return l.From + " and " + l.To
}
