package workbook

import (
	"fmt"
	"math"

	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook/xlsx"
	"loopwright/takeoff/measure"
)

// emt is electrical metallic tubing: trade size, internal diameter in inches and
// area in square inches, from NEC Chapter 9 Table 4.
var emt = []struct {
	size     string
	diameter float64
	area     float64
}{
	{"1/2", 0.622, 0.304}, {"3/4", 0.824, 0.533}, {"1", 1.049, 0.864}, {"1-1/4", 1.380, 1.496}, {"1-1/2", 1.610, 2.036}, {"2", 2.067, 3.356},
}

// fillLimit is the part of a conduit's area that a number of cables may fill:
// NEC Chapter 9 Table 1.
func fillLimit(cables int) float64 {
	switch cables {
	case 1:
		return 0.53
	case 2:
		return 0.31
	}
	return 0.40
}

// Three cables jam where the conduit is 2.8 to 3.2 times as wide as one of them:
// NEC Chapter 9 Table 1, informational note 2.
const jamFrom, jamTo = 2.8, 3.2

// conduitCells is the conduit for one cable, if any is wanted.
type conduitCells struct {
	cable                string
	length, price, hours xlsx.Ref
}

const tooLarge = "larger than listed"

// conduitSheet says which conduit holds how many cables.
func conduitSheet(b *book, o *outcome.Outcome) *xlsx.Sheet {
	u := b.u
	s := b.NewSheet("Conduit", 18, 14, 14, 13, 13, 13, 13, 13, 13, 18)
	s.Title("Conduit (option)",
		"Fill: NEC Chapter 9 Table 1 (one cable 53 %, two 31 %, more 40 %); a cable of several conductors counts as one (note 9), an oval one by "+
			"its larger diameter. Areas of EMT: NEC Chapter 9 Table 4.",
		"Cable diameters are the manufacturer's data: where none is given nothing is computed. How much of the cable runs in conduit is on the "+
			"sheet Settings.")
	emtTable(b, o, s)
	s.Blank(1)
	s.Section("Smallest EMT for a number of cables")
	heads := []string{"cable", "diameter, " + u.small, "area, " + u.area}
	for n := 1; n <= 6; n++ {
		heads = append(heads, measure.Count(n, "cable"))
	}
	s.Header(append(heads, "three cables")...)
	rows := map[string]xlsx.Ref{}
	for _, k := range o.Job.Cables {
		rows[k.Cable] = fillRow(b, s, k.Cable, k.Diameter)
	}
	conduitOrder(b, o, s, rows)
	return s
}

// emtTable lists the sizes with what they hold and what they cost.
func emtTable(b *book, o *outcome.Outcome, s *xlsx.Sheet) {
	inch := inch(b)
	s.Section("EMT")
	s.Header("trade size", "inside, "+b.u.small, "area, "+b.u.area, "one: 53 %", "two: 31 %", "more: 40 %", priced(o, "price per "+b.u.length), "hours per "+b.u.bulk)
	first := s.Next()
	for _, e := range emt {
		row := s.Next()
		area := rounded(e.area*inch*inch, 4)
		cells := []xlsx.Cell{xlsx.Text(e.size), xlsx.Number(rounded(e.diameter*inch, 4), xlsx.FormMilli), xlsx.Number(area, xlsx.FormMilli)}
		for n := 1; n <= 3; n++ {
			cells = append(cells, xlsx.Calc(fmt.Sprintf("C%d*%g", row, fillLimit(n)), area*fillLimit(n), xlsx.FormMilli))
		}
		var cost job.ConduitSize
		for _, x := range o.Job.Conduit.Sizes {
			if x.Size == e.size {
				cost = x
			}
		}
		s.Add(append(cells, figureCell(b.u.pricePer(cost.Price.V), cost.Price.Known, xlsx.FormMilli), perBulk(b, cost.Hours))...)
	}
	last := s.Next() - 1
	s.Checks = append(s.Checks, xlsx.Check{Where: fmt.Sprintf("G%d:H%d", first, last), Most: 1e6})
	b.DefineSpan("EmtSize", s, 1, first, last)
	b.DefineSpan("EmtInside", s, 2, first, last)
	b.DefineSpan("EmtArea", s, 3, first, last)
	b.DefineSpan("EmtPrice", s, 7, first, last)
	b.DefineSpan("EmtHours", s, 8, first, last)
}

// inch is how long one is in the sheet's small units.
func inch(b *book) float64 {
	if b.u.small == "mm" {
		return 25.4
	}
	return 1
}

// smallest is the formula for the smallest conduit that holds n cables of an
// area, and what it comes to.
func smallest(area, n, limit, diameterOK string) string {
	return fmt.Sprintf(`IF(%s,IFERROR(INDEX(EmtSize,SUMPRODUCT(--(EmtArea*%s<%s*%s))+1),%q),%q)`, diameterOK, limit, n, area, tooLarge, notGiven)
}

// smallestEMT is the index of the smallest conduit for n cables of an area in
// the sheet's units; len(emt) if none is large enough.
func smallestEMT(b *book, area float64, n int) int {
	inch := inch(b)
	for i, e := range emt {
		if rounded(e.area*inch*inch, 4)*fillLimit(n) >= float64(n)*area {
			return i
		}
	}
	return len(emt)
}

func emtName(i int) string {
	if i < len(emt) {
		return emt[i].size
	}
	return tooLarge
}

func fillRow(b *book, s *xlsx.Sheet, name string, metres float64) xlsx.Ref {
	row := s.Next()
	d := xlsx.Entry(b.u.smallIn(metres), xlsx.FormMilli)
	diameter, given := d.Value.(float64)
	area := math.Pi / 4 * diameter * diameter
	areaValue := any(notGiven)
	if given {
		areaValue = area
	}
	ok := fmt.Sprintf("ISNUMBER($B%d)", row)
	cells := []xlsx.Cell{xlsx.Text(name), d, xlsx.Calc(fmt.Sprintf("IF(%s,PI()/4*B%[2]d*B%[2]d,%[3]q)", ok, row, notGiven), areaValue, xlsx.FormMilli)}
	for n := 1; n <= 6; n++ {
		v := notGiven
		if given {
			v = emtName(smallestEMT(b, area, n))
		}
		cells = append(cells, xlsx.Calc(smallest(fmt.Sprintf("$C%d", row), fmt.Sprint(n), fmt.Sprint(fillLimit(n)), ok), v, xlsx.FormGeneral))
	}
	jam := ""
	if given {
		jam = jamVerdict(b, diameter, smallestEMT(b, area, 3))
	}
	cells = append(cells, xlsx.Calc(fmt.Sprintf(`IF(%[1]s,IFERROR(IF(AND(INDEX(EmtInside,MATCH(F%[2]d,EmtSize,0))/B%[2]d>=%[3]g,INDEX(EmtInside,`+
		`MATCH(F%[2]d,EmtSize,0))/B%[2]d<=%[4]g),"may jam","does not jam"),""),"")`,
		ok, row, jamFrom, jamTo), jam, xlsx.FormGeneral))
	r := s.Add(cells...)
	s.Checks = append(s.Checks, xlsx.Check{Where: r.Right(1).Here(), Least: 0.001, Most: 1000})
	return r
}

func jamVerdict(b *book, diameter float64, i int) string {
	if i >= len(emt) {
		return ""
	}
	inside := rounded(emt[i].diameter*inch(b), 4)
	if q := inside / diameter; q >= jamFrom && q <= jamTo {
		return "may jam"
	}
	return "does not jam"
}

// conduitOrder works out how much conduit the share of cable in conduit needs,
// how full it is and what its size costs.
func conduitOrder(b *book, o *outcome.Outcome, s *xlsx.Sheet, rows map[string]xlsx.Ref) {
	u := b.u.length
	s.Blank(1)
	s.Section("Conduit to order")
	s.Header("cable", "measured, "+u, "share", "cables in a run", "EMT size", "conduit, "+u, "fill", "fill allowed", priced(o, "price per "+u), "hours per "+b.u.bulk)
	first := s.Next()
	for _, k := range o.Job.Cables {
		conduitRow(b, o, s, k.Cable, rows[k.Cable])
	}
	last := s.Next() - 1
	if last < first {
		return
	}
	s.Checks = append(s.Checks, xlsx.Check{Where: fmt.Sprintf("D%d:D%d", first, last), Whole: true, Least: 1, Most: 20})
	total := 0.0
	for _, c := range b.conduits {
		total += c.length.Or0()
	}
	blank := xlsx.Cell{}.As(xlsx.RoleTotal)
	b.inConduit = s.Add(xlsx.Text("total").As(xlsx.RoleTotal), blank, blank, blank, blank,
		xlsx.Calc(fmt.Sprintf("SUM(F%d:F%d)", first, last), total, xlsx.FormLength).As(xlsx.RoleTotal)).Right(5)
}

// conduitRow is the conduit for one cable; d is the cable's row in the table of fills.
func conduitRow(b *book, o *outcome.Outcome, s *xlsx.Sheet, cable string, d xlsx.Ref) {
	row := s.Next()
	measured := b.byCable[cable].measured
	share, n := b.set.conduitShare.Or0(), max(1, o.Job.Conduit.Cables)
	var size, fill, price, hours any = notGiven, "", "", ""
	if area, ok := d.Right(2).Num(); ok {
		i := smallestEMT(b, area, n)
		size = emtName(i)
		if i < len(emt) {
			fill = float64(n) * area / rounded(emt[i].area*inch(b)*inch(b), 4)
			price, hours = conduitCost(b, o, emt[i].size)
		}
	}
	allowed := fmt.Sprintf("IF(D%[1]d=1,%[2]g,IF(D%[1]d=2,%[3]g,%[4]g))", row, fillLimit(1), fillLimit(2), fillLimit(3))
	look := func(name string) string {
		f := fmt.Sprintf("INDEX(%s,MATCH(E%d,EmtSize,0))", name, row)
		return fmt.Sprintf(`IFERROR(IF(ISNUMBER(%[1]s),%[1]s,""),"")`, f)
	}
	r := s.Add(xlsx.Text(cable), xlsx.Calc(measured.There(), measured.Or0(), xlsx.FormLength), xlsx.Calc("N(ConduitShare)", share, xlsx.FormPercent), xlsx.EntryZero(float64(n), xlsx.FormWhole),
		xlsx.Calc(smallest(d.Right(2).Fixed(), fmt.Sprintf("D%d", row), allowed, fmt.Sprintf("ISNUMBER(%s)", d.Right(1).Fixed())), size, xlsx.FormGeneral).AtRight(),
		xlsx.Calc(fmt.Sprintf("B%[1]d*C%[1]d/D%[1]d", row), measured.Or0()*share/float64(n), xlsx.FormLength),
		xlsx.Calc(fmt.Sprintf(`IFERROR(D%[1]d*%[2]s/INDEX(EmtArea,MATCH(E%[1]d,EmtSize,0)),"")`, row, d.Right(2).Fixed()), fill, xlsx.FormPercent),
		xlsx.Calc(allowed, fillLimit(n), xlsx.FormPercent),
		xlsx.Calc(look("EmtPrice"), price, xlsx.FormMilli), xlsx.Calc(look("EmtHours"), hours, xlsx.FormFine))
	b.conduits = append(b.conduits, conduitCells{cable, r.Right(5), r.Right(8), r.Right(9)})
}

// conduitCost is what a size costs in the sheet's units; an empty text for what is not known.
func conduitCost(b *book, o *outcome.Outcome, size string) (price, hours any) {
	price, hours = "", ""
	for _, x := range o.Job.Conduit.Sizes {
		if x.Size != size {
			continue
		}
		if x.Price.Known {
			price = b.u.pricePer(x.Price.V)
		}
		if x.Hours.Known {
			hours = perBulk(b, x.Hours).Value
		}
	}
	return price, hours
}
