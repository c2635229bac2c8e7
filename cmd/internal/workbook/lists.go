package workbook

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook/xlsx"
	"loopwright/takeoff"
)

// findingsSheet lists what a person must know.
func (b *book) findingsSheet() *xlsx.Sheet {
	s := b.NewSheet("Findings", 8, 10, 90, 18, 9, 12, 12)
	s.Title("Findings", "What the program could not decide or does not believe, gravest first. Places are in drawing units.")
	s.Head = s.Header("code", "severity", "message", "drawing", "handle", "x", "y").Row
	s.Freeze = 2
	fs := slices.Clone(b.in.Findings)
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
	if len(b.in.Findings) == 0 {
		s.Add(xlsx.Cell{}, xlsx.Cell{}, xlsx.Text("none"))
	}
	s.Table, s.TableTo = "FindingList", s.Ref(s.Next()-1, 7)
	return s
}

// changesSheet lists what changed since the last issue.
func (b *book) changesSheet() *xlsx.Sheet {
	s := b.NewSheet("Changes", 13, 12, 18, 13, 26, 24, 24, 50)
	c := b.in.Changes
	if c == nil {
		s.Title("Changes since the last issue")
		s.Add(xlsx.Text("The drawings have not changed since the first build of this job: there is no earlier issue to compare with."))
		s.Add(xlsx.Text("To set this issue against an older one: loopwright compare OLD NEW, with two job files or two drawings."))
		return s
	}
	s.Title("Changes since the last issue", "Compared with "+c.Since+".")
	tally(c, s)
	s.Head = s.Header("change", "id", "type", "level", "room", "was", "is", "detail").Row
	s.Freeze = 2
	for _, x := range c.List {
		r := s.Add(xlsx.Text(x.Kind), xlsx.Text(x.ID), xlsx.Text(x.Type), xlsx.Text(x.Level), xlsx.Text(x.Room), xlsx.Text(x.Was), xlsx.Text(x.Is), xlsx.Text(x.Detail).Wrapped())
		s.Fit(r.Row, 8, x.Detail)
	}
	if len(c.List) == 0 {
		s.Add(xlsx.Text("none"))
	}
	s.Table, s.TableTo = "ChangeList", s.Ref(s.Next()-1, 8)
	return s
}

// tally says how many changes of each kind there are, and what they do to the counts.
func tally(c *outcome.Changes, s *xlsx.Sheet) {
	var kinds []string
	count, net := map[string]int{}, map[string]int{}
	for _, x := range c.List {
		if count[x.Kind]++; count[x.Kind] == 1 {
			kinds = append(kinds, x.Kind)
		}
		switch x.Kind {
		case "added", "returned":
			net[x.Type]++
		case "removed":
			net[x.Type]--
		case "retyped":
			net[x.Is]++
			net[x.Was]--
		}
	}
	var parts, counts []string
	for _, k := range kinds {
		parts = append(parts, fmt.Sprintf("%d %s", count[k], k))
	}
	for _, t := range slices.Sorted(maps.Keys(net)) {
		if net[t] != 0 {
			counts = append(counts, fmt.Sprintf("%s %+d", t, net[t]))
		}
	}
	if len(counts) > 0 {
		parts = append(parts, "counts: "+strings.Join(counts, ", "))
	}
	if len(parts) > 0 {
		s.Add(xlsx.Text(strings.Join(parts, "; ")).As(xlsx.RoleStrong))
		s.Blank(1)
	}
}

// basisSheet says what the figures rest on.
func (b *book) basisSheet() *xlsx.Sheet {
	s := b.NewSheet("Basis", 30, 18, 18, 18, 18, 18, 60)
	s.Title("Assumptions and basis")
	s.Caution(takeoff.CautionLong)
	b.levelTable(s)
	b.mountingTable(s)
	b.resistanceTable(s)
	b.defaultTable(s)
	s.Blank(1)
	s.Section("Sources")
	for _, w := range sources {
		s.Note(w)
	}
	return s
}

// sources are where the figures of the tables come from; those of a resistance
// stand beside it.
var sources = []string{
	"Conductors: NEC Chapter 9 Table 8 and its note 2 for AWG, IEC 60228 for mm²; the basis of each circuit's figure stands on the sheet Loop.",
	"Conduit: NEC Chapter 9 Table 1 (fill), Table 4 (EMT). Boxes: NEC Table 314.16(A) and (B).",
	"Standby and alarm times and the battery's margin: NFPA 72 10.6.7.2.1; the edition adopted locally governs.",
	"Wall mounting height where the job gives none: 88 in, the middle of the band for wall-mounted visual appliances in NFPA 72.",
	"Allowances and waste: common practice, no source, unless the job file gives them. Prices, hours, currents, voltages and limits: the job file's.",
	"Standards are named for reference and not reproduced.",
}

func (b *book) levelTable(s *xlsx.Sheet) {
	u := b.u.length
	s.Blank(1)
	s.Section("Levels and drawings")
	s.Header("level", "floor, "+u, "ceiling over floor, "+u, "cable over floor, "+u, "drawing units", "units from", "drawing")
	for _, l := range b.in.Take.Levels {
		for _, sh := range l.Sheets {
			s.Add(xlsx.Text(l.Name), xlsx.Number(b.u.lengthIn(l.Elevation), xlsx.FormFine), xlsx.Number(b.u.lengthIn(l.Ceiling), xlsx.FormFine), xlsx.Number(b.u.lengthIn(l.CableHeight), xlsx.FormFine),
				xlsx.Text(sh.Units), xlsx.Text(sh.UnitsFrom), xlsx.Text(sh.Plan.Drawing+sh.Plan.Devices))
		}
	}
}

func (b *book) mountingTable(s *xlsx.Sheet) {
	s.Blank(1)
	s.Section("Device types")
	s.Header("type", "mounted", "height, "+b.u.length, "addresses", "in series, ohm", "isolates", "name")
	for _, t := range b.in.Job.Types {
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
		s.Add(xlsx.Text(t.Type), xlsx.Text(mounted), height, xlsx.Whole(t.Addresses), xlsx.Number(t.Resistance, xlsx.FormFine), xlsx.Text(isolates), xlsx.Text(b.typeName(t.DeviceType)))
	}
}

func (b *book) resistanceTable(s *xlsx.Sheet) {
	s.Blank(1)
	s.Section("Cables")
	s.Header("cable", "conductor", "temperature, °C", "", "", "", "used on")
	for _, k := range b.in.Job.Cables {
		used := ""
		for _, c := range b.in.Circuits {
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
	s.Add(xlsx.Text("Route along: " + b.in.Job.Route.Along))
}

// defaultTable lists what was used because the job file says nothing.
func (b *book) defaultTable(s *xlsx.Sheet) {
	s.Blank(1)
	s.Section("Used because the job file does not say")
	if len(b.in.Job.Defaults) == 0 {
		s.Add(xlsx.Text("nothing"))
		return
	}
	s.Header("where in the job file", "value", "", "", "", "", "rows, and why")
	for _, d := range groupDefaults(b.in.Job.Defaults) {
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
