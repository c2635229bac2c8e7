package workbook

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/takeoff"
)

// findingsSheet lists what a person must know.
func (b *book) findingsSheet() *sheet {
	s := b.newSheet("Findings", 8, 10, 90, 18, 9, 12, 12)
	s.title("Findings", "What the program could not decide or does not believe, gravest first. Places are in drawing units.")
	s.head = s.header("code", "severity", "message", "drawing", "handle", "x", "y").row
	s.freeze = 2
	fs := slices.Clone(b.in.Findings)
	takeoff.SortFindings(fs)
	for _, f := range fs {
		words := text(f.Severity.String())
		if f.Severity == takeoff.Error {
			words = words.as(roleFlag)
		}
		cells := []cell{text(f.Code), words, text(f.Message).wrapped(), text(f.Drawing), text(f.Handle)}
		x, y := cell{style: style{form: formFine}}, cell{style: style{form: formFine}}
		if f.Placed {
			x.value, y.value = rounded(f.At.X, 4), rounded(f.At.Y, 4)
		}
		cells = append(cells, x, y)
		r := s.add(cells...)
		s.fit(r.row, 3, f.Message)
	}
	if len(b.in.Findings) == 0 {
		s.add(cell{}, cell{}, text("none"))
	}
	s.table, s.tableTo = "FindingList", ref{s, s.next() - 1, 7}
	return s
}

// changesSheet lists what changed since the last issue.
func (b *book) changesSheet() *sheet {
	s := b.newSheet("Changes", 13, 12, 18, 13, 26, 24, 24, 50)
	c := b.in.Changes
	if c == nil {
		s.title("Changes since the last issue")
		s.add(text("The drawings have not changed since the first build of this job: there is no earlier issue to compare with."))
		s.add(text("To set this issue against an older one: loopwright compare OLD NEW, with two job files or two drawings."))
		return s
	}
	s.title("Changes since the last issue", "Compared with "+c.Since+".")
	tally(c, s)
	s.head = s.header("change", "id", "type", "level", "room", "was", "is", "detail").row
	s.freeze = 2
	for _, x := range c.List {
		r := s.add(text(x.Kind), text(x.ID), text(x.Type), text(x.Level), text(x.Room), text(x.Was), text(x.Is), text(x.Detail).wrapped())
		s.fit(r.row, 8, x.Detail)
	}
	if len(c.List) == 0 {
		s.add(text("none"))
	}
	s.table, s.tableTo = "ChangeList", ref{s, s.next() - 1, 8}
	return s
}

// tally says how many changes of each kind there are, and what they do to the counts.
func tally(c *outcome.Changes, s *sheet) {
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
		s.add(text(strings.Join(parts, "; ")).as(roleStrong))
		s.blank(1)
	}
}

// basisSheet says what the figures rest on.
func (b *book) basisSheet() *sheet {
	s := b.newSheet("Basis", 30, 18, 18, 18, 18, 18, 60)
	s.title("Assumptions and basis")
	s.caution(takeoff.CautionLong)
	b.levelTable(s)
	b.mountingTable(s)
	b.resistanceTable(s)
	b.defaultTable(s)
	s.blank(1)
	s.section("Sources")
	for _, w := range sources {
		s.note(w)
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

func (b *book) levelTable(s *sheet) {
	u := b.u.length
	s.blank(1)
	s.section("Levels and drawings")
	s.header("level", "floor, "+u, "ceiling over floor, "+u, "cable over floor, "+u, "drawing units", "units from", "drawing")
	for _, l := range b.in.Take.Levels {
		for _, sh := range l.Sheets {
			s.add(text(l.Name), number(b.u.lengthIn(l.Elevation), formFine), number(b.u.lengthIn(l.Ceiling), formFine), number(b.u.lengthIn(l.CableHeight), formFine),
				text(sh.Units), text(sh.UnitsFrom), text(sh.Plan.Drawing+sh.Plan.Devices))
		}
	}
}

func (b *book) mountingTable(s *sheet) {
	s.blank(1)
	s.section("Device types")
	s.header("type", "mounted", "height, "+b.u.length, "addresses", "in series, ohm", "isolates", "name")
	for _, t := range b.in.Job.Types {
		mounted, height := "ceiling", cell{}
		switch t.Mounting.Kind {
		case takeoff.MountWall:
			mounted, height = "wall", number(b.u.lengthIn(takeoff.DefaultWallHeight), formFine)
		case takeoff.MountHeight:
			mounted, height = "at a height", number(b.u.lengthIn(t.Mounting.Height), formFine)
		}
		isolates := ""
		if t.Isolates {
			isolates = "yes"
		}
		s.add(text(t.Type), text(mounted), height, whole(t.Addresses), number(t.Resistance, formFine), text(isolates), text(b.typeName(t.DeviceType)))
	}
}

func (b *book) resistanceTable(s *sheet) {
	s.blank(1)
	s.section("Cables")
	s.header("cable", "conductor", "temperature, °C", "", "", "", "used on")
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
		r := s.add(text(k.Cable), text(k.Conductor.String()), number(k.Temperature, formPlain), cell{}, cell{}, cell{}, text(used).wrapped())
		s.fit(r.row, 7, used)
	}
	s.add(text("Route along: " + b.in.Job.Route.Along))
}

// defaultTable lists what was used because the job file says nothing.
func (b *book) defaultTable(s *sheet) {
	s.blank(1)
	s.section("Used because the job file does not say")
	if len(b.in.Job.Defaults) == 0 {
		s.add(text("nothing"))
		return
	}
	s.header("where in the job file", "value", "", "", "", "", "rows, and why")
	for _, d := range groupDefaults(b.in.Job.Defaults) {
		why := d.Why
		if d.Row != "" {
			why = d.Row + ": " + d.Why
		}
		r := s.add(text(d.Path).wrapped(), text(d.Value), cell{}, cell{}, cell{}, cell{}, text(why).wrapped())
		s.fit(r.row, 1, d.Path)
		s.fit(r.row, 7, why)
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
