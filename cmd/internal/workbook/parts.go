package workbook

import (
	"fmt"
	"slices"

	"loopwright/cmd/internal/job"
	"loopwright/takeoff"
)

// boxCells is one kind of box and how many are needed.
type boxCells struct {
	name  string
	count ref
}

// partsSheet counts boxes, end-of-line resistors and isolators.
func (b *book) partsSheet() *sheet {
	s := b.newSheet("Parts", 18, 30, 20, 11, 13, 13, 13, 30)
	s.title("Boxes, end-of-line resistors, isolators", "Counts come from the sheet Counts. Box and resistors of a type are what the job file "+
		"says of it. An appliance circuit of class B ends in a resistor; a power circuit is watched otherwise as a rule, so none is counted for it: "+
		"change that where it is not so. The last figure of the total is how many devices have no box named; write none where none is needed.")
	s.head = s.header("type", "name", "box", "devices", "resistors each", "resistors", "isolators", "not given").row
	s.freeze = 1
	first, boxless := s.next(), 0
	for _, t := range b.in.Job.Types {
		row, n := s.next(), b.typeTotal[t.Type]
		isolators := cell{}
		if t.Isolates {
			isolators = calc(fmt.Sprintf("D%d", row), int(n.or0()), formCount)
		}
		flag := ""
		if t.Box == "" && n.or0() > 0 {
			flag = "box not given"
			boxless += int(n.or0())
		}
		s.add(text(t.Type), text(b.typeName(t.DeviceType)), cell{value: t.Box, style: style{role: roleInput}},
			calc(n.there(), int(n.or0()), formCount), entryZero(float64(t.EndOfLine), formCount),
			calc(fmt.Sprintf("D%[1]d*E%[1]d", row), n.or0()*float64(t.EndOfLine), formCount), isolators,
			calc(fmt.Sprintf(`IF(AND(D%[1]d>0,C%[1]d=""),"box not given","")`, row), flag, formGeneral).as(roleFlag))
	}
	last := max(first, s.next()-1)
	for _, x := range []struct {
		kind takeoff.CircuitKind
		name string
		each float64
	}{{takeoff.NAC, "class B ends of appliance circuits", 1}, {takeoff.Power, "class B ends of power circuits", 0}} {
		ends := b.circuitEnds(x.kind)
		s.add(text(string(x.kind)), text(x.name), cell{}, whole(ends), entryZero(x.each, formCount),
			calc(fmt.Sprintf("D%[1]d*E%[1]d", s.next()), float64(ends)*x.each, formCount))
	}
	total := s.next()
	sum := func(col int) cell {
		v := 0.0
		for r := first; r < total; r++ {
			if col <= len(s.row(r)) {
				v += ref{s, r, col}.or0()
			}
		}
		return calc(fmt.Sprintf("SUM(%s:%s)", at(col, first), at(col, total-1)), v, formCount).as(roleTotal)
	}
	blank := cell{}.as(roleTotal)
	r := s.add(text("total").as(roleTotal), blank, blank, blank, blank, sum(6), sum(7),
		calc(fmt.Sprintf(`SUMPRODUCT((H%[1]d:H%[2]d<>"")*D%[1]d:D%[2]d)`, first, last), boxless, formCount).as(roleTotal))
	b.resistors, b.boxless = r.right(5), r.right(7)
	b.boxTable(s, first, last)
	b.volumeTable(s)
	return s
}

// circuitEnds counts the far ends of circuits of class B: every place that no leg leaves.
func (b *book) circuitEnds(kind takeoff.CircuitKind) int {
	n := 0
	for _, c := range b.poweredCircuits() {
		if c.Kind != kind || c.Pathway.Looped() {
			continue
		}
		leaves := map[string]bool{}
		for _, l := range c.Legs {
			leaves[l.From] = true
		}
		for _, l := range c.Legs {
			if !leaves[l.To] {
				n++
			}
		}
	}
	return n
}

// boxTable sums the boxes by what they are called.
func (b *book) boxTable(s *sheet, first, last int) {
	s.blank(1)
	s.section("Boxes by kind")
	s.header("box", "", "", "needed")
	var kinds []string
	for _, t := range b.in.Job.Types {
		if t.Box != "" && t.Box != job.NoBox && !slices.Contains(kinds, t.Box) {
			kinds = append(kinds, t.Box)
		}
	}
	if len(kinds) == 0 {
		s.note("The job file names no box: none is counted. Give each type its box, or write it in the framed cells above and here.")
		return
	}
	for _, k := range kinds {
		n := 0.0
		for r := first; r <= last; r++ {
			if s.row(r)[2].value == k {
				n += ref{s, r, 4}.or0()
			}
		}
		row := s.next()
		f := fmt.Sprintf("SUMPRODUCT(EXACT($C$%d:$C$%d,A%d)*$D$%d:$D$%d)", first, last, row, first, last)
		r := s.add(text(k), cell{}, cell{}, calc(f, n, formCount))
		b.boxes = append(b.boxes, boxCells{k, r.right(3)})
	}
}

// Volume that each conductor takes in a box, in cubic inches, by AWG size: NEC
// Table 314.16(B).
var volumePerConductor = map[int]float64{18: 1.50, 16: 1.75, 14: 2.00, 12: 2.25, 10: 2.50, 8: 3.00, 6: 5.00}

// Boxes and their volumes in cubic inches: NEC Table 314.16(A), the least first.
var boxVolumes = []struct {
	box    string
	volume float64
}{
	{"3 x 2 x 2-1/2 device", 12.5}, {"4 x 1-1/2 octagon", 15.5}, {"4 x 1-1/4 square", 18}, {"3 x 2 x 3-1/2 device", 18}, {"4 x 1-1/2 square", 21},
	{"4-11/16 x 1-1/2 square", 29.5}, {"4 x 2-1/8 square", 30.3}, {"4-11/16 x 2-1/8 square", 42},
}

// cubicInch is in cubic centimetres.
const cubicInch = 16.387064

// volumeTable says how much room the conductors of each cable take in a box.
func (b *book) volumeTable(s *sheet) {
	s.blank(1)
	s.section("Room in a box, for information")
	s.note("Volume of a conductor: NEC Table 314.16(B), volumes of boxes: NEC Table 314.16(A). Devices, clamps and grounds come on top. Whether " +
		"the rule binds boxes of power-limited circuits is for the authority having jurisdiction.")
	unit, factor := "in³", 1.0
	if b.u.small == "mm" {
		unit, factor = "cm³", cubicInch
	}
	s.header("cable", "conductor", "", "each, "+unit, "conductors, "+unit)
	for _, k := range b.in.Job.Cables {
		each, ok := volumePerConductor[k.Conductor.Gauge]
		if !ok {
			s.add(text(k.Cable), text(k.Conductor.String()), text("not in the table"))
			continue
		}
		row := s.next()
		v := rounded(each*factor, 4)
		s.add(text(k.Cable), text(k.Conductor.String()), cell{}, number(v, formFine), calc(fmt.Sprintf("D%d*BoxConductors", row), v*b.set.conductorsPerBox.or0(), formFine))
	}
	s.blank(1)
	s.header("box, inches", "", "", "volume, "+unit)
	for _, x := range boxVolumes {
		s.add(text(x.box), cell{}, cell{}, number(rounded(x.volume*factor, 1), formLength))
	}
}
