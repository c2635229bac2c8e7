package workbook

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
func (e *emitter) around(s *sheet) error {
	last := len(s.widths)
	for _, r := range s.rows {
		last = max(last, len(r))
	}
	steps := []func() error{
		func() error { return e.f.SetSheetDimension(s.name, "A1:"+at(max(1, last), max(1, len(s.rows)))) },
		func() error {
			return e.f.SetSheetView(s.name, 0, &excelize.ViewOptions{ShowGridLines: ptr(!s.noGrid)})
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

func (e *emitter) page(s *sheet) error {
	size, way := paperLetter, "landscape"
	switch {
	case e.b.a4 && s.large:
		size = paperA3
	case e.b.a4:
		size = paperA4
	case s.large:
		size = paperTabloid
	}
	if s.portrait {
		way = "portrait"
	}
	err := e.f.SetPageLayout(s.name, &excelize.PageLayoutOptions{Size: &size, Orientation: &way, FitToWidth: ptr(1), FitToHeight: ptr(s.pagesHigh())})
	if err != nil {
		return err
	}
	if err := e.f.SetSheetProps(s.name, &excelize.SheetPropsOptions{FitToPage: ptr(true)}); err != nil {
		return err
	}
	err = e.f.SetPageMargins(s.name, &excelize.PageLayoutMarginsOptions{Left: ptr(0.5), Right: ptr(0.5), Top: ptr(0.75), Bottom: ptr(0.7), Header: ptr(0.3), Footer: ptr(0.3)})
	if err != nil {
		return err
	}
	return e.f.SetHeaderFooter(s.name, &excelize.HeaderFooterOptions{OddHeader: "&L&9" + inMargin(e.b.head) + "&R&9" + inMargin(s.name),
		OddFooter: "&L&9" + inMargin(e.b.foot) + "&C&9" + inMargin(e.b.note) + "&R&9page &P of &N"})
}

// pagesHigh is 0 for as many pages as it takes.
func (s *sheet) pagesHigh() int {
	if s.picture != nil {
		return 1
	}
	return 0
}

// inMargin makes a text safe in a header or footer, where & begins a code and
// digits would run into the font size before them, and short enough: a whole
// header may have 255 characters.
func inMargin(s string) string {
	s = strings.ReplaceAll(cut(s, 80), "&", "&&")
	if s != "" && s[0] >= '0' && s[0] <= '9' {
		return " " + s
	}
	return s
}

func (e *emitter) repeat(s *sheet) error {
	if s.head == 0 {
		return nil
	}
	return e.f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", Scope: s.name,
		RefersTo: fmt.Sprintf("%s!$%d:$%d", quoted(s.name), s.head, s.head)})
}

// checks sets the rules for what may be typed, and makes verdicts stand out.
func (e *emitter) checks(s *sheet) error {
	for _, c := range s.checks {
		if err := e.f.AddDataValidation(s.name, c.rule()); err != nil {
			return err
		}
	}
	if len(s.verdict) == 0 {
		return nil
	}
	bad, err := e.f.NewConditionalStyle(&excelize.Style{Font: &excelize.Font{Bold: true, Color: inkFlag},
		Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{fillFlag}}})
	if err != nil {
		return err
	}
	for _, where := range s.verdict {
		first, _, _ := strings.Cut(where, ":")
		err := e.f.SetConditionalFormat(s.name, where, []excelize.ConditionalFormatOptions{{Type: "formula",
			Criteria: fmt.Sprintf(`OR(LEFT(%[1]s,5)="FAILS",LEFT(%[1]s,10)="INCOMPLETE")`, first), Format: &bad}})
		if err != nil {
			return err
		}
	}
	return nil
}

func (c check) rule() *excelize.DataValidation {
	v := excelize.NewDataValidation(true)
	v.Sqref = c.where
	switch {
	case c.words != nil:
		_ = v.SetDropList(c.words) // fails only on lists longer than ours
		return v
	case c.whole:
		_ = v.SetRange(int(c.least), int(c.most), excelize.DataValidationTypeWhole, excelize.DataValidationOperatorBetween)
	default:
		_ = v.SetRange(c.least, c.most, excelize.DataValidationTypeDecimal, excelize.DataValidationOperatorBetween)
	}
	v.SetError(excelize.DataValidationErrorStyleStop, "Not a number that fits", fmt.Sprintf("A number from %g to %g goes "+
		"here, or nothing.", c.least, c.most))
	return v
}

// objects places charts and pictures.
func (e *emitter) objects(s *sheet) error {
	for _, c := range s.charts {
		if err := e.f.AddChart(s.name, c.at, c.chart); err != nil {
			return err
		}
	}
	if p := s.picture; p != nil {
		return e.f.AddPictureFromBytes(s.name, p.at, &excelize.Picture{Extension: ".png", File: p.png,
			Format: &excelize.GraphicOptions{AltText: p.alt, ScaleX: p.scale, ScaleY: p.scale, Positioning: "oneCell"}})
	}
	return nil
}
