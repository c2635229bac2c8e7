package sheet

import "strings"

// What a field holds: the last part of its name.
const (
	FieldSet      = "set"      // tick: switches set
	FieldMounted  = "mounted"  // tick
	FieldTested   = "tested"   // tick
	FieldFound    = "found"    // address found on the device
	FieldSerial   = "serial"   // serial number
	FieldRemark   = "remark"   // free text
	FieldOhm      = "ohm"      // metered loop resistance
	FieldVolt     = "volt"     // metered voltage
	FieldInitials = "initials" // who metered
	FieldDate     = "date"     // when
)

// The parts of a field's name are parted by slashes; the form's own separator
// is the full stop (ISO 32000, 12.7.3.2), so both are written otherwise within a part.
var (
	escapePart   = strings.NewReplacer("%", "%25", "/", "%2F", ".", "%2E")
	unescapePart = strings.NewReplacer("%2F", "/", "%2E", ".", "%25", "%")
)

// FieldName is the name of the form field that holds one thing about one device
// (or branch end) on one circuit, e.g. "SLC-1/L1-023/found".
func FieldName(circuit, id, what string) string {
	return escapePart.Replace(circuit) + "/" + escapePart.Replace(id) + "/" + what
}

// parseFieldName takes a name apart; ok is false for fields that are not ours.
func parseFieldName(name string) (circuit, id, what string, ok bool) {
	parts := strings.Split(name, "/")
	if len(parts) != 3 {
		return "", "", "", false
	}
	return unescapePart.Replace(parts[0]), unescapePart.Replace(parts[1]), parts[2], true
}

// field is one form field to be laid over a page.
type field struct {
	page int // from 1
	name string
	tip  string // what a reader shows or speaks for it
	tick bool
	at   box // from the page's bottom left, where y is the lower edge: as a PDF measures
}

const tickSize = 11.0

// blank draws a box to write in.
func (p *pen) blank(at box, name, tip string) {
	p.outline(at, 0.5)
	p.field(at, name, tip, false)
}

// field lays a field over a box of this page.
func (p *pen) field(at box, name, tip string, tick bool) {
	_, height := p.GetPageSize()
	p.fields = append(p.fields, field{p.PageNo(), name, tip, tick, box{at.x, height - at.y - at.h, at.w, at.h}})
}

func (p *pen) outline(at box, width float64) {
	p.SetDrawColor(0, 0, 0)
	p.SetLineWidth(width)
	p.Rect(at.x, at.y, at.w, at.h, "D")
}
