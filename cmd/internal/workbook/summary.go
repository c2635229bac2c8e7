package workbook

import (
	"fmt"
	"strings"

	"loopwright/takeoff"
)

// The columns of the first sheet: money at the left, key counts at the right.
const (
	sumAmount = 2 + iota
	sumShare
	sumMissing
	_
	sumKey
	sumCount
)

// summarySheet is the bid on one page.
func (b *book) summarySheet() *sheet {
	s := b.newSheet("Summary", 36, 16, 9, 10, 3, 36, 15)
	s.noGrid, s.portrait = true, true
	j := b.in.Job
	b.define("JobName", s.add(text(j.Name).as(roleTitle)))
	s.height(1, 24)
	s.note(b.subtitle())
	s.blank(1)
	top := s.next()
	s.blank(3) // the number and what it lacks, when the sums have their places
	row := s.next()
	total, count, gaps := b.bidColumn(s)
	b.keyColumn(s, row)
	v, _ := total.num()
	blank := cell{}.as(roleBanner)
	s.extend(top, text(b.priced("Total of the bid")).as(roleBanner), calc(total.here(), v, formMoney).as(roleBanner), blank, blank)
	s.extend(top+1, incomplete(count, gaps).as(roleStrong))
	s.verdict = append(s.verdict, at(1, top+1)+":"+at(4, top+1))
	s.blank(1)
	b.scope(s)
	s.blank(1)
	b.verdicts(s)
	s.blank(1)
	s.caution(takeoff.CautionLong)
	s.blank(1)
	b.gapLines(s, count)
	return s
}

func (b *book) subtitle() string {
	j := b.in.Job
	parts := []string{"Takeoff and bid of the fire alarm circuits"}
	if j.Revision != "" {
		parts = append(parts, "revision "+j.Revision)
	}
	if !j.Date.IsZero() {
		parts = append(parts, j.Date.Format("2006-01-02"))
	}
	return strings.Join(append(parts, "lengths in "+b.u.length), "; ")
}

// incomplete says whether anything lacks its price or hours.
func incomplete(count string, gaps int) cell {
	words := "Every price and hour is given."
	if gaps > 0 {
		words = fmt.Sprintf("INCOMPLETE: %d price(s) or hour(s) are not given, and the total leaves them out: see below.", gaps)
	}
	return calc(fmt.Sprintf(`IF(%[1]s>0,"INCOMPLETE: "&%[1]s&" price(s) or hour(s) are not given, and the total leaves them out: see below.",`+
		`"Every price and hour is given.")`, count), words, formGeneral)
}

// bidColumn adds the money, at the left. It returns the cell of the total, the
// number of missing figures as a formula, and that number.
func (b *book) bidColumn(s *sheet) (total ref, count string, gaps int) {
	s.header("Bid", b.priced("amount"), "share", "not given")
	first := s.next()
	for _, g := range b.prices.groups {
		s.add(text(g.name), calc(g.sum.there(), g.sum.or0(), formMoney), cell{style: style{form: formPercentFine}}, counted(g.missing, formCount))
	}
	last := s.next() - 1
	sum, missing := b.prices.total()
	material := s.add(text("Material").as(roleTotal), calc(fmt.Sprintf("SUM(B%d:B%d)", first, last), sum, formMoney).as(roleTotal), cell{}.as(roleTotal),
		calc(fmt.Sprintf("SUM(D%d:D%d)", first, last), missing, formCount).as(roleTotal)).right(1)
	sundries := shareLine(s, "Sundries", b.set.sundries, "SundriesShare", material)
	tax := shareLine(s, "Tax on material", b.set.tax, "TaxShare", material, sundries)
	labor, lacking := b.laborLines(s)
	cost := sumLine(s, "Cost", roleTotal, material, sundries, tax, labor)
	contingency := shareLine(s, "Contingency", b.set.contingency, "ContingencyShare", cost)
	overhead := shareLine(s, "Overhead", b.set.overhead, "OverheadShare", cost, contingency)
	profit := shareLine(s, "Profit", b.set.profit, "ProfitShare", cost, contingency, overhead)
	total = sumLine(s, "Total", roleBanner, cost, contingency, overhead, profit)
	b.define("BidTotal", total)
	return total, fmt.Sprintf("(D%d+D%d+D%d)", material.row, labor.row-1, labor.row), missing + lacking
}

// shareLine adds a share of the sum of some cells; a blank share is none.
func shareLine(s *sheet, words string, share ref, name string, of ...ref) ref {
	f, sum := sumOfRefs(of)
	var shown any = "none"
	if v, ok := share.num(); ok {
		shown = v
	}
	return s.add(text(words), calc(fmt.Sprintf("(%s)*N(%s)", f, name), sum*share.or0(), formMoney),
		calc(fmt.Sprintf(`IF(ISNUMBER(%[1]s),%[1]s,"none")`, name), shown, formPercentFine)).right(1)
}

func sumLine(s *sheet, words string, r role, of ...ref) ref {
	f, sum := sumOfRefs(of)
	return s.add(text(words).as(r), calc(f, sum, formMoney).as(r), cell{}.as(r), cell{}.as(r)).right(1)
}

func sumOfRefs(of []ref) (formula string, sum float64) {
	var parts []string
	for _, r := range of {
		parts = append(parts, r.here())
		sum += r.or0()
	}
	return strings.Join(parts, "+"), sum
}

// laborLines adds hours and what they cost, and returns the cell of the money
// and how many figures are missing.
func (b *book) laborLines(s *sheet) (ref, int) {
	hours, missing := b.labor.total()
	h := s.add(text("Labor, hours"), calc(b.labor.all.there(), hours, formFine), cell{}, calc(b.labor.all.right(1).there(), missing, formCount))
	b.define("HoursTotal", h.right(1))
	rate, given := b.set.labor.num()
	noRate := 0
	if !given && hours != 0 {
		noRate = 1
	}
	l := s.add(text("Labor"), calc(fmt.Sprintf("IF(ISNUMBER(LaborRate),B%d*LaborRate,0)", h.row), hours*rate, formMoney), cell{},
		calc(fmt.Sprintf("IF(OR(ISNUMBER(LaborRate),B%d=0),0,1)", h.row), noRate, formCount))
	return l.right(1), missing + noRate
}

// keyColumn puts the key counts beside the money, from a row on.
func (b *book) keyColumn(s *sheet, row int) {
	var worst [3]int
	for _, f := range b.in.Findings {
		worst[f.Severity]++
	}
	addresses := 0
	for _, d := range b.in.Devices {
		addresses += d.Span
	}
	lines := [][2]cell{
		{text("Key counts").as(roleHead), cell{}.as(roleHead)},
		{text("Devices that count"), counted(b.counted, formCount).as(roleStrong)},
		{text("Symbols that do not count"), counted(b.excluded, formCount)},
		{text("Levels"), whole(len(b.in.Take.Levels))},
		{text("Circuits"), whole(len(b.in.Circuits))},
		{text("Addresses given out"), whole(addresses)},
		{text("Findings: errors"), whole(worst[takeoff.Error])},
		{text("Findings: warnings"), whole(worst[takeoff.Warning])},
		{text("Findings: notes"), whole(worst[takeoff.Note])},
	}
	for _, k := range b.in.Job.Cables {
		lines = append(lines, [2]cell{text("Cable " + k.Cable + " to order, " + b.u.length), counted(b.byCable[k.Cable].order, formLength)})
	}
	for _, k := range b.batteries {
		lines = append(lines, [2]cell{text("Battery " + k.panel + ", Ah required"), calc(k.required.there(), k.required.cell().value, formFine)})
	}
	for i, l := range lines {
		for s.next() <= row+i {
			s.blank(1)
		}
		s.set(row+i, sumKey, l[0])
		s.set(row+i, sumCount, l[1])
	}
}

// mostGaps is how many missing figures the first sheet names.
const mostGaps = 10

// scope says what the total holds and what it does not.
func (b *book) scope(s *sheet) {
	s.section("What is in the total, and what is not")
	line := func(words string, c cell, where string) { s.add(text(words), c, text(where)) }
	line("Symbols left out", counted(b.excluded, formCount), "each with its reason on the sheet Counts")
	line("Devices without a box named: no box", counted(b.boxless, formCount), "sheet Parts")
	if n := b.isolators; n.sheet != nil {
		line("Isolators to add, in it", counted(n, formCount), "sheet Faults")
	}
	if b.inConduit.sheet != nil {
		line("Conduit in it, "+b.u.length, counted(b.inConduit, formLength), "share of the cable on the sheet Settings")
	}
	s.note("Not looked for on drawings, and in the total only as items of the job file: permits, engineering, lifts, drilling, firestopping, " +
		"patching, mains supply, training.")
}

// gapLines names what lacks its price or hours.
func (b *book) gapLines(s *sheet, count string) {
	s.section("Prices and hours that are not given")
	items := b.gapItems()
	for k := 1; k <= mostGaps; k++ {
		words := ""
		if k <= len(items) {
			words = items[k-1]
		}
		f := gapFormula(k)
		if k == 1 {
			f = fmt.Sprintf(`IF(%s=0,"none",%s)`, count, f)
			if len(items) == 0 {
				words = "none"
			}
		}
		s.add(calc(f, words, formGeneral))
	}
	more := ""
	if n := len(items) - mostGaps; n > 0 {
		more = fmt.Sprintf("and %d more: see the sheets Prices and Labor", n)
	}
	s.add(calc(fmt.Sprintf(`IF(%[1]s>%[2]d,"and "&(%[1]s-%[2]d)&" more: see the sheets Prices and Labor","")`, count, mostGaps), more, formGeneral))
}

// gapItems names everything that lacks a price or hours, as gapFormula does.
func (b *book) gapItems() []string {
	var out []string
	for _, n := range b.prices.gapItems() {
		out = append(out, "no price: "+n)
	}
	for _, n := range b.labor.gapItems() {
		out = append(out, "no hours: "+n)
	}
	hours, _ := b.labor.total()
	if _, given := b.set.labor.num(); !given && hours != 0 {
		out = append(out, "no labor rate")
	}
	return out
}

// gapFormula names the k-th of what lacks a price or hours.
func gapFormula(k int) string {
	return fmt.Sprintf(`IF(%[1]d<=COUNT(PriceGap),"no price: "&INDEX(PriceItem,MATCH(%[1]d,PriceGap,0)),`+
		`IF(%[1]d<=COUNT(PriceGap)+COUNT(HourGap),"no hours: "&INDEX(HourItem,MATCH(%[1]d-COUNT(PriceGap),HourGap,0)),`+
		`IF(AND(%[1]d=COUNT(PriceGap)+COUNT(HourGap)+1,NOT(ISNUMBER(LaborRate)),HoursTotal<>0),"no labor rate","")))`, k)
}

// verdicts says in one line each what the proofs come to.
func (b *book) verdicts(s *sheet) {
	s.section("Proofs")
	first := s.next()
	if len(b.in.Circuits) > 0 {
		passes, fails := 0, 0
		for _, c := range b.in.Circuits {
			cc := b.byCircuit[c.Name]
			v, _ := cc.loopVerdict.cell().value.(string)
			if cc.hasVoltage {
				v, _ = cc.voltageVerdict.cell().value.(string)
			}
			switch {
			case v == "passes":
				passes++
			case strings.HasPrefix(v, "FAILS"):
				fails++
			}
		}
		line := func(words, f string, n int) { s.add(text(words), calc(f, n, formCount)) }
		line("Circuits that pass", `SUMPRODUCT(--(CircuitVerdict="passes"))`, passes)
		line("Circuits that fail", `SUMPRODUCT(--(LEFT(CircuitVerdict,5)="FAILS"))`, fails)
		line("Circuits that nothing judges", fmt.Sprintf("ROWS(CircuitVerdict)-B%d-B%d", first, first+1), len(b.in.Circuits)-passes-fails)
	}
	for _, k := range b.batteries {
		v := k.verdict.cell().value
		s.add(text("Battery "+k.panel), calc(k.verdict.there(), v, formGeneral))
		s.verdict = append(s.verdict, at(2, s.next()-1)+":"+at(2, s.next()-1))
	}
}
