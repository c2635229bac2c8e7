package workbook

import (
	"fmt"
	"math"

	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook/xlsx"
)

// cableCells are the cells of one cable that other sheets take.
type cableCells struct{ measured, installed, order xlsx.Ref }

// circuitCells are the cells of one circuit that other sheets take.
type circuitCells struct {
	measured, slack, installed xlsx.Ref
	rate, ohm, limit           xlsx.Ref
	farads                     xlsx.Ref   // capacitance in microfarads, or why there is none
	loop                       xlsx.Ref   // verdict on resistance and capacitance
	volts, verdicts            []xlsx.Ref // of an appliance or power circuit, for each state: lowest volts, verdict
	shorts                     xlsx.Ref   // verdict on single shorts as drawn; without sheet where none are judged
	verdict                    xlsx.Ref   // on all of it
}

// lengthNames are the columns that every table of cable has, with their ranges on the sheet of legs.
var lengthNames = []string{"LegHorizontal", "LegDrop", "LegRise"}

// cableSheet sums the cable by circuit, by level and by kind.
func cableSheet(b *book, o *outcome.Outcome) *xlsx.Sheet {
	u := b.u.length
	s := b.NewSheet("Cable", 16, 12, 12, 12, 12, 12, 12, 12, 12, 12, 12, 12)
	s.Title("Cable", "Lengths in "+u+". To order = (measured + slack) x (1 + waste), rounded up to whole reels where a reel is given; waste "+
		"is on the sheet Settings. "+
		"A leg that changes level counts on each level for what runs there; its rise counts on the level where it ends.")
	lengths := []string{"horizontal", "drops", "rises", "measured", "slack", "installed", "waste", "needed"}
	s.Section("To order, by kind of cable")
	s.Header(append(append([]string{"cable", "conductor"}, lengths...), "reel", "to order")...)
	for i := range o.Job.Cables {
		cableRow(b, s, &o.Job.Cables[i])
	}
	s.Blank(1)
	s.Section("By circuit")
	s.Header(append([]string{"circuit", "cable"}, lengths...)...)
	first := s.Next()
	for i := range o.Circuits {
		c := &o.Circuits[i]
		sum := sumParts(b, func(p legPart) bool { return p.circuit == c })
		r := lengthRow(b, s, []xlsx.Cell{xlsx.Text(c.Name), xlsx.Text(c.Cable.Name)}, exact("LegCircuit", "$A%d"), sum)
		cc := b.byCircuit[c.Name]
		cc.measured, cc.slack, cc.installed = r.Right(5), r.Right(6), r.Right(7)
	}
	lengthTotal(s, first)
	s.Blank(1)
	s.Section("By level and kind of cable")
	s.Header(append([]string{"level", "cable"}, lengths...)...)
	first = s.Next()
	for _, l := range o.Take.Levels {
		for _, k := range o.Job.Cables {
			sum := sumParts(b, func(p legPart) bool { return p.level == l.Name && p.circuit.Cable.Name == k.Cable })
			lengthRow(b, s, []xlsx.Cell{xlsx.Text(l.Name), xlsx.Text(k.Cable)}, exact("LegLevel", "$A%[1]d")+"*"+exact("LegCable", "$B%[1]d"), sum)
		}
	}
	lengthTotal(s, first)
	return s
}

// sumParts adds up the parts of legs that fit.
func sumParts(b *book, fits func(legPart) bool) measures {
	var m measures
	for _, p := range b.parts {
		if fits(p) {
			m.plus(measuresOf(b, p))
		}
	}
	return m
}

// lengthRow adds a row of lengths summed from the legs; test picks the legs and
// takes the row's number.
func lengthRow(b *book, s *xlsx.Sheet, cells []xlsx.Cell, test string, m measures) xlsx.Ref {
	row := s.Next()
	pick := fmt.Sprintf(test, row)
	waste := m.installed() * b.set.waste.Or0()
	for i, v := range []float64{m.horizontal, m.drop, m.rise} {
		cells = append(cells, xlsx.Calc(fmt.Sprintf("SUMPRODUCT(%s*%s)", pick, lengthNames[i]), v, xlsx.FormLength))
	}
	cells = append(cells,
		xlsx.Calc(fmt.Sprintf("SUM(C%d:E%d)", row, row), m.measured(), xlsx.FormLength),
		xlsx.Calc(fmt.Sprintf("SUMPRODUCT(%s*LegSlack)", pick), m.slack, xlsx.FormLength),
		xlsx.Calc(fmt.Sprintf("F%d+G%d", row, row), m.installed(), xlsx.FormLength),
		xlsx.Calc(fmt.Sprintf("H%d*Waste", row), waste, xlsx.FormLength),
		xlsx.Calc(fmt.Sprintf("H%d+I%d", row, row), m.installed()+waste, xlsx.FormLength))
	return s.Add(cells...)
}

func lengthTotal(s *xlsx.Sheet, first int) {
	last := s.Next() - 1
	cells := []xlsx.Cell{xlsx.Text("total").As(xlsx.RoleTotal), xlsx.Cell{}.As(xlsx.RoleTotal)}
	for c := 3; c <= 10; c++ {
		sum := 0.0
		for r := first; r <= last; r++ {
			sum += s.Ref(r, c).Or0()
		}
		cells = append(cells, xlsx.Calc(sumOf(xlsx.At(c, first), xlsx.At(c, last), last >= first), sum, xlsx.FormLength).As(xlsx.RoleTotal))
	}
	s.Add(cells...)
}

func cableRow(b *book, s *xlsx.Sheet, k *job.Cable) {
	sum := sumParts(b, func(p legPart) bool { return p.circuit.Cable.Name == k.Cable })
	r := lengthRow(b, s, []xlsx.Cell{xlsx.Text(k.Cable), xlsx.Text(k.Conductor.String())}, exact("LegCable", "$A%d"), sum)
	row := r.Row
	needed := r.Right(9).Or0()
	reel := xlsx.Entry(b.u.lengthIn(k.Reel), xlsx.FormLength)
	order := needed
	if v, ok := reel.Value.(float64); ok {
		order = math.Ceil(needed/v-1e-9) * v
	}
	s.Extend(row, reel,
		xlsx.Calc(fmt.Sprintf("IF(ISNUMBER(K%[1]d),ROUNDUP(J%[1]d/K%[1]d-0.000000001,0)*K%[1]d,J%[1]d)", row), order, xlsx.FormLength).As(xlsx.RoleStrong))
	s.Checks = append(s.Checks, xlsx.Check{Where: xlsx.At(11, row), Least: 0.001, Most: 1e6})
	b.byCable[k.Cable] = cableCells{r.Right(5), r.Right(7), r.Right(11)}
}
