package workbook

import (
	"fmt"
	"slices"

	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook/xlsx"
	"loopwright/takeoff"
)

// boxCells is one kind of box and how many are needed.
type boxCells struct {
	name  string
	count xlsx.Ref
}

// partsSheet counts boxes, end-of-line resistors and isolators.
func partsSheet(b *book, o *outcome.Outcome) *xlsx.Sheet {
	s := b.NewSheet("Parts", 18, 30, 20, 11, 13, 13, 13, 30)
	s.Title("Boxes, end-of-line resistors, isolators", "Counts come from the sheet Counts. Box and resistors of a type are what the job file "+
		"says of it. An appliance circuit of class B ends in a resistor; a power circuit is usually supervised another way, so none is counted for it: "+
		"change that where it applies. The last figure of the total is how many devices have no box named; write none where none is needed.")
	s.Head = s.Header("type", "name", "box", "devices", "resistors each", "resistors", "isolators", "not given").Row
	s.Freeze = 1
	first, boxless := s.Next(), 0
	for _, t := range o.Job.Types {
		row, n := s.Next(), b.typeTotal[t.Type]
		isolators := xlsx.Cell{}
		if t.Isolates {
			isolators = xlsx.Calc(fmt.Sprintf("D%d", row), int(n.Or0()), xlsx.FormCount)
		}
		flag := ""
		if t.Box == "" && n.Or0() > 0 {
			flag = "box not given"
			boxless += int(n.Or0())
		}
		s.Add(xlsx.Text(t.Type), xlsx.Text(typeName(t.DeviceType)), xlsx.Cell{Value: t.Box, Style: xlsx.Style{Role: xlsx.RoleInput}},
			xlsx.Calc(n.There(), int(n.Or0()), xlsx.FormCount), xlsx.EntryZero(float64(t.EndOfLine), xlsx.FormCount),
			xlsx.Calc(fmt.Sprintf("D%[1]d*E%[1]d", row), n.Or0()*float64(t.EndOfLine), xlsx.FormCount), isolators,
			xlsx.Calc(fmt.Sprintf(`IF(AND(D%[1]d>0,C%[1]d=""),"box not given","")`, row), flag, xlsx.FormGeneral).As(xlsx.RoleFlag))
	}
	last := max(first, s.Next()-1)
	for _, x := range []struct {
		kind takeoff.CircuitKind
		name string
		each float64
	}{{takeoff.NAC, "class B ends of appliance circuits", 1}, {takeoff.Power, "class B ends of power circuits", 0}} {
		ends := circuitEnds(o, x.kind)
		s.Add(xlsx.Text(string(x.kind)), xlsx.Text(x.name), xlsx.Cell{}, xlsx.Whole(ends), xlsx.EntryZero(x.each, xlsx.FormCount),
			xlsx.Calc(fmt.Sprintf("D%[1]d*E%[1]d", s.Next()), float64(ends)*x.each, xlsx.FormCount))
	}
	total := s.Next()
	sum := func(col int) xlsx.Cell {
		v := 0.0
		for r := first; r < total; r++ {
			if col <= len(s.Row(r)) {
				v += s.Ref(r, col).Or0()
			}
		}
		return xlsx.Calc(fmt.Sprintf("SUM(%s:%s)", xlsx.At(col, first), xlsx.At(col, total-1)), v, xlsx.FormCount).As(xlsx.RoleTotal)
	}
	blank := xlsx.Cell{}.As(xlsx.RoleTotal)
	r := s.Add(xlsx.Text("total").As(xlsx.RoleTotal), blank, blank, blank, blank, sum(6), sum(7),
		xlsx.Calc(fmt.Sprintf(`SUMPRODUCT((H%[1]d:H%[2]d<>"")*D%[1]d:D%[2]d)`, first, last), boxless, xlsx.FormCount).As(xlsx.RoleTotal))
	b.resistors, b.boxless = r.Right(5), r.Right(7)
	boxTable(b, o, s, first, last)
	volumeTable(b, o, s)
	return s
}

// circuitEnds counts the far ends of circuits of class B: every place that no leg leaves.
func circuitEnds(o *outcome.Outcome, kind takeoff.CircuitKind) int {
	n := 0
	for _, c := range poweredCircuits(o) {
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
func boxTable(b *book, o *outcome.Outcome, s *xlsx.Sheet, first, last int) {
	s.Blank(1)
	s.Section("Boxes by kind")
	s.Header("box", "", "", "needed")
	var kinds []string
	for _, t := range o.Job.Types {
		if t.Box != "" && t.Box != job.NoBox && !slices.Contains(kinds, t.Box) {
			kinds = append(kinds, t.Box)
		}
	}
	if len(kinds) == 0 {
		s.Note("The job file names no box: none is counted. Give each type its box, or write it in the framed cells above and here.")
		return
	}
	for _, k := range kinds {
		n := 0.0
		for r := first; r <= last; r++ {
			if s.Row(r)[2].Value == k {
				n += s.Ref(r, 4).Or0()
			}
		}
		row := s.Next()
		f := fmt.Sprintf("SUMPRODUCT(EXACT($C$%d:$C$%d,A%d)*$D$%d:$D$%d)", first, last, row, first, last)
		r := s.Add(xlsx.Text(k), xlsx.Cell{}, xlsx.Cell{}, xlsx.Calc(f, n, xlsx.FormCount))
		b.boxes = append(b.boxes, boxCells{k, r.Right(3)})
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
func volumeTable(b *book, o *outcome.Outcome, s *xlsx.Sheet) {
	s.Blank(1)
	s.Section("Room in a box, for information")
	s.Note("Volume of a conductor: NEC Table 314.16(B), volumes of boxes: NEC Table 314.16(A). Devices, clamps and grounds come on top. Whether " +
		"the rule binds boxes of power-limited circuits is for the authority having jurisdiction.")
	unit, factor := "in³", 1.0
	if b.u.small == "mm" {
		unit, factor = "cm³", cubicInch
	}
	s.Header("cable", "conductor", "", "each, "+unit, "conductors, "+unit)
	for _, k := range o.Job.Cables {
		each, ok := volumePerConductor[k.Conductor.Gauge]
		if !ok {
			s.Add(xlsx.Text(k.Cable), xlsx.Text(k.Conductor.String()), xlsx.Text("not in the table"))
			continue
		}
		row := s.Next()
		v := rounded(each*factor, 4)
		s.Add(xlsx.Text(k.Cable), xlsx.Text(k.Conductor.String()), xlsx.Cell{}, xlsx.Number(v, xlsx.FormFine), xlsx.Calc(fmt.Sprintf("D%d*BoxConductors", row), v*b.set.conductorsPerBox.Or0(), xlsx.FormFine))
	}
	s.Blank(1)
	s.Header("box, inches", "", "", "volume, "+unit)
	for _, x := range boxVolumes {
		s.Add(xlsx.Text(x.box), xlsx.Cell{}, xlsx.Cell{}, xlsx.Number(rounded(x.volume*factor, 1), xlsx.FormLength))
	}
}
