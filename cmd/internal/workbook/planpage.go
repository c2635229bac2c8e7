package workbook

import (
	"bytes"
	"image/png"
)

// planSheets makes a sheet with a picture for every drawing of every level.
func (b *book) planSheets() ([]*sheet, error) {
	var err error
	if b.letters, err = newLetters(markSize); err != nil {
		return nil, err
	}
	var out []*sheet
	for _, l := range b.in.Take.Levels {
		for _, sh := range l.Sheets {
			data, alt, err := b.planPicture(l, sh)
			if err != nil {
				return nil, err
			}
			s := b.newSheet("Plan "+l.Name, 30, 30, 30, 30, 30)
			s.noGrid = true
			s.title(l.Name, sh.Plan.Drawing+sh.Plan.Devices+": every device that counts, with the mark under which it stands on the sheet Devices. "+
				"Letters are types, numbers run by type: the highest number beside a letter is the count on this plan.")
			if data == nil {
				s.add(text("Nothing is drawn here."))
				out = append(out, s)
				continue
			}
			c, err := png.DecodeConfig(bytes.NewReader(data))
			if err != nil {
				return nil, err
			}
			s.picture = &placedPicture{at: at(1, s.next()), png: data, alt: alt, scale: shownWide / float64(c.Width)}
			out = append(out, s)
		}
	}
	return out, nil
}

// shownWide is how wide a picture is shown, in the pixels of a sheet: its own
// are finer, for those who zoom in.
const shownWide = 1080
