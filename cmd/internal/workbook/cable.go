package workbook

import (
	"fmt"
	"math"

	"loopwright/cmd/internal/job"
)

// cableCells are the cells of one cable that other sheets take.
type cableCells struct{ measured, installed, order ref }

// circuitCells are the cells of one circuit that other sheets take.
type circuitCells struct {
	measured, slack, installed    ref
	rate, ohm, limit, loopVerdict ref
	farads                        ref // capacitance in microfarads, or why there is none
	worstVolts, voltageVerdict    ref
	hasVoltage                    bool
}

// lengthNames are the columns that every table of cable has, with their ranges on the sheet of legs.
var lengthNames = []string{"LegHorizontal", "LegDrop", "LegRise"}

// cableSheet sums the cable by circuit, by level and by kind.
func (b *book) cableSheet() *sheet {
	u := b.u.length
	s := b.newSheet("Cable", 16, 12, 12, 12, 12, 12, 12, 12, 12, 12, 12, 12)
	s.title("Cable", "Lengths in "+u+". To order = (measured + slack) x (1 + waste), rounded up to whole reels where a reel is given; waste "+
		"stands on the sheet Settings. "+
		"A leg that changes level is booked on each level for what runs there; its rise on the level where it ends.")
	lengths := []string{"horizontal", "drops", "rises", "measured", "slack", "installed", "waste", "needed"}
	s.section("To order, by kind of cable")
	s.header(append(append([]string{"cable", "conductor"}, lengths...), "reel", "to order")...)
	for i := range b.in.Job.Cables {
		b.cableRow(s, &b.in.Job.Cables[i])
	}
	s.blank(1)
	s.section("By circuit")
	s.header(append([]string{"circuit", "cable"}, lengths...)...)
	first := s.next()
	for i := range b.in.Circuits {
		c := &b.in.Circuits[i]
		sum := b.sum(func(p legPart) bool { return p.circuit == c })
		r := b.lengthRow(s, []cell{text(c.Name), text(c.Cable.Name)}, exact("LegCircuit", "$A%d"), sum)
		cc := b.byCircuit[c.Name]
		cc.measured, cc.slack, cc.installed = r.right(5), r.right(6), r.right(7)
	}
	b.lengthTotal(s, first)
	s.blank(1)
	s.section("By level and kind of cable")
	s.header(append([]string{"level", "cable"}, lengths...)...)
	first = s.next()
	for _, l := range b.in.Take.Levels {
		for _, k := range b.in.Job.Cables {
			sum := b.sum(func(p legPart) bool { return p.level == l.Name && p.circuit.Cable.Name == k.Cable })
			b.lengthRow(s, []cell{text(l.Name), text(k.Cable)}, exact("LegLevel", "$A%[1]d")+"*"+exact("LegCable", "$B%[1]d"), sum)
		}
	}
	b.lengthTotal(s, first)
	return s
}

// sum adds up the parts of legs that fit.
func (b *book) sum(fits func(legPart) bool) measures {
	var m measures
	for _, p := range b.parts {
		if fits(p) {
			m.plus(b.measure(p))
		}
	}
	return m
}

// lengthRow adds a row of lengths summed from the legs; test picks the legs and
// takes the row's number.
func (b *book) lengthRow(s *sheet, cells []cell, test string, m measures) ref {
	row := s.next()
	pick := fmt.Sprintf(test, row)
	waste := m.installed() * b.set.waste.or0()
	for i, v := range []float64{m.horizontal, m.drop, m.rise} {
		cells = append(cells, calc(fmt.Sprintf("SUMPRODUCT(%s*%s)", pick, lengthNames[i]), v, formLength))
	}
	cells = append(cells,
		calc(fmt.Sprintf("SUM(C%d:E%d)", row, row), m.measured(), formLength),
		calc(fmt.Sprintf("SUMPRODUCT(%s*LegSlack)", pick), m.slack, formLength),
		calc(fmt.Sprintf("F%d+G%d", row, row), m.installed(), formLength),
		calc(fmt.Sprintf("H%d*Waste", row), waste, formLength),
		calc(fmt.Sprintf("H%d+I%d", row, row), m.installed()+waste, formLength))
	return s.add(cells...)
}

func (b *book) lengthTotal(s *sheet, first int) {
	last := s.next() - 1
	cells := []cell{text("total").as(roleTotal), cell{}.as(roleTotal)}
	for c := 3; c <= 10; c++ {
		sum := 0.0
		for r := first; r <= last; r++ {
			sum += ref{s, r, c}.or0()
		}
		cells = append(cells, calc(sumOf(at(c, first), at(c, last), last >= first), sum, formLength).as(roleTotal))
	}
	s.add(cells...)
}

func (b *book) cableRow(s *sheet, k *job.Cable) {
	sum := b.sum(func(p legPart) bool { return p.circuit.Cable.Name == k.Cable })
	r := b.lengthRow(s, []cell{text(k.Cable), text(k.Conductor.String())}, exact("LegCable", "$A%d"), sum)
	row := r.row
	needed := r.right(9).or0()
	reel := entry(b.u.lengthIn(k.Reel), formLength)
	order := needed
	if v, ok := reel.value.(float64); ok {
		order = math.Ceil(needed/v-1e-9) * v
	}
	s.extend(row, reel,
		calc(fmt.Sprintf("IF(ISNUMBER(K%[1]d),ROUNDUP(J%[1]d/K%[1]d-0.000000001,0)*K%[1]d,J%[1]d)", row), order, formLength).as(roleStrong))
	s.checks = append(s.checks, check{where: at(11, row), least: 0.001, most: 1e6})
	b.byCable[k.Cable] = cableCells{r.right(5), r.right(7), r.right(11)}
}
