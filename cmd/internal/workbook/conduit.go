package workbook

import (
	"fmt"
	"math"

	"loopwright/cmd/internal/job"
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
	length, price, hours ref
}

const tooLarge = "larger than listed"

// conduitSheet says which conduit holds how many cables.
func (b *book) conduitSheet() *sheet {
	u := b.u
	s := b.newSheet("Conduit", 18, 14, 14, 13, 13, 13, 13, 13, 13, 18)
	s.title("Conduit (option)",
		"Fill: NEC Chapter 9 Table 1 (one cable 53 %, two 31 %, more 40 %); a cable of several conductors counts as one (note 9), an oval one by "+
			"its larger diameter. Areas of EMT: NEC Chapter 9 Table 4.",
		"Cable diameters are the maker's data: where none is given nothing is worked out. How much of the cable runs in conduit stands on the "+
			"sheet Settings.")
	b.emtTable(s)
	s.blank(1)
	s.section("Smallest EMT for a number of cables")
	heads := []string{"cable", "diameter, " + u.small, "area, " + u.area}
	for n := 1; n <= 6; n++ {
		heads = append(heads, plural(n, "cable"))
	}
	s.header(append(heads, "three cables")...)
	rows := map[string]ref{}
	for _, k := range b.in.Job.Cables {
		rows[k.Cable] = b.fillRow(s, k.Cable, k.Diameter)
	}
	b.conduitOrder(s, rows)
	return s
}

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// emtTable lists the sizes with what they hold and what they cost.
func (b *book) emtTable(s *sheet) {
	inch := b.inch()
	s.section("EMT")
	s.header("trade size", "inside, "+b.u.small, "area, "+b.u.area, "one: 53 %", "two: 31 %", "more: 40 %", b.priced("price per "+b.u.length), "hours per "+b.u.bulk)
	first := s.next()
	for _, e := range emt {
		row := s.next()
		area := rounded(e.area*inch*inch, 4)
		cells := []cell{text(e.size), number(rounded(e.diameter*inch, 4), formMilli), number(area, formMilli)}
		for n := 1; n <= 3; n++ {
			cells = append(cells, calc(fmt.Sprintf("C%d*%g", row, fillLimit(n)), area*fillLimit(n), formMilli))
		}
		var cost job.ConduitSize
		for _, x := range b.in.Job.Conduit.Sizes {
			if x.Size == e.size {
				cost = x
			}
		}
		s.add(append(cells, figureCell(b.u.pricePer(cost.Price.V), cost.Price.Known, formMilli), b.perBulk(cost.Hours))...)
	}
	last := s.next() - 1
	s.checks = append(s.checks, check{where: fmt.Sprintf("G%d:H%d", first, last), most: 1e6})
	b.defineSpan("EmtSize", s, 1, first, last)
	b.defineSpan("EmtInside", s, 2, first, last)
	b.defineSpan("EmtArea", s, 3, first, last)
	b.defineSpan("EmtPrice", s, 7, first, last)
	b.defineSpan("EmtHours", s, 8, first, last)
}

// inch is how long one is in the sheet's small units.
func (b *book) inch() float64 {
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
func (b *book) smallestEMT(area float64, n int) int {
	inch := b.inch()
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

func (b *book) fillRow(s *sheet, name string, metres float64) ref {
	row := s.next()
	d := entry(b.u.smallIn(metres), formMilli)
	diameter, given := d.value.(float64)
	area := math.Pi / 4 * diameter * diameter
	areaValue := any(notGiven)
	if given {
		areaValue = area
	}
	ok := fmt.Sprintf("ISNUMBER($B%d)", row)
	cells := []cell{text(name), d, calc(fmt.Sprintf("IF(%s,PI()/4*B%[2]d*B%[2]d,%[3]q)", ok, row, notGiven), areaValue, formMilli)}
	for n := 1; n <= 6; n++ {
		v := notGiven
		if given {
			v = emtName(b.smallestEMT(area, n))
		}
		cells = append(cells, calc(smallest(fmt.Sprintf("$C%d", row), fmt.Sprint(n), fmt.Sprint(fillLimit(n)), ok), v, formGeneral))
	}
	jam := ""
	if given {
		jam = b.jam(diameter, b.smallestEMT(area, 3))
	}
	cells = append(cells, calc(fmt.Sprintf(`IF(%[1]s,IFERROR(IF(AND(INDEX(EmtInside,MATCH(F%[2]d,EmtSize,0))/B%[2]d>=%[3]g,INDEX(EmtInside,`+
		`MATCH(F%[2]d,EmtSize,0))/B%[2]d<=%[4]g),"may jam","does not jam"),""),"")`,
		ok, row, jamFrom, jamTo), jam, formGeneral))
	r := s.add(cells...)
	s.checks = append(s.checks, check{where: r.right(1).here(), least: 0.001, most: 1000})
	return r
}

func (b *book) jam(diameter float64, i int) string {
	if i >= len(emt) {
		return ""
	}
	inside := rounded(emt[i].diameter*b.inch(), 4)
	if q := inside / diameter; q >= jamFrom && q <= jamTo {
		return "may jam"
	}
	return "does not jam"
}

// conduitOrder works out how much conduit the share of cable in conduit needs,
// how full it is and what its size costs.
func (b *book) conduitOrder(s *sheet, rows map[string]ref) {
	u := b.u.length
	s.blank(1)
	s.section("Conduit to order")
	s.header("cable", "measured, "+u, "share", "cables in a run", "EMT size", "conduit, "+u, "fill", "fill allowed", b.priced("price per "+u), "hours per "+b.u.bulk)
	first := s.next()
	for _, k := range b.in.Job.Cables {
		b.conduitRow(s, k.Cable, rows[k.Cable])
	}
	last := s.next() - 1
	if last < first {
		return
	}
	s.checks = append(s.checks, check{where: fmt.Sprintf("D%d:D%d", first, last), whole: true, least: 1, most: 20})
	total := 0.0
	for _, c := range b.conduits {
		total += c.length.or0()
	}
	blank := cell{}.as(roleTotal)
	b.inConduit = s.add(text("total").as(roleTotal), blank, blank, blank, blank,
		calc(fmt.Sprintf("SUM(F%d:F%d)", first, last), total, formLength).as(roleTotal)).right(5)
}

// conduitRow is the conduit for one cable; d is the cable's row in the table of fills.
func (b *book) conduitRow(s *sheet, cable string, d ref) {
	row := s.next()
	measured := b.byCable[cable].measured
	share, n := b.set.conduitShare.or0(), max(1, b.in.Job.Conduit.Cables)
	var size, fill, price, hours any = notGiven, "", "", ""
	if area, ok := d.right(2).num(); ok {
		i := b.smallestEMT(area, n)
		size = emtName(i)
		if i < len(emt) {
			fill = float64(n) * area / rounded(emt[i].area*b.inch()*b.inch(), 4)
			price, hours = b.conduitCost(emt[i].size)
		}
	}
	allowed := fmt.Sprintf("IF(D%[1]d=1,%[2]g,IF(D%[1]d=2,%[3]g,%[4]g))", row, fillLimit(1), fillLimit(2), fillLimit(3))
	look := func(name string) string {
		f := fmt.Sprintf("INDEX(%s,MATCH(E%d,EmtSize,0))", name, row)
		return fmt.Sprintf(`IFERROR(IF(ISNUMBER(%[1]s),%[1]s,""),"")`, f)
	}
	r := s.add(text(cable), calc(measured.there(), measured.or0(), formLength), calc("N(ConduitShare)", share, formPercent), entryZero(float64(n), formWhole),
		calc(smallest(d.right(2).fixed(), fmt.Sprintf("D%d", row), allowed, fmt.Sprintf("ISNUMBER(%s)", d.right(1).fixed())), size, formGeneral).atRight(),
		calc(fmt.Sprintf("B%[1]d*C%[1]d/D%[1]d", row), measured.or0()*share/float64(n), formLength),
		calc(fmt.Sprintf(`IFERROR(D%[1]d*%[2]s/INDEX(EmtArea,MATCH(E%[1]d,EmtSize,0)),"")`, row, d.right(2).fixed()), fill, formPercent),
		calc(allowed, fillLimit(n), formPercent),
		calc(look("EmtPrice"), price, formMilli), calc(look("EmtHours"), hours, formFine))
	b.conduits = append(b.conduits, conduitCells{cable, r.right(5), r.right(8), r.right(9)})
}

// conduitCost is what a size costs in the sheet's units; an empty text for what is not known.
func (b *book) conduitCost(size string) (price, hours any) {
	price, hours = "", ""
	for _, x := range b.in.Job.Conduit.Sizes {
		if x.Size != size {
			continue
		}
		if x.Price.Known {
			price = b.u.pricePer(x.Price.V)
		}
		if x.Hours.Known {
			hours = b.perBulk(x.Hours).value
		}
	}
	return price, hours
}
