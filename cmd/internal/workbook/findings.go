package workbook

import (
	"slices"

	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook/xlsx"
	"loopwright/takeoff"
)

// findingsSheet lists what a person must know.
func findingsSheet(b *book, o *outcome.Outcome) *xlsx.Sheet {
	s := b.NewSheet("Findings", 8, 10, 90, 18, 9, 12, 12)
	s.Title("Findings", "What the program could not decide or doubts, most serious first. Places are in drawing units.")
	s.Head = s.Header("code", "severity", "message", "drawing", "handle", "x", "y").Row
	s.Freeze = 2
	fs := slices.Clone(o.Findings)
	takeoff.SortFindings(fs)
	for _, f := range fs {
		words := xlsx.Text(f.Severity.String())
		if f.Severity == takeoff.Error {
			words = words.As(xlsx.RoleFlag)
		}
		cells := []xlsx.Cell{xlsx.Text(f.Code), words, xlsx.Text(f.Message).Wrapped(), xlsx.Text(f.Drawing), xlsx.Text(f.Handle)}
		x, y := xlsx.Cell{Style: xlsx.Style{Form: xlsx.FormFine}}, xlsx.Cell{Style: xlsx.Style{Form: xlsx.FormFine}}
		if f.Placed {
			x.Value, y.Value = rounded(f.At.X, 4), rounded(f.At.Y, 4)
		}
		cells = append(cells, x, y)
		r := s.Add(cells...)
		s.Fit(r.Row, 3, f.Message)
	}
	if len(o.Findings) == 0 {
		s.Add(xlsx.Cell{}, xlsx.Cell{}, xlsx.Text("none"))
	}
	s.Table, s.TableTo = "FindingList", s.Ref(s.Next()-1, 7)
	return s
}
