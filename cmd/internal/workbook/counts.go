package workbook

import (
	"fmt"

	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook/xlsx"
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
func countsSheet(b *book, o *outcome.Outcome) *xlsx.Sheet {
	levels := o.Take.Levels
	widths := []float64{7, 18, 30}
	for range levels {
		widths = append(widths, 11)
	}
	s := b.NewSheet("Counts", append(widths, 11)...)
	s.Title("Counts by type and level", "Counted live from the sheet Devices: set a device's status there to excluded, and it drops out of the bid.")
	heads := []string{"mark", "type", "name"}
	for _, l := range levels {
		heads = append(heads, l.Name)
	}
	head := s.Header(append(heads, "total")...)
	s.Head, s.Freeze = head.Row, 3
	tally := tallyDevices(o, func(d takeoff.Device) (string, bool) { return d.Type, d.Status == takeoff.Counted })
	first := s.Next()
	for i, t := range o.Job.Types {
		cells := []xlsx.Cell{xlsx.Text(typeLetter(i)), xlsx.Text(t.Type), xlsx.Text(typeName(t.DeviceType))}
		b.typeTotal[t.Type] = countRow(o, s, head.Row, cells, "DeviceType", 2, `*(DeviceStatus="counted")`, tally[t.Type])
	}
	last := s.Next() - 1
	b.counted = totalRow(o, s, "counted in all", first, last)
	countChart(o, s, head.Row, first, last)
	s.Blank(1)
	s.Section("Not counted, and why")
	why := tallyDevices(o, func(d takeoff.Device) (string, bool) { return string(d.Reason), d.Status == takeoff.Excluded })
	first = s.Next()
	for _, r := range reasons {
		cells := []xlsx.Cell{{}, xlsx.Text(string(r.reason)), xlsx.Text(r.words).Wrapped()}
		at := countRow(o, s, head.Row, cells, "DeviceReason", 2, `*(DeviceStatus="excluded")`, why[string(r.reason)])
		s.Fit(at.Row, 3, r.words)
	}
	b.excluded = totalRow(o, s, "not counted", first, s.Next()-1)
	return s
}

// tallyDevices counts devices by a key and level, in Go: what the formulas must come to.
func tallyDevices(o *outcome.Outcome, key func(takeoff.Device) (string, bool)) map[string]map[string]int {
	n := map[string]map[string]int{}
	for _, d := range o.Devices {
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
func countRow(o *outcome.Outcome, s *xlsx.Sheet, head int, cells []xlsx.Cell, span string, by int, also string, n map[string]int) xlsx.Ref {
	row, sum := s.Next(), 0
	from := len(cells) + 1
	for i, l := range o.Take.Levels {
		f := fmt.Sprintf("SUMPRODUCT(%s*%s%s)", exact(span, "$"+xlsx.At(by, row)), exact("DeviceLevel", fmt.Sprintf("%s$%d", xlsx.Column(from+i), head)), also)
		cells = append(cells, xlsx.Calc(f, n[l.Name], xlsx.FormCount))
		sum += n[l.Name]
	}
	to := len(cells)
	cells = append(cells, xlsx.Calc(sumOf(xlsx.At(from, row), xlsx.At(to, row), to >= from), sum, xlsx.FormCount).As(xlsx.RoleStrong))
	return s.Add(cells...).Right(to)
}

func sumOf(from, to string, any bool) string {
	if !any {
		return "0"
	}
	return "SUM(" + from + ":" + to + ")"
}

// totalRow sums the rows first to last in every column of numbers.
func totalRow(o *outcome.Outcome, s *xlsx.Sheet, words string, first, last int) xlsx.Ref {
	cells := []xlsx.Cell{xlsx.Cell{}.As(xlsx.RoleTotal), xlsx.Text(words).As(xlsx.RoleTotal), xlsx.Cell{}.As(xlsx.RoleTotal)}
	for c := 4; c <= len(o.Take.Levels)+4; c++ {
		sum := 0
		for r := first; r <= last; r++ {
			v, _ := s.Ref(r, c).Cell().Value.(int)
			sum += v
		}
		cells = append(cells, xlsx.Calc(sumOf(xlsx.At(c, first), xlsx.At(c, last), last >= first), sum, xlsx.FormCount).As(xlsx.RoleTotal))
	}
	return s.Add(cells...).Right(len(cells) - 1)
}

// countChart stacks the levels for each type.
func countChart(o *outcome.Outcome, s *xlsx.Sheet, head, first, last int) {
	levels := o.Take.Levels
	if last < first || len(levels) == 0 {
		return
	}
	var series []xlsx.Bars
	for i := range levels {
		series = append(series, xlsx.Bars{Name: s.Ref(head, 4+i).There(), Values: s.Span(4+i, first, last)})
	}
	s.StackedBars(xlsx.At(len(levels)+6, head), "Devices by type and level", s.Span(3, first, last), last-first+1, series)
}
