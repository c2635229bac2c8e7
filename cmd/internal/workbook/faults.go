package workbook

import (
	"cmp"
	"fmt"
	"slices"

	"loopwright/route"
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

// faultsSheet says what single faults cost, and which isolators are missing.
// What a short loses is the program's to work out; what follows from it and from
// the limits is in formulas.
func (b *book) faultsSheet() *sheet {
	s := b.newSheet("Faults", 12, 8, 10, 10, 10, 11, 10, 24, 12, 10, 10, 10, 24, 12, 12)
	s.title("Faults and isolators",
		"What one short between two neighbours loses, with the isolators that the plans show and with the fewest that bring the circuit within its limits.",
		"The limits may be changed, and the verdicts follow. Which legs lose what, and which isolators are to be added, the program works out: run it again with the new limits in the job file.")
	s.head = s.header("circuit", "class", "isolators on plans", "limit, devices", "limit, zones", "worst short loses", "of zones", "short between", "as drawn",
		"isolators to add", "then it loses", "of zones", "short between", "with them", "shorts that none cures").row
	s.freeze = 1
	judged := b.judged()
	if len(judged) == 0 {
		s.note("No signaling line circuit was judged.")
		return s
	}
	b.faultRows(s, judged)
	return s
}

// judged are the circuits whose faults are worked out.
func (b *book) judged() []*Circuit {
	var cs []*Circuit
	for i := range b.in.Circuits {
		if c := &b.in.Circuits[i]; c.Faults != nil {
			cs = append(cs, c)
		}
	}
	return cs
}

// faultRows adds the circuits, their sum, the isolators to add, and the legs
// that the rows of the circuits refer to.
func (b *book) faultRows(s *sheet, judged []*Circuit) {
	first := s.next()
	last := first + len(judged) - 1
	var add []route.Isolator
	for _, c := range judged {
		add = append(add, c.Faults.Added...)
	}
	legs := last + 2 + 3 // behind the sum: a blank row, the section and its head
	if len(add) > 0 {
		legs += 3 + len(add)
	}
	for _, c := range judged {
		b.faultRow(s, c, legs)
		legs += len(c.Faults.Legs)
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
	if len(add) > 0 {
		s.blank(1)
		s.section("Isolators to add")
		s.header("circuit", "", "level", "", "", "", "", "beside", "", "", "", "", "on the cable between")
		for _, x := range add {
			cells := make([]cell, faultThenBetween)
			cells[0], cells[2], cells[faultBetween-1], cells[faultThenBetween-1] = text(x.Circuit), text(x.Level), text(x.Beside), text(x.From+" and "+x.To)
			s.add(cells...)
		}
	}
	b.faultLegs(s, judged, first)
}

// faultLegs lists the legs of every circuit, those whose short loses most first.
func (b *book) faultLegs(s *sheet, judged []*Circuit, top int) {
	s.blank(1)
	s.section("Legs by loss, with the isolators on the plans")
	s.header("circuit", "", "", "", "", "short loses", "of zones", "between", "limits", "open loses")
	for i, c := range judged {
		for _, l := range byLoss(c.Faults.Legs) {
			row := s.next()
			words := ""
			if c.over(l.Short, l.Zones) {
				words = "over"
			}
			cells := make([]cell, faultAdd)
			cells[0], cells[faultLost-1], cells[faultZones-1], cells[faultBetween-1] = text(c.Name), whole(l.Short), whole(l.Zones), text(between(l))
			cells[faultVerdict-1] = calc(fmt.Sprintf(`IF(%s,"over","")`, overFormula(at(faultLost, row), at(faultZones, row), top+i)), words, formGeneral)
			cells[faultAdd-1] = whole(l.Open)
			s.add(cells...)
		}
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
func overFormula(lost, zones string, row int) string {
	limit, zoneLimit, class := "$"+at(faultLimit, row), "$"+at(faultZoneLimit, row), "$"+at(faultClass, row)
	return fmt.Sprintf(`OR(AND(ISNUMBER(%[3]s),%[1]s>%[3]s),AND(ISNUMBER(%[4]s),%[2]s>%[4]s),AND(%[5]s="X",%[1]s>0))`, lost, zones, limit, zoneLimit, class)
}

// over is what overFormula comes to.
func (c *Circuit) over(lost, zones int) bool {
	return c.MaxLostDevices > 0 && lost > c.MaxLostDevices || c.ZoneLimit > 0 && zones > c.ZoneLimit || c.Pathway == route.ClassX && lost > 0
}

// faultRow adds a circuit, whose legs begin in row legs.
func (b *book) faultRow(s *sheet, c *Circuit, legs int) {
	f, row := c.Faults, s.next()
	lost, zones, where := whole(0), whole(0), text("")
	if sorted := byLoss(f.Legs); len(sorted) > 0 {
		last := legs + len(sorted) - 1
		span := func(col int) string { return fmt.Sprintf("%s:%s", at(col, legs), at(col, last)) }
		most := slices.MaxFunc(sorted, func(x, y route.LegLoss) int { return x.Zones - y.Zones }).Zones
		lost = calc("MAX("+span(faultLost)+")", sorted[0].Short, formWhole)
		zones = calc("MAX("+span(faultZones)+")", most, formWhole)
		where = calc(fmt.Sprintf("INDEX(%s,MATCH(%s,%s,0))", span(faultBetween), at(faultLost, row), span(faultLost)), between(sorted[0]), formGeneral)
	}
	judge := func(lostAt, zonesAt string, lost, zones int, stubborn string, left int) cell {
		words := "passes"
		if c.over(lost, zones) || left > 0 {
			words = "FAILS"
		}
		if c.MaxLostDevices <= 0 && c.ZoneLimit <= 0 && c.Pathway != route.ClassX {
			words = "no limit"
		}
		return calc(fmt.Sprintf(`IF(AND(NOT(ISNUMBER(%[1]s)),NOT(ISNUMBER(%[2]s)),%[3]s<>"X"),"no limit",IF(OR(%[4]s%[5]s),"FAILS","passes"))`,
			at(faultLimit, row), at(faultZoneLimit, row), at(faultClass, row), overFormula(lostAt, zonesAt, row), stubborn), words, formGeneral)
	}
	worst, _ := lost.value.(int)
	most, _ := zones.value.(int)
	s.add(text(c.Name), text(string(c.Pathway)), whole(f.OnPlan), entry(float64(c.MaxLostDevices), formCount), entry(float64(c.ZoneLimit), formCount),
		lost, zones, where,
		judge(at(faultLost, row), at(faultZones, row), worst, most, "", 0),
		cell{value: len(f.Added), style: style{form: formCount}}, whole(f.With.Short), whole(f.With.Zones), text(between(f.With)),
		judge(at(faultThenLost, row), at(faultThenZones, row), f.With.Short, f.With.Zones, ","+at(faultStubborn, row)+">0", f.Stubborn),
		cell{value: f.Stubborn, style: style{form: formCount}})
}

func between(l route.LegLoss) string {
	if l.From == "" && l.To == "" {
		return ""
	}
	return l.From + " and " + l.To
}
