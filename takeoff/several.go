package takeoff

import (
	"fmt"
	"strings"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/levels"
)

// looksLikeSeveral reports a plan without a region on a drawing that shows several levels.
func (r *reader) looksLikeSeveral() {
	if r.plan.Region != nil {
		return
	}
	ls := levels.Find(r.s.Page, r.sheet.MetrePer)
	if len(ls) < 2 {
		r.standApart()
		return
	}
	var parts []string
	for _, l := range ls {
		parts = append(parts, fmt.Sprintf("%s region: [%.6g, %.6g, %.6g, %.6g]", l.Name, l.Region.Min.X, l.Region.Min.Y, l.Region.Max.X, l.Region.Max.Y))
	}
	r.find(Finding{Code: codeSeveral, Severity: Warning, Drawing: r.plan.Drawing, Message: fmt.Sprintf(
		"the drawing seems to show %d levels, but all of it counts on %s: give each level its own row under plans, with %s", len(ls), r.level.Name, strings.Join(parts, "; "))})
}

// standApart reports devices that count and stand far from the plan, as in a
// section or a detail that was not told as one.
func (r *reader) standApart() {
	near := levels.Around(r.s.Page, r.sheet.MetrePer)
	if near.Empty() {
		return
	}
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
