package workbook

import (
	"fmt"
	"strings"

	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook/xlsx"
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
func summarySheet(b *book, o *outcome.Outcome) *xlsx.Sheet {
	s := b.NewSheet("Summary", 36, 16, 9, 10, 3, 36, 15)
	s.NoGrid, s.Portrait = true, true
	j := o.Job
	b.Define("JobName", s.Add(xlsx.Text(j.Name).As(xlsx.RoleTitle)))
	s.Height(1, 24)
	s.Note(subtitle(b, o))
	s.Blank(1)
	top := s.Next()
	s.Blank(3) // the number and what it lacks, when the sums have their places
	row := s.Next()
	total, count, gaps := bidColumn(b, o, s)
	keyColumn(b, o, s, row)
	v, _ := total.Num()
	blank := xlsx.Cell{}.As(xlsx.RoleBanner)
	s.Extend(top, xlsx.Text(priced(o, "Total of the bid")).As(xlsx.RoleBanner), xlsx.Calc(total.Here(), v, xlsx.FormMoney).As(xlsx.RoleBanner), blank, blank)
	s.Extend(top+1, incomplete(count, gaps).As(xlsx.RoleStrong))
	s.Verdicts = append(s.Verdicts, xlsx.At(1, top+1)+":"+xlsx.At(4, top+1))
	s.Blank(1)
	scopeSection(b, s)
	s.Blank(1)
	proofSection(b, o, s)
	s.Blank(1)
	s.Caution(takeoff.CautionLong)
	s.Blank(1)
	gapLines(b, s, count)
	return s
}

func subtitle(b *book, o *outcome.Outcome) string {
	j := o.Job
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
func incomplete(count string, gaps int) xlsx.Cell {
	words := "Every price and hour is given."
	if gaps > 0 {
		words = fmt.Sprintf("INCOMPLETE: %d price(s) or hour(s) are not given, and the total leaves them out: see below.", gaps)
	}
	return xlsx.Calc(fmt.Sprintf(`IF(%[1]s>0,"INCOMPLETE: "&%[1]s&" price(s) or hour(s) are not given, and the total leaves them out: see below.",`+
		`"Every price and hour is given.")`, count), words, xlsx.FormGeneral)
}

// bidColumn adds the money, at the left. It returns the cell of the total, the
// number of missing figures as a formula, and that number.
func bidColumn(b *book, o *outcome.Outcome, s *xlsx.Sheet) (total xlsx.Ref, count string, gaps int) {
	s.Header("Bid", priced(o, "amount"), "share", "not given")
	first := s.Next()
	for _, g := range b.prices.groups {
		s.Add(xlsx.Text(g.name), xlsx.Calc(g.sum.There(), g.sum.Or0(), xlsx.FormMoney), xlsx.Cell{Style: xlsx.Style{Form: xlsx.FormPercentFine}}, counted(g.missing, xlsx.FormCount))
	}
	last := s.Next() - 1
	sum, missing := b.prices.total()
	material := s.Add(xlsx.Text("Material").As(xlsx.RoleTotal), xlsx.Calc(fmt.Sprintf("SUM(B%d:B%d)", first, last), sum, xlsx.FormMoney).As(xlsx.RoleTotal), xlsx.Cell{}.As(xlsx.RoleTotal),
		xlsx.Calc(fmt.Sprintf("SUM(D%d:D%d)", first, last), missing, xlsx.FormCount).As(xlsx.RoleTotal)).Right(1)
	sundries := shareLine(s, "Sundries", b.set.sundries, "SundriesShare", material)
	tax := shareLine(s, "Tax on material", b.set.tax, "TaxShare", material, sundries)
	labor, lacking := laborLines(b, s)
	cost := sumLine(s, "Cost", xlsx.RoleTotal, material, sundries, tax, labor)
	contingency := shareLine(s, "Contingency", b.set.contingency, "ContingencyShare", cost)
	overhead := shareLine(s, "Overhead", b.set.overhead, "OverheadShare", cost, contingency)
	profit := shareLine(s, "Profit", b.set.profit, "ProfitShare", cost, contingency, overhead)
	total = sumLine(s, "Total", xlsx.RoleBanner, cost, contingency, overhead, profit)
	b.Define("BidTotal", total)
	return total, fmt.Sprintf("(D%d+D%d+D%d)", material.Row, labor.Row-1, labor.Row), missing + lacking
}

// shareLine adds a share of the sum of some cells; a blank share is none.
func shareLine(s *xlsx.Sheet, words string, share xlsx.Ref, name string, of ...xlsx.Ref) xlsx.Ref {
	f, sum := sumOfRefs(of)
	var shown any = "none"
	if v, ok := share.Num(); ok {
		shown = v
	}
	return s.Add(xlsx.Text(words), xlsx.Calc(fmt.Sprintf("(%s)*N(%s)", f, name), sum*share.Or0(), xlsx.FormMoney),
		xlsx.Calc(fmt.Sprintf(`IF(ISNUMBER(%[1]s),%[1]s,"none")`, name), shown, xlsx.FormPercentFine)).Right(1)
}

func sumLine(s *xlsx.Sheet, words string, r xlsx.Role, of ...xlsx.Ref) xlsx.Ref {
	f, sum := sumOfRefs(of)
	return s.Add(xlsx.Text(words).As(r), xlsx.Calc(f, sum, xlsx.FormMoney).As(r), xlsx.Cell{}.As(r), xlsx.Cell{}.As(r)).Right(1)
}

func sumOfRefs(of []xlsx.Ref) (formula string, sum float64) {
	var parts []string
	for _, r := range of {
		parts = append(parts, r.Here())
		sum += r.Or0()
	}
	return strings.Join(parts, "+"), sum
}

// laborLines adds hours and what they cost, and returns the cell of the money
// and how many figures are missing.
func laborLines(b *book, s *xlsx.Sheet) (xlsx.Ref, int) {
	hours, missing := b.labor.total()
	h := s.Add(xlsx.Text("Labor, hours"), xlsx.Calc(b.labor.all.There(), hours, xlsx.FormFine), xlsx.Cell{}, xlsx.Calc(b.labor.all.Right(1).There(), missing, xlsx.FormCount))
	b.Define("HoursTotal", h.Right(1))
	rate, given := b.set.labor.Num()
	noRate := 0
	if !given && hours != 0 {
		noRate = 1
	}
	l := s.Add(xlsx.Text("Labor"), xlsx.Calc(fmt.Sprintf("IF(ISNUMBER(LaborRate),B%d*LaborRate,0)", h.Row), hours*rate, xlsx.FormMoney), xlsx.Cell{},
		xlsx.Calc(fmt.Sprintf("IF(OR(ISNUMBER(LaborRate),B%d=0),0,1)", h.Row), noRate, xlsx.FormCount))
	return l.Right(1), missing + noRate
}

// keyColumn puts the key counts beside the money, from a row on.
func keyColumn(b *book, o *outcome.Outcome, s *xlsx.Sheet, row int) {
	var worst [3]int
	for _, f := range o.Findings {
		worst[f.Severity]++
	}
	addresses := 0
	for _, d := range o.Devices {
		addresses += d.Span
	}
	lines := [][2]xlsx.Cell{
		{xlsx.Text("Key counts").As(xlsx.RoleHead), xlsx.Cell{}.As(xlsx.RoleHead)},
		{xlsx.Text("Devices that count"), counted(b.counted, xlsx.FormCount).As(xlsx.RoleStrong)},
		{xlsx.Text("Symbols that do not count"), counted(b.excluded, xlsx.FormCount)},
		{xlsx.Text("Levels"), xlsx.Whole(len(o.Take.Levels))},
		{xlsx.Text("Circuits"), xlsx.Whole(len(o.Circuits))},
		{xlsx.Text("Addresses assigned"), xlsx.Whole(addresses)},
		{xlsx.Text("Findings: errors"), xlsx.Whole(worst[takeoff.Error])},
		{xlsx.Text("Findings: warnings"), xlsx.Whole(worst[takeoff.Warning])},
		{xlsx.Text("Findings: notes"), xlsx.Whole(worst[takeoff.Note])},
	}
	for _, k := range o.Job.Cables {
		lines = append(lines, [2]xlsx.Cell{xlsx.Text("Cable " + k.Cable + " to order, " + b.u.length), counted(b.byCable[k.Cable].order, xlsx.FormLength)})
	}
	for _, k := range b.batteries {
		lines = append(lines, [2]xlsx.Cell{xlsx.Text("Battery " + k.panel + ", Ah required"), xlsx.Calc(k.required.There(), k.required.Cell().Value, xlsx.FormFine)})
	}
	for i, l := range lines {
		for s.Next() <= row+i {
			s.Blank(1)
		}
		s.Set(row+i, sumKey, l[0])
		s.Set(row+i, sumCount, l[1])
	}
}

// mostGaps is how many missing figures the first sheet names.
const mostGaps = 10

// scopeSection says what the total holds and what it does not.
func scopeSection(b *book, s *xlsx.Sheet) {
	s.Section("What is in the total, and what is not")
	line := func(words string, c xlsx.Cell, where string) { s.Add(xlsx.Text(words), c, xlsx.Text(where)) }
	line("Symbols left out", counted(b.excluded, xlsx.FormCount), "each with its reason on the sheet Counts")
	line("Devices without a box named: no box", counted(b.boxless, xlsx.FormCount), "sheet Parts")
	if n := b.isolators; n.Sheet != nil {
		line("Isolators to add, in it", counted(n, xlsx.FormCount), "sheet Faults")
	}
	if b.inConduit.Sheet != nil {
		line("Conduit in it, "+b.u.length, counted(b.inConduit, xlsx.FormLength), "share of the cable on the sheet Settings")
	}
	s.Note("Not taken off the drawings, and in the total only as items in the job file: permits, engineering, lifts, drilling, firestopping, " +
		"patching, mains supply, training.")
}

// gapLines names what lacks its price or hours.
func gapLines(b *book, s *xlsx.Sheet, count string) {
	s.Section("Prices and hours that are not given")
	items := gapItems(b)
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
		s.Add(xlsx.Calc(f, words, xlsx.FormGeneral))
	}
	more := ""
	if n := len(items) - mostGaps; n > 0 {
		more = fmt.Sprintf("and %d more: see the sheets Prices and Labor", n)
	}
	s.Add(xlsx.Calc(fmt.Sprintf(`IF(%[1]s>%[2]d,"and "&(%[1]s-%[2]d)&" more: see the sheets Prices and Labor","")`, count, mostGaps), more, xlsx.FormGeneral))
}

// gapItems names everything that lacks a price or hours, as gapFormula does.
func gapItems(b *book) []string {
	var out []string
	for _, n := range b.prices.gapItems() {
		out = append(out, "no price: "+n)
	}
	for _, n := range b.labor.gapItems() {
		out = append(out, "no hours: "+n)
	}
	hours, _ := b.labor.total()
	if _, given := b.set.labor.Num(); !given && hours != 0 {
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

// proofSection says in one line each what the proofs come to.
func proofSection(b *book, o *outcome.Outcome, s *xlsx.Sheet) {
	s.Section("Proofs")
	first := s.Next()
	if len(o.Circuits) > 0 {
		passes, fails := 0, 0
		for _, c := range o.Circuits {
			v, _ := b.byCircuit[c.Name].verdict.Cell().Value.(string)
			switch {
			case v == "passes":
				passes++
			case strings.HasPrefix(v, "FAILS"):
				fails++
			}
		}
		line := func(words, f string, n int) { s.Add(xlsx.Text(words), xlsx.Calc(f, n, xlsx.FormCount)) }
		line("Circuits that pass as drawn", `SUMPRODUCT(--(CircuitVerdict="passes"))`, passes)
		line("Circuits that fail as drawn", `SUMPRODUCT(--(LEFT(CircuitVerdict,5)="FAILS"))`, fails)
		line("Circuits not proved", fmt.Sprintf("ROWS(CircuitVerdict)-B%d-B%d", first, first+1), len(o.Circuits)-passes-fails)
	}
	for _, k := range b.batteries {
		v := k.verdict.Cell().Value
		s.Add(xlsx.Text("Battery "+k.panel), xlsx.Calc(k.verdict.There(), v, xlsx.FormGeneral))
		s.Verdicts = append(s.Verdicts, xlsx.At(2, s.Next()-1)+":"+xlsx.At(2, s.Next()-1))
	}
}
