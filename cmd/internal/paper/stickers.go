package paper

import (
	"loopwright/assign/sheet"
)

// labels draws one sticker for every device on a circuit, on the circuit that numbers it.
func (b *binder) labels() (sheet.Document, error) {
	s := b.Job.Stickers
	g := sheet.Grid{A4: s.Page == "A4", Columns: s.Columns, Rows: s.Rows, Size: s.Size, Margins: s.Margins, Pitch: s.Pitch}
	var out []sheet.Sticker
	for _, c := range b.Circuits {
		for _, id := range c.Devices {
			d := b.device[id]
			if d.Circuit != c.Name || !b.prints(id) {
				continue
			}
			out = append(out, sheet.Sticker{Circuit: d.Circuit, Order: d.Order, ID: id, Type: b.typeName(d.Type), Level: d.Level, Room: d.Place(),
				Address: d.Address, Span: d.Span, Points: d.Points})
		}
	}
	return sheet.Labels(b.job, g, out)
}
