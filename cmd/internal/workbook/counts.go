package workbook

import (
	"fmt"

	"loopwright/takeoff"
)

// reasons says in words why a symbol does not count, in the order of the sheet.
var reasons = []struct {
	reason takeoff.Reason
	words  string
}{
	{takeoff.InLegend, "a sample in the legend"},
	{takeoff.Duplicate, "a second copy on the same spot"},
	{takeoff.Overlap, "seen again where two drawings of one level overlap"},
	{takeoff.HiddenLayer, "on a layer that is frozen or off, or invisible"},
	{takeoff.OnPaper, "in paper space"},
	{takeoff.Demolition, "to be removed"},
	{takeoff.Existing, "stands already"},
	{takeoff.ByOthers, "another contractor's"},
	{takeoff.Unknown, "on a layer that the rules look at, but no rule explains it"},
	{takeoff.OutOfRegion, "outside the level's part of the drawing"},
}

// countsSheet counts devices by type and level out of the device list.
func (b *book) countsSheet() *sheet {
	levels := b.in.Take.Levels
	widths := []float64{7, 18, 30}
	for range levels {
		widths = append(widths, 11)
	}
	s := b.newSheet("Counts", append(widths, 11)...)
	s.title("Counts by type and level", "Counted live out of the sheet Devices: set a device's status there to excluded, and it leaves the bid.")
	heads := []string{"mark", "type", "name"}
	for _, l := range levels {
		heads = append(heads, l.Name)
	}
	head := s.header(append(heads, "total")...)
	s.head, s.freeze = head.row, 3
	tally := b.tally(func(d takeoff.Device) (string, bool) { return d.Type, d.Status == takeoff.Counted })
	first := s.next()
	for i, t := range b.in.Job.Types {
		cells := []cell{text(typeLetter(i)), text(t.Type), text(b.typeName(t.DeviceType))}
		b.typeTotal[t.Type] = b.countRow(s, head.row, cells, "DeviceType", 2, `*(DeviceStatus="counted")`, tally[t.Type])
	}
	last := s.next() - 1
	b.counted = b.totalRow(s, "counted in all", first, last)
	b.countChart(s, head.row, first, last)
	s.blank(1)
	s.section("Not counted, and why")
	why := b.tally(func(d takeoff.Device) (string, bool) { return string(d.Reason), d.Status == takeoff.Excluded })
	first = s.next()
	for _, r := range reasons {
		cells := []cell{{}, text(string(r.reason)), text(r.words).wrapped()}
		at := b.countRow(s, head.row, cells, "DeviceReason", 2, `*(DeviceStatus="excluded")`, why[string(r.reason)])
		s.fit(at.row, 3, r.words)
	}
	b.excluded = b.totalRow(s, "not counted", first, s.next()-1)
	return s
}

// tally counts devices by a key and level, in Go: what the formulas must come to.
func (b *book) tally(key func(takeoff.Device) (string, bool)) map[string]map[string]int {
	n := map[string]map[string]int{}
	for _, d := range b.in.Devices {
		k, ok := key(d.Device)
		if !ok {
			continue
		}
		if n[k] == nil {
			n[k] = map[string]int{}
		}
		n[k][d.Level]++
	}
	return n
}

// countRow counts the devices whose column span is what stands in the row's
// column by, level by level, and returns the cell of their sum.
func (b *book) countRow(s *sheet, head int, cells []cell, span string, by int, also string, n map[string]int) ref {
	row, sum := s.next(), 0
	from := len(cells) + 1
	for i, l := range b.in.Take.Levels {
		f := fmt.Sprintf("SUMPRODUCT(%s*%s%s)", exact(span, "$"+at(by, row)), exact("DeviceLevel", fmt.Sprintf("%s$%d", column(from+i), head)), also)
		cells = append(cells, calc(f, n[l.Name], formCount))
		sum += n[l.Name]
	}
	to := len(cells)
	cells = append(cells, calc(sumOf(at(from, row), at(to, row), to >= from), sum, formCount).as(roleStrong))
	return s.add(cells...).right(to)
}

func sumOf(from, to string, any bool) string {
	if !any {
		return "0"
	}
	return "SUM(" + from + ":" + to + ")"
}

// totalRow sums the rows first to last in every column of numbers.
func (b *book) totalRow(s *sheet, words string, first, last int) ref {
	cells := []cell{cell{}.as(roleTotal), text(words).as(roleTotal), cell{}.as(roleTotal)}
	for c := 4; c <= len(b.in.Take.Levels)+4; c++ {
		sum := 0
		for r := first; r <= last; r++ {
			v, _ := ref{s, r, c}.cell().value.(int)
			sum += v
		}
		cells = append(cells, calc(sumOf(at(c, first), at(c, last), last >= first), sum, formCount).as(roleTotal))
	}
	return s.add(cells...).right(len(cells) - 1)
}

// countChart stacks the levels for each type.
func (b *book) countChart(s *sheet, head, first, last int) {
	levels := b.in.Take.Levels
	if last < first || len(levels) == 0 {
		return
	}
	var series []bars
	for i := range levels {
		series = append(series, bars{fmt.Sprintf("%s!$%s$%d", quoted(s.name), column(4+i), head), s.span(4+i, first, last)})
	}
	s.stackedBars(at(len(levels)+6, head), "Devices by type and level", s.span(3, first, last), last-first+1, series)
}
