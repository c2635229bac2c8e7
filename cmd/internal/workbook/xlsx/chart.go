package xlsx

import (
	"fmt"

	"github.com/xuri/excelize/v2"
)

type placedChart struct {
	at    string
	chart *excelize.Chart
}

// Bars is one series of a bar chart: the range of its values and the cell with its name.
type Bars struct{ Name, Values string }

// StackedBars places a chart of stacked bars at a cell, series in greys that a
// printer tells apart; labels is the range of what the rows are called.
func (s *Sheet) StackedBars(at, title, labels string, rows int, series []Bars) {
	c := &excelize.Chart{Type: excelize.BarStacked, Title: excelize.ChartTitle{Paragraph: []excelize.RichTextRun{{Text: title, Font: &excelize.Font{Size: 12, Bold: true, Color: inkDark}}}},
		Legend: excelize.ChartLegend{Position: "bottom"}, XAxis: excelize.ChartAxis{ReverseOrder: true, Font: excelize.Font{Size: 9, Color: inkDark}}, GapWidth: ptr(uint(60)),
		YAxis:     excelize.ChartAxis{MajorGridLines: true, Font: excelize.Font{Size: 9, Color: inkDark}, NumFmt: excelize.ChartNumFmt{CustomNumFmt: "0"}},
		Dimension: excelize.ChartDimension{Width: 640, Height: uint(140 + 22*rows)}}
	for i, b := range series {
		shade := 0x30
		if len(series) > 1 {
			shade += i * 0xA0 / (len(series) - 1)
		}
		c.Series = append(c.Series, excelize.ChartSeries{Name: b.Name, Categories: labels, Values: b.Values,
			Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{fmt.Sprintf("%02X%02X%02X", shade, min(255, shade+0x10), min(255, shade+0x20))}},
			Line: excelize.LineOptions{Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{inkDark}}, Width: 0.5},
		})
	}
	s.charts = append(s.charts, placedChart{at, c})
}
