package workbook

import (
	"fmt"
	"math"
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
	cable        string
	size, length ref
}

const tooLarge = "larger than listed"

// conduitSheet says which conduit holds how many cables.
func (b *book) conduitSheet() *sheet {
	u := b.u
	s := b.newSheet("Conduit", 18, 14, 14, 13, 13, 13, 13, 13, 13, 18)
	s.title("Conduit (option)",
		"Fill: NEC Chapter 9 Table 1 (one cable 53 %, two 31 %, more 40 %); a cable of several conductors counts as one (note 9), an oval one by its larger diameter. Areas of EMT: NEC Chapter 9 Table 4.",
		"Cable diameters are the maker's data: where none is given nothing is worked out. How much of the cable runs in conduit stands on the sheet Settings.")
	first := b.emtTable(s)
	last := first + len(emt) - 1
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
	b.conduitOrder(s, rows, first, last)
	return s
}

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// emtTable lists the sizes and returns the first row.
func (b *book) emtTable(s *sheet) int {
	inch := 1.0
	if b.u.small == "mm" {
		inch = 25.4
	}
	s.section("EMT")
	s.header("trade size", "inside, "+b.u.small, "area, "+b.u.area, "one: 53 %", "two: 31 %", "more: 40 %")
	first := s.next()
	for _, e := range emt {
		row := s.next()
		area := rounded(e.area*inch*inch, 4)
		cells := []cell{text(e.size), number(rounded(e.diameter*inch, 4), formMilli), number(area, formMilli)}
		for n := 1; n <= 3; n++ {
			cells = append(cells, calc(fmt.Sprintf("C%d*%g", row, fillLimit(n)), area*fillLimit(n), formMilli))
		}
		s.add(cells...)
	}
	last := s.next() - 1
	b.defineSpan("EmtSize", s, 1, first, last)
	b.defineSpan("EmtInside", s, 2, first, last)
	b.defineSpan("EmtArea", s, 3, first, last)
	return first
}

// smallest is the formula for the smallest conduit that holds n cables of an
// area, and what it comes to.
func (b *book) smallest(area string, n string, limit string, diameterOK string) string {
	return fmt.Sprintf(`IF(%s,IFERROR(INDEX(EmtSize,SUMPRODUCT(--(EmtArea*%s<%s*%s))+1),%q),%q)`, diameterOK, limit, n, area, tooLarge, notGiven)
}

// smallestEMT is the index of the smallest conduit for n cables of an area in
// the sheet's units; len(emt) if none is large enough.
func (b *book) smallestEMT(area float64, n int) int {
	inch := 1.0
	if b.u.small == "mm" {
		inch = 25.4
	}
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
		cells = append(cells, calc(b.smallest(fmt.Sprintf("$C%d", row), fmt.Sprint(n), fmt.Sprint(fillLimit(n)), ok), v, formGeneral))
	}
	jam := ""
	if given {
		jam = b.jam(diameter, b.smallestEMT(area, 3))
	}
	cells = append(cells, calc(fmt.Sprintf(`IF(%[1]s,IFERROR(IF(AND(INDEX(EmtInside,MATCH(F%[2]d,EmtSize,0))/B%[2]d>=%[3]g,INDEX(EmtInside,MATCH(F%[2]d,EmtSize,0))/B%[2]d<=%[4]g),"may jam","does not jam"),""),"")`,
		ok, row, jamFrom, jamTo), jam, formGeneral))
	r := s.add(cells...)
	s.checks = append(s.checks, check{where: r.right(1).here(), least: 0.001, most: 1000})
	return r
}

func (b *book) jam(diameter float64, i int) string {
	if i >= len(emt) {
		return ""
	}
	inside := emt[i].diameter
	if b.u.small == "mm" {
		inside = rounded(inside*25.4, 4)
	}
	if q := inside / diameter; q >= jamFrom && q <= jamTo {
		return "may jam"
	}
	return "does not jam"
}

// conduitOrder works out how much conduit the share of cable in conduit needs.
func (b *book) conduitOrder(s *sheet, rows map[string]ref, first, last int) {
	u := b.u.length
	s.blank(1)
	s.section("Conduit to order")
	s.header("cable", "measured, "+u, "share", "cables in a run", "EMT size", "conduit, "+u)
	for _, k := range b.in.Job.Cables {
		row, d := s.next(), rows[k.Cable]
		measured := b.byCable[k.Cable].measured
		size := notGiven
		if v, ok := d.right(2).num(); ok {
			size = emtName(b.smallestEMT(v, 1))
		}
		limit := fmt.Sprintf("IF(D%[1]d=1,0.53,IF(D%[1]d=2,0.31,0.4))", row)
		r := s.add(text(k.Cable), calc(measured.there(), measured.or0(), formLength), calc("N(ConduitShare)", 0.0, formPercent), entryZero(1, formWhole),
			calc(b.smallest(d.right(2).fixed(), fmt.Sprintf("D%d", row), limit, fmt.Sprintf("ISNUMBER(%s)", d.right(1).fixed())), size, formGeneral),
			calc(fmt.Sprintf("B%[1]d*C%[1]d/D%[1]d", row), 0.0, formLength))
		s.checks = append(s.checks, check{where: at(4, row), whole: true, least: 1, most: 20})
		b.conduits = append(b.conduits, conduitCells{k.Cable, r.right(4), r.right(5)})
	}
}
