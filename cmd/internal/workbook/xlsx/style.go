package xlsx

import "github.com/xuri/excelize/v2"

// Form is how a number is written. The blank as wide as a bracket that ends each
// format keeps numbers off the text in the next column.
type Form uint8

const (
	FormGeneral Form = iota
	FormWhole
	FormCount // a dash for none
	FormLength
	FormFine // two decimals
	FormMilli
	FormMoney
	FormPercent
	FormPercentFine
	FormPlain // as many of two decimals as there are
)

var formats = [...]string{
	FormGeneral: "General", FormWhole: "#,##0_)", FormCount: `#,##0_);-#,##0_);"–"_)`, FormLength: "#,##0.0_)", FormFine: "#,##0.00_)",
	FormMilli: "#,##0.000_)", FormMoney: "#,##0.00_)", FormPercent: "0%_)", FormPercentFine: "0.0%_)", FormPlain: "0.##_)",
}

// Role is what a cell is for, and so how it looks.
type Role uint8

const (
	rolePlain Role = iota
	RoleTitle
	roleSection
	RoleHead
	RoleNote
	RoleInput
	RoleTotal
	RoleFlag
	RoleStrong
	roleCaution
	RoleBanner
)

// Style is the look of a cell. Looks are told apart by weight, borders and
// fills that survive a black-and-white printer; colour only adds to that.
type Style struct {
	Form  Form
	Role  Role
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
func (s Style) sheetStyle() *excelize.Style {
	font := excelize.Font{Family: bodyFont, Size: 10, Color: inkDark}
	x := &excelize.Style{Font: &font, Alignment: &excelize.Alignment{Vertical: "top", WrapText: s.wrap}}
	if s.Form != FormGeneral {
		f := formats[s.Form]
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
	switch s.Role {
	case RoleTitle:
		font.Size, font.Bold = 15, true
		x.Alignment.Vertical = "center"
	case roleSection:
		font.Size, font.Bold = 11.5, true
		x.Alignment.Vertical = "bottom"
		line("bottom", 1)
	case RoleHead:
		font.Bold = true
		fill(fillHead)
		line("bottom", 2)
		x.Alignment.Vertical = "center"
		if s.Form != FormGeneral {
			x.CustomNumFmt = nil
			x.Alignment.Indent = 1
		}
	case RoleNote:
		font.Color, font.Italic = inkQuiet, true
	case RoleInput:
		font.Color = inkInput
		fill(fillInput)
		for _, side := range []string{"left", "right", "top", "bottom"} {
			line(side, 1)
		}
	case RoleTotal:
		font.Bold = true
		line("top", 1)
	case RoleStrong:
		font.Bold = true
	case RoleFlag:
		font.Bold, font.Color = true, inkFlag
	case RoleBanner:
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
