package workbook

import (
	"fmt"
	"strings"

	"loopwright/takeoff"
)

// summarySheet is the bid on one page.
func (b *book) summarySheet() *sheet {
	s := b.newSheet("Summary", 38, 16, 12, 4, 34, 16)
	s.noGrid, s.portrait = true, true
	j := b.in.Job
	b.define("JobName", s.add(text(j.Name).as(roleTitle)))
	s.height(1, 24)
	s.note(b.subtitle())
	s.blank(1)
	incomplete := s.next()
	s.add() // filled in below, when the sums have their places
	s.blank(1)
	row := s.next()
	b.bidColumn(s, incomplete)
	b.keyColumn(s, row)
	s.blank(1)
	b.verdicts(s)
	s.blank(1)
	s.wide(Caution, roleCaution)
	s.height(len(s.rows), s.heights[len(s.rows)]+8)
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

// bidColumn adds the money, at the left.
func (b *book) bidColumn(s *sheet, incomplete int) {
	s.header("Bid", b.priced("amount"), "not given")
	first := s.next()
	material, missing := 0.0, 0.0
	for _, g := range b.bid.groups {
		s.add(text(g.name), calc(g.sum.there(), g.sum.or0(), formMoney), calc(g.missing.there(), int(g.missing.or0()), formCount))
		material += g.sum.or0()
		missing += g.missing.or0()
	}
	last := s.next() - 1
	sum := s.add(text("Material").as(roleTotal), calc(fmt.Sprintf("SUM(B%d:B%d)", first, last), material, formMoney).as(roleTotal),
		calc(fmt.Sprintf("SUM(C%d:C%d)", first, last), int(missing), formCount).as(roleTotal))
	tax := s.add(text("Tax on material"), calc(fmt.Sprintf("B%d*N(TaxShare)", sum.row), 0.0, formMoney), calc(`IF(ISNUMBER(TaxShare),"","none")`, "none", formGeneral))
	hours := b.bid.hours.or0()
	h := s.add(text("Labor, hours"), calc(b.bid.hours.there(), hours, formFine), calc(b.bid.hoursMissing.there(), int(b.bid.hoursMissing.or0()), formCount))
	labor, noRate := 0.0, 1
	if v, ok := b.set.labor.num(); ok {
		labor, noRate = hours*v, 0
	}
	l := s.add(text("Labor"), calc(fmt.Sprintf("IF(ISNUMBER(LaborRate),B%d*LaborRate,0)", h.row), labor, formMoney),
		calc(fmt.Sprintf("IF(OR(ISNUMBER(LaborRate),B%d=0),0,1)", h.row), zeroIf(hours == 0, noRate), formCount))
	noRate = zeroIf(hours == 0, noRate)
	subtotal := material + labor
	sub := s.add(text("Subtotal").as(roleTotal), calc(fmt.Sprintf("B%d+B%d+B%d", sum.row, tax.row, l.row), subtotal, formMoney).as(roleTotal), cell{}.as(roleTotal))
	over := s.add(text("Overhead and profit"), calc(fmt.Sprintf("B%d*N(MarkupShare)", sub.row), 0.0, formMoney), calc(`IF(ISNUMBER(MarkupShare),"","none")`, "none", formGeneral))
	total := s.add(text("Total").as(roleBanner), calc(fmt.Sprintf("B%d+B%d", sub.row, over.row), subtotal, formMoney).as(roleBanner), cell{}.as(roleBanner))
	b.define("BidTotal", total.right(1))
	n := int(missing) + int(b.bid.hoursMissing.or0()) + noRate
	words := "Every price and hour is given."
	if n > 0 {
		words = fmt.Sprintf("INCOMPLETE: %d price(s) or hour(s) are not given, and the total leaves them out.", n)
	}
	count := fmt.Sprintf("(C%d+C%d+C%d)", sum.row, h.row, l.row)
	s.rows[incomplete-1] = []cell{calc(fmt.Sprintf(`IF(%[1]s>0,"INCOMPLETE: "&%[1]s&" price(s) or hour(s) are not given, and the total leaves them out.","Every price and hour is given.")`, count), words, formGeneral).as(roleFlag)}
}

func zeroIf(yes bool, n int) int {
	if yes {
		return 0
	}
	return n
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
	link := func(r ref, f form) cell {
		v := r.cell().value
		return calc(r.there(), v, f)
	}
	lines := [][2]cell{
		{text("Key counts").as(roleHead), cell{}.as(roleHead)},
		{text("Devices that count"), link(b.counted, formCount).as(roleStrong)},
		{text("Symbols that do not count"), link(b.excluded, formCount)},
		{text("Levels"), whole(len(b.in.Take.Levels))},
		{text("Circuits"), whole(len(b.in.Circuits))},
		{text("Addresses given out"), whole(addresses)},
		{text("Findings: errors"), whole(worst[takeoff.Error])},
		{text("Findings: warnings"), whole(worst[takeoff.Warning])},
		{text("Findings: notes"), whole(worst[takeoff.Note])},
	}
	for _, k := range b.in.Job.Cables {
		lines = append(lines, [2]cell{text("Cable " + k.Cable + " to order, " + b.u.length), link(b.byCable[k.Cable].order, formLength)})
	}
	for _, k := range b.batteries {
		lines = append(lines, [2]cell{text("Battery " + k.panel + ", Ah required"), link(k.required, formFine)})
	}
	for i, l := range lines {
		for len(s.rows) < row+i {
			s.blank(1)
		}
		cells := s.rows[row+i-1]
		for len(cells) < 4 {
			cells = append(cells, cell{})
		}
		s.rows[row+i-1] = append(cells, l[0], l[1])
	}
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
	if n := b.isolators; n.sheet != nil {
		s.add(text("Isolators that circuits lack"), calc(n.there(), int(n.or0()), formCount), text("sheet Faults"))
	}
	for _, k := range b.batteries {
		v := k.verdict.cell().value
		s.add(text("Battery "+k.panel), calc(k.verdict.there(), v, formGeneral))
		s.verdict = append(s.verdict, at(2, s.next()-1)+":"+at(2, s.next()-1))
	}
}
