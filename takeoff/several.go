package takeoff

import (
	"fmt"
	"strings"

	"loopwright/takeoff/geom"
)

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
