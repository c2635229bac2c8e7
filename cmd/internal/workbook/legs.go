package workbook

import "fmt"

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
func (b *book) legsSheet() *sheet {
	u := b.u.length
	s := b.newSheet("Legs", 11, 6, 11, 11, 12, 11, 12, 9, 9, 12, 9, 9, 9, 11, 10, 8, 9, 10, 40, 8)
	s.hidden, s.large = []int{legKey}, true
	s.title("Legs", fmt.Sprintf("A leg is the cable between two neighbours on a circuit; lengths in %s. A leg through a riser has one row "+
		"for each level. ", u)+
		"Measured = horizontal + drop + rise; installed = measured + slack; slack is made of the allowances on the sheet Settings.")
	head := s.header("circuit", "leg", "from", "to", "level", "via", "horizontal, "+u, "drop, "+u, "rise, "+u, "measured, "+u, "half device allow.", "panel allow.", "slack, "+u, "installed, "+u,
		"walls crossed", "return", "on worst branch", "cable", "note", "key")
	s.head, s.freeze, s.table = head.row, 2, "LegList"
	first := s.next()
	key, where := 1, b.places()
	for i := range b.in.Circuits {
		c := &b.in.Circuits[i]
		b.legKey[c.Name] = key
		for _, p := range b.split(c, where) {
			p.row = s.next()
			s.add(b.legRow(p)...)
			b.parts = append(b.parts, p)
			b.legLength[key+p.index] += b.measure(p).installed()
		}
		key += len(c.Legs)
	}
	if len(b.parts) == 0 {
		s.blank(1)
	}
	last := s.next() - 1
	s.tableTo = ref{s, last, legKey}
	for _, n := range []struct {
		name string
		col  int
	}{{"LegCircuit", legCircuit}, {"LegLevel", legLevel}, {"LegHorizontal", legHorizontal}, {"LegDrop", legDrop}, {"LegRise", legRise}, {"LegSlack", legSlack},
		{"LegInstalled", legInstalled}, {"LegWorst", legWorst}, {"LegCable", legCable}, {"LegKey", legKey}} {
		b.defineSpan(n.name, s, n.col, first, last)
	}
	return s
}

func (b *book) legRow(p legPart) []cell {
	l := p.leg
	m := b.measure(p)
	crossings, back, worst := cell{}, cell{}, whole(0)
	if p.part == 1 {
		crossings = whole(l.Crossings)
	}
	if l.Return {
		back = text("return")
	}
	if p.worst {
		worst = whole(1)
	}
	r := p.row
	slack := calc(fmt.Sprintf("%s*AllowanceDevice/2+%s*AllowancePanel", at(legHalves, r), at(legPanels, r)), m.slack, formFine)
	if p.given > 0 {
		slack = number(m.slack, formFine)
	}
	return []cell{text(p.circuit.Name), whole(p.index + 1), text(l.From), text(l.To), text(p.level), text(l.Via),
		number(m.horizontal, formFine), number(m.drop, formFine), number(m.rise, formFine),
		calc(fmt.Sprintf("SUM(%s:%s)", at(legHorizontal, r), at(legRise, r)), m.measured(), formFine),
		whole(p.halves), whole(p.panels), slack,
		calc(at(legMeasured, r)+"+"+at(legSlack, r), m.installed(), formFine),
		crossings, back, worst, text(p.circuit.Cable.Name), text(l.Note), whole(b.legKey[p.circuit.Name] + p.index)}
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

// measure is what a part's cells come to.
func (b *book) measure(p legPart) measures {
	m := measures{horizontal: b.u.lengthIn(p.horizontal), drop: b.u.lengthIn(p.drop), rise: b.u.lengthIn(p.rise)}
	if p.given > 0 {
		m.slack = b.u.lengthIn(p.given)
	} else {
		m.slack = float64(p.halves)*b.set.device.or0()/2 + float64(p.panels)*b.set.panel.or0()
	}
	return m
}
