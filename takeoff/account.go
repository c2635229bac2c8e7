package takeoff

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/recognize"
	"loopwright/takeoff/words"
)

// AccountRow says what became of one figure of a drawing: a block, or a short text that repeats.
// All its places belong to exactly one of: counted, left out for a reason, landmarks, and the rest, which is
// explained by Is or by nothing.
type AccountRow struct {
	Drawing  string         `json:"drawing"`
	Form     string         `json:"form"` // block or text
	Name     string         `json:"name"`
	Placed   int            `json:"placed"` // in model space
	Counted  int            `json:"counted"`
	Out      map[Reason]int `json:"left_out,omitempty"`
	Landmark int            `json:"landmarks,omitempty"` // panels and risers
	Rest     int            `json:"rest,omitempty"`
	// Is says what the rest is where something tells: furniture, building, sheet, lettering, or another
	// trade's; "" where nothing does.
	Is    string     `json:"is,omitempty"`
	First geom.Point `json:"-"` // of the rest, drawing units
}

// Unexplained reports whether something of a row stands for nothing that is known.
func (a AccountRow) Unexplained() bool { return a.Rest > 0 && a.Is == "" }

// leastRepeats is how often a short text stands on a drawing at least to be a figure.
const leastRepeats = 3

// account makes the account of all drawings of the job.
func (t *taker) account() {
	type spot struct {
		drawing string
		x, y    int64
	}
	at := func(drawing string, p geom.Point) spot {
		return spot{drawing, int64(math.Round(p.X * 1000)), int64(math.Round(p.Y * 1000))}
	}
	devices := map[spot][]*Device{}
	for i := range t.res.Devices {
		if d := &t.res.Devices[i]; d.Type != "" {
			devices[at(d.Drawing, d.At)] = append(devices[at(d.Drawing, d.At)], d)
		}
	}
	marks := map[spot]bool{}
	for _, spots := range [][]Spot{t.res.Panels, t.res.Risers} {
		for _, s := range spots {
			marks[at(s.Drawing, s.At)] = true
		}
	}
	for _, name := range slices.Sorted(maps.Keys(t.files.byName)) {
		s := t.files.byName[name]
		page := recognize.NewPage(0, name, s.Drawing, s.Inserts, s.Texts, s.Shapes)
		languages := page.Languages(words.Usual())
		rows := map[string]*AccountRow{}
		for _, m := range page.Marks {
			if m.Paper {
				continue
			}
			key := m.Form.String() + "\x00" + m.Name
			r := rows[key]
			if r == nil {
				r = &AccountRow{Drawing: name, Form: m.Form.String(), Name: m.Name, Out: map[Reason]int{}}
				r.Is = whatIs(m, languages)
				rows[key] = r
			}
			r.Placed++
			var here *Device
			place := at(name, m.At)
			if k := slices.IndexFunc(devices[place], func(d *Device) bool {
				return m.Form == recognize.Text && d.Block == "" || strings.EqualFold(words.Unprefixed(d.Block), m.Name)
			}); k >= 0 {
				here = devices[place][k]
				devices[place] = slices.Delete(devices[place], k, k+1) // copies on one spot are as many
			}
			switch {
			case here != nil && here.Status == Counted:
				r.Counted++
			case here != nil:
				r.Out[here.Reason]++
			case marks[at(name, m.At)]:
				r.Landmark++
			default:
				if r.Rest == 0 {
					r.First = m.At
				}
				r.Rest++
			}
		}
		for _, key := range slices.Sorted(maps.Keys(rows)) {
			r := rows[key]
			if r.Form == "text" && r.Counted+len(r.Out) == 0 && (r.Placed < leastRepeats || r.Is != "") {
				continue // lettering, not a figure
			}
			t.res.Account = append(t.res.Account, *r)
		}
	}
	slices.SortStableFunc(t.res.Account, func(a, b AccountRow) int {
		return cmp.Or(cmp.Compare(a.Drawing, b.Drawing), cmp.Compare(b.Placed, a.Placed))
	})
}

// whatIs says by its name what a figure is if it is not a device.
func whatIs(m recognize.Mark, languages []string) string {
	v := words.Usual()
	if m.Form == recognize.Text {
		if letters(m.Name) == 0 || len(v.Read(m.Name, languages, "room", "level", "title", "scale", "draw")) > 0 {
			return "lettering"
		}
		return ""
	}
	if d, ok := v.DeviceName(m.Name, languages); ok && d.Concept.Group() == "other" {
		return "another trade's"
	}
	for _, name := range []string{m.Name, m.Layer} {
		for _, r := range v.ReadName(name, languages, "draw", "title") {
			switch r.Concept {
			case "draw.furniture":
				return "furniture"
			case "draw.door", "draw.window", "draw.wall", "draw.column", "draw.grid", "draw.stair":
				return "building"
			case "title.plan", "title.schedule", "title.section":
				return "sheet"
			}
		}
	}
	for _, a := range m.Attribs {
		if len(v.Read(a.Value, languages, "room")) > 0 {
			return "lettering"
		}
	}
	return ""
}

func letters(s string) int {
	n := 0
	for _, r := range s {
		if r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z' || r > 0xbf {
			n++
		}
	}
	return n
}

// nothingCounts reports a job in which no device counts, with the figures that look most like devices.
func (t *taker) nothingCounts() {
	if len(t.files.byName) == 0 || slices.ContainsFunc(t.res.Devices, func(d Device) bool { return d.Status == Counted }) {
		return
	}
	rows := slices.DeleteFunc(slices.Clone(t.res.Account), func(a AccountRow) bool { return !a.Unexplained() || a.Rest < 2 })
	slices.SortStableFunc(rows, func(a, b AccountRow) int {
		return cmp.Or(cmp.Compare(a.Form, b.Form), cmp.Compare(b.Rest, a.Rest))
	})
	f := Finding{Code: codeNothing, Severity: Error, Message: "nothing is counted: no symbol on any level matches a rule under types"}
	if len(t.req.Types) == 0 {
		f.Message = "nothing counts: the job lists no types; say under types which symbols are devices, or let loopwright begin propose them"
	}
	var names []string
	for _, a := range rows[:min(len(rows), 5)] {
		names = append(names, fmt.Sprintf("%s %q (%d on %s, the first at %.6g, %.6g)", a.Form, a.Name, a.Rest, a.Drawing, a.First.X, a.First.Y))
	}
	if len(names) > 0 {
		f.Message += "; unexplained symbols that repeat: " + strings.Join(names, ", ")
		f.Drawing, f.At, f.Placed = rows[0].Drawing, rows[0].First, true
	}
	t.find(f)
}
