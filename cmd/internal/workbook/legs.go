package workbook

import (
	"fmt"

	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook/xlsx"
)

// The columns of the sheet of legs.
const (
	legCircuit = 1 + iota
	legNumber
	legFrom
	legTo
	legLevel
	legVia
	legHorizontal
	legDrop
	legRise
	legMeasured
	legHalves
	legPanels
	legSlack
	legInstalled
	legCrossings
	legReturn
	legWorst
	legCable
	legNote
	legKey
)

// legsSheet lists every leg of every circuit.
func legsSheet(b *book, o *outcome.Outcome) *xlsx.Sheet {
	u := b.u.length
	s := b.NewSheet("Legs", 11, 6, 11, 11, 12, 11, 12, 9, 9, 12, 9, 9, 9, 11, 10, 8, 9, 10, 40, 8)
	s.Hidden, s.Large = []int{legKey}, true
	s.Title("Legs", fmt.Sprintf("A leg is the cable between two neighbours on a circuit; lengths in %s. A leg through a riser has one row "+
		"for each level. ", u)+
		"Measured = horizontal + drop + rise; installed = measured + slack; slack is made of the allowances on the sheet Settings.")
	head := s.Header("circuit", "leg", "from", "to", "level", "via", "horizontal, "+u, "drop, "+u, "rise, "+u, "measured, "+u, "half device allow.", "panel allow.", "slack, "+u, "installed, "+u,
		"walls crossed", "return", "on worst branch", "cable", "note", "key")
	s.Head, s.Freeze, s.Table = head.Row, 2, "LegList"
	first := s.Next()
	key, where := 1, placesOf(o)
	for i := range o.Circuits {
		c := &o.Circuits[i]
		b.legKey[c.Name] = key
		for _, p := range splitLegs(o, c, where) {
			p.row = s.Next()
			s.Add(legRow(b, p)...)
			b.parts = append(b.parts, p)
			b.legLength[key+p.index] += measuresOf(b, p).installed()
		}
		key += len(c.Legs)
	}
	if len(b.parts) == 0 {
		s.Blank(1)
	}
	last := s.Next() - 1
	s.TableTo = s.Ref(last, legKey)
	for _, n := range []struct {
		name string
		col  int
	}{{"LegCircuit", legCircuit}, {"LegLevel", legLevel}, {"LegHorizontal", legHorizontal}, {"LegDrop", legDrop}, {"LegRise", legRise}, {"LegSlack", legSlack},
		{"LegInstalled", legInstalled}, {"LegWorst", legWorst}, {"LegCable", legCable}, {"LegKey", legKey}} {
		b.DefineSpan(n.name, s, n.col, first, last)
	}
	return s
}

func legRow(b *book, p legPart) []xlsx.Cell {
	l := p.leg
	m := measuresOf(b, p)
	crossings, back, worst := xlsx.Cell{}, xlsx.Cell{}, xlsx.Whole(0)
	if p.part == 1 && l.MindsWalls() {
		crossings = xlsx.Whole(l.Crossings)
	}
	if l.Return {
		back = xlsx.Text("return")
	}
	if p.worst {
		worst = xlsx.Whole(1)
	}
	r := p.row
	slack := xlsx.Calc(fmt.Sprintf("%s*AllowanceDevice/2+%s*AllowancePanel", xlsx.At(legHalves, r), xlsx.At(legPanels, r)), m.slack, xlsx.FormFine)
	if p.given > 0 {
		slack = xlsx.Number(m.slack, xlsx.FormFine)
	}
	return []xlsx.Cell{xlsx.Text(p.circuit.Name), xlsx.Whole(p.index + 1), xlsx.Text(l.From), xlsx.Text(l.To), xlsx.Text(p.level), xlsx.Text(l.Via),
		xlsx.Number(m.horizontal, xlsx.FormFine), xlsx.Number(m.drop, xlsx.FormFine), xlsx.Number(m.rise, xlsx.FormFine),
		xlsx.Calc(fmt.Sprintf("SUM(%s:%s)", xlsx.At(legHorizontal, r), xlsx.At(legRise, r)), m.measured(), xlsx.FormFine),
		xlsx.Whole(p.halves), xlsx.Whole(p.panels), slack,
		xlsx.Calc(xlsx.At(legMeasured, r)+"+"+xlsx.At(legSlack, r), m.installed(), xlsx.FormFine),
		crossings, back, worst, xlsx.Text(p.circuit.Cable.Name), xlsx.Text(l.Note), xlsx.Whole(b.legKey[p.circuit.Name] + p.index)}
}

// measures are the lengths of a part or a sum of parts, in the job's units.
type measures struct{ horizontal, drop, rise, slack float64 }

func (m measures) measured() float64  { return m.horizontal + m.drop + m.rise }
func (m measures) installed() float64 { return m.measured() + m.slack }

func (m *measures) plus(n measures) {
	m.horizontal += n.horizontal
	m.drop += n.drop
	m.rise += n.rise
	m.slack += n.slack
}

// measuresOf is what a part's cells come to.
func measuresOf(b *book, p legPart) measures {
	m := measures{horizontal: b.u.lengthIn(p.horizontal), drop: b.u.lengthIn(p.drop), rise: b.u.lengthIn(p.rise)}
	if p.given > 0 {
		m.slack = b.u.lengthIn(p.given)
	} else {
		m.slack = float64(p.halves)*b.set.device.Or0()/2 + float64(p.panels)*b.set.panel.Or0()
	}
	return m
}
