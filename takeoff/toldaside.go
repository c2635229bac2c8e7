package takeoff

import (
	"fmt"
	"strings"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/recognize"
)

// tellRegions reports the key plans and details that were found, where symbols
// stand in them: left out, or counted because the job gives its own list.
func (r *reader) tellRegions() {
	for _, f := range r.regions {
		out, counted := 0, 0
		for i := range r.out.devices {
			d := &r.out.devices[i]
			switch {
			case !f.Box.Contains(d.At):
			case d.Status == Counted:
				counted++
			case d.Reason == OutOfRegion:
				out++
			}
		}
		ignore := fmt.Sprintf("[%.6g, %.6g, %.6g, %.6g]", f.Box.Min.X, f.Box.Min.Y, f.Box.Max.X, f.Box.Max.Y)
		g := Finding{Code: codeRegion, Severity: Warning, Drawing: r.plan.Drawing, At: f.Box.Center(), Placed: true}
		switch {
		case counted > 0:
			g.Message = fmt.Sprintf("%s on %s count although they are in what looks like %q: if that is not a plan, add %s to ignore", symbols(counted), r.level.Name, f.Title, ignore)
		case out > 0 && len(r.plan.Ignore) == 0:
			g.Message = fmt.Sprintf("%s on %s are left out because they are in what looks like %q: to settle it, write ignore: [%s] in the row of %s under plans; an ignore list without this box counts them", symbols(out), r.level.Name, f.Title, ignore, r.plan.Drawing)
		default:
			continue
		}
		r.find(g)
	}
}

// tellLegends reports the short tables without a heading: the symbols that count
// and may be samples, and those that are left out because nothing else fits.
func (r *reader) tellLegends() {
	look := r.s.look
	for i := range look.Maybe {
		if l := &look.Maybe[i]; l.Page == r.s.index {
			if n := r.heldBy(l, Counted); n > 0 {
				r.findLegend(l, fmt.Sprintf("%s on %s, beside %s, count but may be samples in a legend: "+
					"if they are, add [%.6g, %.6g, %.6g, %.6g] to ignore in the row of %s under plans",
					symbols(n), r.level.Name, textsOf(l), l.Box.Min.X, l.Box.Min.Y, l.Box.Max.X, l.Box.Max.Y, r.plan.Drawing))
			}
		}
	}
	for i := range look.Legends {
		if l := &look.Legends[i]; l.Page == r.s.index && l.Short() {
			if n := r.heldBy(l, Excluded); n > 0 {
				r.findLegend(l, fmt.Sprintf("%s on %s, beside %s, left out as samples in a legend, although it has no heading",
					symbols(n), r.level.Name, textsOf(l)))
			}
		}
	}
}

func (r *reader) findLegend(l *recognize.Legend, message string) {
	r.find(Finding{Code: codeLegend, Severity: Warning, Message: message, Drawing: r.plan.Drawing,
		Handle: l.Rows[0].Sample.Handle.String(), At: l.Box.Center(), Placed: true})
}

// heldBy counts the symbols of a status in a legend.
func (r *reader) heldBy(l *recognize.Legend, s Status) int {
	n := 0
	for i := range r.out.devices {
		if d := &r.out.devices[i]; d.Status == s && d.Type != "" && !l.Paper && l.Holds(d.Symbol.Center()) {
			n++
		}
	}
	return n
}

// textsOf quotes what is written in a legend.
func textsOf(l *recognize.Legend) string {
	var out []string
	for _, row := range l.Rows {
		out = append(out, fmt.Sprintf("%q", row.Text))
	}
	return strings.Join(out, ", ")
}

// looksLikeSeveral reports a plan without a region on a drawing that shows several levels, each with a title.
func (r *reader) looksLikeSeveral() {
	if r.plan.Region != nil {
		return
	}
	var parts []string
	near := geom.EmptyBox()
	names := map[string]bool{}
	for i := range r.s.look.Plans {
		pl := &r.s.look.Plans[i]
		if pl.Page != r.s.index || pl.Whole {
			continue
		}
		near = near.Union(pl.Box)
		if pl.Title == "" {
			continue
		}
		b := r.s.look.Region(i)
		names[pl.Name] = true
		parts = append(parts, fmt.Sprintf("%s region: [%.6g, %.6g, %.6g, %.6g]", pl.Name, b.Min.X, b.Min.Y, b.Max.X, b.Max.Y))
	}
	if len(names) < 2 {
		r.standApart(near)
		return
	}
	r.find(Finding{Code: codeSeveral, Severity: Warning, Drawing: r.plan.Drawing, Message: fmt.Sprintf(
		"the drawing seems to show %d levels, but all of it counts on %s: give each level its own row under plans, with %s", len(names), r.level.Name, strings.Join(parts, "; "))})
}

// apartGap is how far in metres from the plan something stands that is on it.
const apartGap = 6.0

// standApart reports devices that count and stand far from the plan, as in a
// section or a detail that was not told as one.
func (r *reader) standApart(near geom.Box) {
	if near.Empty() {
		return
	}
	near = near.Grow(apartGap / r.sheet.MetrePer)
	n := 0
	box := geom.EmptyBox()
	for i := range r.out.devices {
		if d := &r.out.devices[i]; d.Status == Counted && !near.Contains(d.At) {
			n++
			box = box.Extend(d.At)
		}
	}
	if n == 0 {
		return
	}
	r.find(Finding{Code: codeSeveral, Severity: Warning, Drawing: r.plan.Drawing, At: box.Center(), Placed: true, Message: fmt.Sprintf(
		"%s that count on %s are away from the plan, between %.6g, %.6g and %.6g, %.6g: if that is a section, a detail or another level, give this level's region, such as [%.6g, %.6g, %.6g, %.6g]",
		symbols(n), r.level.Name, box.Min.X, box.Min.Y, box.Max.X, box.Max.Y, near.Min.X, near.Min.Y, near.Max.X, near.Max.Y)})
}
