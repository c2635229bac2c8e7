package workbook

import (
	"fmt"
	"regexp"

	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/program"
	"loopwright/cmd/internal/workbook/xlsx"
	"loopwright/takeoff"
	"loopwright/takeoff/measure"
)

// basisSheet says what the figures rest on.
func basisSheet(b *book, o *outcome.Outcome) *xlsx.Sheet {
	s := b.NewSheet("Basis", 30, 18, 18, 18, 18, 18, 60)
	s.Title("Assumptions and basis")
	s.Caution(takeoff.CautionLong)
	levelTable(b, o, s)
	mountingTable(b, o, s)
	resistanceTable(o, s)
	defaultTable(o, s)
	s.Blank(1)
	s.Section("Sources")
	s.Note("Made by " + program.Name() + ".")
	for _, w := range sources() {
		s.Note(w)
	}
	return s
}

// sources are where the figures of the tables come from; that of a resistance
// stands beside it, and that of what the job leaves out in the table of defaults.
func sources() []string {
	return []string{
		"Conductors: NEC Chapter 9 Table 8 and its note 2 for AWG, IEC 60228 for mm²; the basis of each circuit's figure is on the sheet Loop.",
		"Conduit: NEC Chapter 9 Table 1 (fill), Table 4 (EMT). Boxes: NEC Table 314.16(A) and (B).",
		fmt.Sprintf("Wall mounting height where the job gives none: %.0f in, the middle of the band for wall-mounted visual appliances in NFPA 72.", takeoff.DefaultWallHeight/measure.Inch),
		"Everything else is as given in the job file.",
		"Standards are named for reference and not reproduced.",
	}
}

func levelTable(b *book, o *outcome.Outcome, s *xlsx.Sheet) {
	u := b.u.length
	s.Blank(1)
	s.Section("Levels and drawings")
	s.Header("level", "floor, "+u, "ceiling over floor, "+u, "cable over floor, "+u, "drawing units", "units from", "drawing")
	for _, l := range o.Take.Levels {
		for _, sh := range l.Sheets {
			s.Add(xlsx.Text(l.Name), xlsx.Number(b.u.lengthIn(l.Elevation), xlsx.FormFine), xlsx.Number(b.u.lengthIn(l.Ceiling), xlsx.FormFine), xlsx.Number(b.u.lengthIn(l.CableHeight), xlsx.FormFine),
				xlsx.Text(sh.Units), xlsx.Text(sh.UnitsFrom), xlsx.Text(sh.Plan.Drawing+sh.Plan.Devices))
		}
	}
}

func mountingTable(b *book, o *outcome.Outcome, s *xlsx.Sheet) {
	s.Blank(1)
	s.Section("Device types")
	s.Header("type", "mounted", "height, "+b.u.length, "addresses", "in series, ohm", "isolates", "name")
	for _, t := range o.Job.Types {
		mounted, height := "ceiling", xlsx.Cell{}
		switch t.Mounting.Kind {
		case takeoff.MountWall:
			mounted, height = "wall", xlsx.Number(b.u.lengthIn(takeoff.DefaultWallHeight), xlsx.FormFine)
		case takeoff.MountHeight:
			mounted, height = "at a height", xlsx.Number(b.u.lengthIn(t.Mounting.Height), xlsx.FormFine)
		}
		isolates := ""
		if t.Isolates {
			isolates = "yes"
		}
		s.Add(xlsx.Text(t.Type), xlsx.Text(mounted), height, xlsx.Whole(t.Addresses), xlsx.Number(t.Resistance, xlsx.FormFine), xlsx.Text(isolates), xlsx.Text(typeName(t.DeviceType)))
	}
}

func resistanceTable(o *outcome.Outcome, s *xlsx.Sheet) {
	s.Blank(1)
	s.Section("Cables")
	s.Header("cable", "conductor", "temperature, °C", "", "", "", "used on")
	for _, k := range o.Job.Cables {
		used := ""
		for _, c := range o.Circuits {
			if c.Cable.Name == k.Cable {
				if used != "" {
					used += ", "
				}
				used += c.Name
			}
		}
		r := s.Add(xlsx.Text(k.Cable), xlsx.Text(k.Conductor.String()), xlsx.Number(k.Temperature, xlsx.FormPlain), xlsx.Cell{}, xlsx.Cell{}, xlsx.Cell{}, xlsx.Text(used).Wrapped())
		s.Fit(r.Row, 7, used)
	}
	s.Add(xlsx.Text("Route along: " + o.Job.Route.Along))
}

// defaultTable lists what was used because the job file says nothing.
func defaultTable(o *outcome.Outcome, s *xlsx.Sheet) {
	s.Blank(1)
	s.Section("Used where the job file is silent")
	if len(o.Job.Defaults) == 0 {
		s.Add(xlsx.Text("nothing"))
		return
	}
	s.Header("where in the job file", "value", "", "", "", "", "rows, and why")
	for _, d := range groupDefaults(o.Job.Defaults) {
		why := d.Why
		if d.Row != "" {
			why = d.Row + ": " + d.Why
		}
		r := s.Add(xlsx.Text(d.Path).Wrapped(), xlsx.Text(d.Value), xlsx.Cell{}, xlsx.Cell{}, xlsx.Cell{}, xlsx.Cell{}, xlsx.Text(why).Wrapped())
		s.Fit(r.Row, 1, d.Path)
		s.Fit(r.Row, 7, why)
	}
}

// groupDefaults joins defaults that are alike but for the row that they belong to.
func groupDefaults(ds []job.Default) []job.Default {
	var out []job.Default
	at := map[[3]string]int{}
	for _, d := range ds {
		d.Path = index.ReplaceAllString(d.Path, "")
		k := [3]string{d.Path, d.Value, d.Why}
		if i, ok := at[k]; ok {
			if d.Row != "" {
				out[i].Row += ", " + d.Row
			}
			continue
		}
		at[k] = len(out)
		out = append(out, d)
	}
	return out
}

var index = regexp.MustCompile(`\[\d+\]`)
