package xlsx

import (
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"
)

// Paper sizes as spreadsheets number them (ECMA-376 part 1, 18.3.1.63 pageSetup).
const (
	paperLetter  = 1
	paperTabloid = 3
	paperA3      = 8
	paperA4      = 9
)

func ptr[T any](v T) *T { return &v }

// around sets what stands around a sheet's cells: view, page, checks.
func (e *emitter) around(s *Sheet) error {
	last := len(s.widths)
	for _, r := range s.rows {
		last = max(last, len(r))
	}
	steps := []func() error{
		func() error { return e.f.SetSheetDimension(s.Name, "A1:"+At(max(1, last), max(1, len(s.rows)))) },
		func() error {
			return e.f.SetSheetView(s.Name, 0, &excelize.ViewOptions{ShowGridLines: ptr(!s.NoGrid)})
		},
		func() error { return e.page(s) },
		func() error { return e.repeat(s) },
		func() error { return e.checks(s) },
	}
	for _, step := range steps {
		if err := step(); err != nil {
			return err
		}
	}
	return nil
}

func (e *emitter) page(s *Sheet) error {
	size, way := paperLetter, "landscape"
	switch {
	case e.b.A4 && s.Large:
		size = paperA3
	case e.b.A4:
		size = paperA4
	case s.Large:
		size = paperTabloid
	}
	if s.Portrait {
		way = "portrait"
	}
	err := e.f.SetPageLayout(s.Name, &excelize.PageLayoutOptions{Size: &size, Orientation: &way, FitToWidth: ptr(1), FitToHeight: ptr(s.pagesHigh())})
	if err != nil {
		return err
	}
	if err := e.f.SetSheetProps(s.Name, &excelize.SheetPropsOptions{FitToPage: ptr(true)}); err != nil {
		return err
	}
	err = e.f.SetPageMargins(s.Name, &excelize.PageLayoutMarginsOptions{Left: ptr(0.5), Right: ptr(0.5), Top: ptr(0.75), Bottom: ptr(0.7), Header: ptr(0.3), Footer: ptr(0.3)})
	if err != nil {
		return err
	}
	return e.f.SetHeaderFooter(s.Name, &excelize.HeaderFooterOptions{OddHeader: "&L&9" + inMargin(e.b.Head) + "&R&9" + inMargin(s.Name),
		OddFooter: "&L&9" + inMargin(e.b.Foot) + "&C&9" + inMargin(e.b.Note) + "&R&9page &P of &N"})
}

// pagesHigh is 0 for as many pages as it takes.
func (s *Sheet) pagesHigh() int {
	if len(s.Pictures) > 0 && s.Head == 0 { // nothing but a plan
		return 1
	}
	return 0
}

// inMargin makes a text safe in a header or footer, where & begins a code and
// digits would run into the font size before them, and short enough: a whole
// header may have 255 characters.
func inMargin(s string) string {
	s = strings.ReplaceAll(Cut(s, 80), "&", "&&")
	if s != "" && s[0] >= '0' && s[0] <= '9' {
		return " " + s
	}
	return s
}

func (e *emitter) repeat(s *Sheet) error {
	if s.Head == 0 {
		return nil
	}
	return e.f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", Scope: s.Name,
		RefersTo: fmt.Sprintf("%s!$%d:$%d", quoted(s.Name), s.Head, s.Head)})
}

// checks sets the rules for what may be typed, and makes verdicts stand out.
func (e *emitter) checks(s *Sheet) error {
	for _, c := range s.Checks {
		if err := e.f.AddDataValidation(s.Name, c.rule()); err != nil {
			return err
		}
	}
	if len(s.Verdicts) == 0 {
		return nil
	}
	bad, err := e.f.NewConditionalStyle(&excelize.Style{Font: &excelize.Font{Bold: true, Color: inkFlag},
		Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{fillFlag}}})
	if err != nil {
		return err
	}
	for _, where := range s.Verdicts {
		first, _, _ := strings.Cut(where, ":")
		err := e.f.SetConditionalFormat(s.Name, where, []excelize.ConditionalFormatOptions{{Type: "formula",
			Criteria: fmt.Sprintf(`OR(LEFT(%[1]s,5)="FAILS",LEFT(%[1]s,10)="INCOMPLETE")`, first), Format: &bad}})
		if err != nil {
			return err
		}
	}
	return nil
}

func (c Check) rule() *excelize.DataValidation {
	v := excelize.NewDataValidation(true)
	v.Sqref = c.Where
	switch {
	case c.Words != nil:
		_ = v.SetDropList(c.Words) // fails only on lists longer than ours
		return v
	case c.Whole:
		_ = v.SetRange(int(c.Least), int(c.Most), excelize.DataValidationTypeWhole, excelize.DataValidationOperatorBetween)
	default:
		_ = v.SetRange(c.Least, c.Most, excelize.DataValidationTypeDecimal, excelize.DataValidationOperatorBetween)
	}
	v.SetError(excelize.DataValidationErrorStyleStop, "Number out of range", fmt.Sprintf("Enter a number from %g to %g, "+
		"or leave it blank.", c.Least, c.Most))
	return v
}

// objects places charts and pictures.
func (e *emitter) objects(s *Sheet) error {
	for _, c := range s.charts {
		if err := e.f.AddChart(s.Name, c.at, c.chart); err != nil {
			return err
		}
	}
	for _, p := range s.Pictures {
		err := e.f.AddPictureFromBytes(s.Name, p.At, &excelize.Picture{Extension: ".png", File: p.PNG,
			Format: &excelize.GraphicOptions{AltText: p.Alt, ScaleX: p.Scale, ScaleY: p.Scale, Positioning: "oneCell"}})
		if err != nil {
			return err
		}
	}
	return nil
}
