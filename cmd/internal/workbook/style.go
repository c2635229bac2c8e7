package workbook

import "github.com/xuri/excelize/v2"

// form is how a number is written. The blank as wide as a bracket that ends each
// format keeps numbers off the text in the next column.
type form uint8

const (
	formGeneral form = iota
	formWhole
	formCount // a dash for none
	formLength
	formFine // two decimals
	formMilli
	formMoney
	formPercent
	formPercentFine
	formPlain // as many of two decimals as there are
)

var formats = [...]string{
	formGeneral: "General", formWhole: "#,##0_)", formCount: `#,##0_);-#,##0_);"–"_)`, formLength: "#,##0.0_)", formFine: "#,##0.00_)",
	formMilli: "#,##0.000_)", formMoney: "#,##0.00_)", formPercent: "0%_)", formPercentFine: "0.0%_)", formPlain: "0.##_)",
}

// role is what a cell is for, and so how it looks.
type role uint8

const (
	rolePlain role = iota
	roleTitle
	roleSection
	roleHead
	roleNote
	roleInput
	roleTotal
	roleFlag
	roleStrong
	roleCaution
	roleBanner
)

// style is the look of a cell. Looks are told apart by weight, borders and
// fills that survive a black-and-white printer; colour only adds to that.
type style struct {
	form  form
	role  role
	wrap  bool
	right bool // also a text
}

const (
	bodyFont  = "Calibri"
	inkDark   = "1F2933"
	inkQuiet  = "52606D"
	inkInput  = "1B3A6B"
	inkFlag   = "8A1C1C"
	lineLight = "9AA5B1"
	fillHead  = "E1E5EA"
	fillInput = "FFF9E3"
	fillFlag  = "F3E3E3"
)

// sheetStyle is a style as the spreadsheet library wants it.
func (s style) sheetStyle() *excelize.Style {
	font := excelize.Font{Family: bodyFont, Size: 10, Color: inkDark}
	x := &excelize.Style{Font: &font, Alignment: &excelize.Alignment{Vertical: "top", WrapText: s.wrap}}
	if s.form != formGeneral {
		f := formats[s.form]
		x.CustomNumFmt = &f
		x.Alignment.Horizontal = "right" // also what stands in place of a number
	}
	if s.right {
		x.Alignment.Horizontal = "right"
	}
	line := func(side string, weight int) {
		x.Border = append(x.Border, excelize.Border{Type: side, Color: lineLight, Style: weight})
	}
	fill := func(c string) { x.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{c}} }
	switch s.role {
	case roleTitle:
		font.Size, font.Bold = 15, true
		x.Alignment.Vertical = "center"
	case roleSection:
		font.Size, font.Bold = 11.5, true
		x.Alignment.Vertical = "bottom"
		line("bottom", 1)
	case roleHead:
		font.Bold = true
		fill(fillHead)
		line("bottom", 2)
		x.Alignment.Vertical = "center"
		if s.form != formGeneral {
			x.CustomNumFmt = nil
			x.Alignment.Indent = 1
		}
	case roleNote:
		font.Color, font.Italic = inkQuiet, true
	case roleInput:
		font.Color = inkInput
		fill(fillInput)
		for _, side := range []string{"left", "right", "top", "bottom"} {
			line(side, 1)
		}
	case roleTotal:
		font.Bold = true
		line("top", 1)
	case roleStrong:
		font.Bold = true
	case roleFlag:
		font.Bold, font.Color = true, inkFlag
	case roleBanner:
		font.Bold, font.Size = true, 12
		line("top", 2)
		line("bottom", 2)
	case roleCaution:
		for _, side := range []string{"left", "right", "top", "bottom"} {
			line(side, 2)
		}
	}
	return x
}
