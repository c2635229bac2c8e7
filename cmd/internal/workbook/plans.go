package workbook

import (
	"fmt"
	"math"
	"slices"

	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook/picture"
	"loopwright/cmd/internal/workbook/xlsx"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/words"
)

// planSheets makes a sheet with a picture for every drawing of every level.
func planSheets(b *book, o *outcome.Outcome) ([]*xlsx.Sheet, error) {
	painter, err := picture.NewPainter()
	if err != nil {
		return nil, err
	}
	var out []*xlsx.Sheet
	for _, l := range o.Take.Levels {
		for _, sh := range l.Sheets {
			plan, err := planOf(b, o, l, sh)
			if err != nil {
				return nil, fmt.Errorf("plan of %s: %w", l.Name, err)
			}
			s := b.NewSheet("Plan "+l.Name, 30, 30, 30, 30, 30)
			s.NoGrid = true
			s.Title(l.Name, sh.Plan.Drawing+sh.Plan.Devices+": every device that counts, with its mark from the sheet Devices. "+
				"Letters are types, numbers run by type: the highest number beside a letter is the count on this plan.")
			if plan.Window.Empty() {
				s.Add(xlsx.Text("Nothing is drawn here."))
				out = append(out, s)
				continue
			}
			data, wide, err := painter.PNG(plan)
			if err != nil {
				return nil, err
			}
			alt := fmt.Sprintf("%s, %s: %d devices marked", l.Name, sh.Plan.Drawing+sh.Plan.Devices, len(plan.Spots))
			s.Pictures = []xlsx.Picture{{At: xlsx.At(1, s.Next()), PNG: data, Alt: alt, Scale: shownWide / float64(wide)}}
			out = append(out, s)
		}
	}
	return out, nil
}

// shownWide is how wide a picture is shown, in the pixels of a sheet: its own
// are finer, for those who zoom in.
const shownWide = 1080

// planOf is what the picture of a drawing shows; its window is empty where
// nothing is drawn.
func planOf(b *book, o *outcome.Outcome, l takeoff.Level, sh takeoff.Sheet) (picture.Plan, error) {
	devices := devicesOn(o, l, sh)
	p := picture.Plan{Window: windowOf(sh, devices)}
	if p.Window.Empty() {
		return p, nil
	}
	if sh.Plan.Drawing != "" {
		var err error
		if p.Shapes, err = o.Linework(sh.Plan.Drawing); err != nil {
			return p, err
		}
	}
	p.Wall = func(layer string) bool {
		return slices.ContainsFunc(sh.Plan.Walls, func(pattern string) bool { return words.NameFits(pattern, layer) })
	}
	for _, d := range devices {
		s := picture.Spot{At: spot(d)}
		if d.Status == takeoff.Counted {
			s.Mark, s.Ink = b.marks[d.ID], inkOf(o, d.Type)
		}
		p.Spots = append(p.Spots, s)
	}
	p.Legend = legendOf(o, devices, p.Window)
	return p, nil
}

// devicesOn lists the devices of a sheet, those that do not count included.
func devicesOn(o *outcome.Outcome, l takeoff.Level, sh takeoff.Sheet) []takeoff.Device {
	var out []takeoff.Device
	for _, d := range o.Devices {
		if d.Level != l.Name || d.Drawing != sh.Plan.Drawing+sh.Plan.Devices {
			continue
		}
		if sh.Plan.Region == nil || sh.Plan.Region.Contains(d.At) {
			out = append(out, d.Device)
		}
	}
	return out
}

// windowOf is the part of a drawing that is shown: devices that count and walls, not
// the title block, which would make everything small.
func windowOf(sh takeoff.Sheet, devices []takeoff.Device) geom.Box {
	box := geom.EmptyBox()
	for _, d := range devices {
		if d.Status == takeoff.Counted && finite(d.At) {
			box = box.Extend(d.At)
		}
	}
	walls := geom.EmptyBox()
	if back, err := sh.ToBuilding.Inverse(); err == nil {
		for _, w := range sh.Walls {
			walls = walls.Extend(back.Apply(w.A)).Extend(back.Apply(w.B))
		}
	}
	switch {
	case box.Empty() && walls.Empty():
		box = sh.Extent
	case box.Empty():
		box = walls
	case !walls.Empty() && max(walls.Width(), walls.Height()) < 4*max(box.Width(), box.Height()):
		box = box.Union(walls)
	}
	if sh.Plan.Region != nil {
		box = geom.Box{Min: geom.Pt(max(box.Min.X, sh.Plan.Region.Min.X), max(box.Min.Y, sh.Plan.Region.Min.Y)),
			Max: geom.Pt(min(box.Max.X, sh.Plan.Region.Max.X), min(box.Max.Y, sh.Plan.Region.Max.Y))}
	}
	if box.Empty() || !finite(box.Min) || !finite(box.Max) {
		return geom.EmptyBox()
	}
	side := max(box.Width(), box.Height())
	if side == 0 {
		side = 1 / sh.MetrePer // a single place: show a metre around it
	}
	return box.Grow(0.04 * side)
}

func finite(p geom.Point) bool {
	return !math.IsNaN(p.X+p.Y) && !math.IsInf(p.X, 0) && !math.IsInf(p.Y, 0)
}

// spot is where a device is on its drawing: the middle of its symbol.
func spot(d takeoff.Device) geom.Point {
	if d.Symbol.Empty() || d.Symbol == (geom.Box{}) {
		return d.At
	}
	return d.Symbol.Center()
}

// inkOf is the ink of a type's marks.
func inkOf(o *outcome.Outcome, typ string) picture.Ink {
	i := slices.IndexFunc(o.Job.Types, func(t job.Type) bool { return t.Type == typ })
	if i < 0 {
		return picture.Black
	}
	return picture.Nth(i)
}

// legendOf lists the types on a picture with their numbers.
func legendOf(o *outcome.Outcome, devices []takeoff.Device, window geom.Box) []picture.Entry {
	n, out := map[string]int{}, 0
	for _, d := range devices {
		if d.Status == takeoff.Counted {
			n[d.Type]++
		} else if window.Contains(spot(d)) {
			out++
		}
	}
	var lines []picture.Entry
	for i, t := range o.Job.Types {
		if n[t.Type] > 0 {
			lines = append(lines, picture.Entry{Mark: typeLetter(i), Words: fmt.Sprintf("%s: %d", typeName(t.DeviceType), n[t.Type]), Ink: inkOf(o, t.Type)})
		}
	}
	if out > 0 {
		lines = append(lines, picture.Entry{Words: fmt.Sprintf("not counted, in this picture: %d", out), Ink: picture.Black})
	}
	return lines
}

// typeLetter is the letter under which the i-th type is marked on the plans: A
// to Z, then AA and so on.
func typeLetter(i int) string { return xlsx.Column(i + 1) }

// markDevices gives every device that counts its mark: the letter of its type
// and a running number on its drawing, so that the highest number beside a
// letter is the count.
func markDevices(o *outcome.Outcome) map[string]string {
	marks := map[string]string{}
	letter := map[string]string{}
	for i, t := range o.Job.Types {
		letter[t.Type] = typeLetter(i)
	}
	n := map[[3]string]int{}
	for _, d := range o.Devices {
		if d.Status != takeoff.Counted {
			continue
		}
		k := [3]string{d.Level, d.Drawing, d.Type}
		n[k]++
		marks[d.ID] = fmt.Sprintf("%s%d", letter[d.Type], n[k])
	}
	return marks
}
