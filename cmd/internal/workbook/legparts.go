package workbook

import (
	"math"
	"slices"
	"strings"

	"loopwright/cmd/internal/outcome"
	"loopwright/route"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// legPart is the part of a leg that lies on one level: a leg through a riser has
// one for each level, so that cable can be bought and pulled by level. Lengths
// are metres.
type legPart struct {
	circuit *outcome.Laid
	leg     *route.Leg
	index   int // of the leg in its circuit
	part    int // from 1
	level   string

	horizontal, drop, rise float64
	halves, panels         int     // half allowances of devices, whole ones of panels
	given                  float64 // slack that these do not explain; 0 as a rule
	worst                  bool    // on the branch with the highest resistance
	row                    int     // on the sheet of legs
}

// places says of every device and panel on which level it stands, and of every
// device how it is mounted.
type places struct {
	level   map[string]string
	mounted map[string]takeoff.Mounting
}

func placesOf(o *outcome.Outcome) places {
	p := places{map[string]string{}, map[string]takeoff.Mounting{}}
	types := map[string]takeoff.Mounting{}
	for _, t := range o.Job.Types {
		types[t.Type] = t.Mounting
	}
	for _, d := range o.Devices {
		if p.level[d.ID] == "" {
			p.level[d.ID], p.mounted[d.ID] = d.Level, types[d.Type]
		}
	}
	for _, x := range o.Take.Panels {
		if p.level[x.Name] == "" {
			p.level[x.Name] = x.Level
		}
	}
	return p
}

// splitLegs divides the legs of a circuit into parts by level.
func splitLegs(o *outcome.Outcome, c *outcome.Laid, where places) []legPart {
	level, mounted := where.level, where.mounted
	met := meetings(c.Legs)
	worst := worstLegs(c)
	var parts []legPart
	for i := range c.Legs {
		l := &c.Legs[i]
		ps := stretchesOf(o, l, level)
		if n := len(ps); n > 1 {
			// Only the way down at the near end belongs to the first level.
			ps[0].drop = min(l.Drop, dropAt(o, l.From, ps[0].level, c.Panel, mounted))
			ps[n-1].drop = l.Drop - ps[0].drop
		} else {
			ps[0].drop = l.Drop
		}
		last := &ps[len(ps)-1]
		last.rise = l.Rise
		setAllowances(o, l, c.Panel, met, level, &ps[0], last)
		for k := range ps {
			ps[k].circuit, ps[k].leg, ps[k].index, ps[k].part, ps[k].worst = c, l, i, k+1, worst[i]
		}
		parts = append(parts, ps...)
	}
	return parts
}

// stretchesOf makes one part for each level that a leg runs on.
func stretchesOf(o *outcome.Outcome, l *route.Leg, level map[string]string) []legPart {
	var ps []legPart
	sum := 0.0
	for _, s := range l.Stretches {
		if n := len(ps); n == 0 || ps[n-1].level != s.Level {
			ps = append(ps, legPart{level: s.Level})
		}
		h := along(s.Points)
		ps[len(ps)-1].horizontal += h
		sum += h
	}
	if len(ps) == 0 {
		return []legPart{{level: levelOf(o, l, level), horizontal: l.Horizontal}}
	}
	// What is drawn may be simpler than what was measured: the measured length counts.
	rest := l.Horizontal - sum
	if sum > 0 {
		for i := range ps {
			ps[i].horizontal *= l.Horizontal / sum
		}
	} else {
		ps[len(ps)-1].horizontal += rest
	}
	return ps
}

func along(pts []geom.Point) float64 {
	sum := 0.0
	for i := 1; i < len(pts); i++ {
		sum += pts[i].Sub(pts[i-1]).Len()
	}
	return sum
}

// levelOf is the level of a leg that is not drawn: that of its far end. A riser's
// end is named after its level.
func levelOf(o *outcome.Outcome, l *route.Leg, level map[string]string) string {
	for _, end := range []string{l.To, l.From} {
		if v := level[end]; v != "" {
			return v
		}
		for _, v := range o.Take.Levels {
			if strings.HasSuffix(end, " "+v.Name) {
				return v.Name
			}
		}
	}
	if len(o.Take.Levels) > 0 {
		return o.Take.Levels[0].Name
	}
	return ""
}

// dropAt is the vertical cable at a device or panel, from cable height to it.
func dropAt(o *outcome.Outcome, end, level, panel string, mounted map[string]takeoff.Mounting) float64 {
	if end == panel {
		return math.Abs(o.PanelDrop(panel, level))
	}
	m, ok := mounted[end]
	if !ok {
		return 0
	}
	for _, l := range o.Take.Levels {
		if l.Name == level {
			return math.Abs(l.CableHeight - m.HeightIn(l.Ceiling))
		}
	}
	return 0
}

// atShaft reports whether a branch point is the end of a riser on a level, which is named after it.
func atShaft(o *outcome.Outcome, end string) bool {
	return slices.ContainsFunc(o.Take.Levels, func(l takeoff.Level) bool { return strings.HasSuffix(end, " "+l.Name) })
}

// meetings counts how many legs meet at each place.
func meetings(legs []route.Leg) map[string]int {
	met := map[string]int{}
	for _, l := range legs {
		met[l.From]++
		met[l.To]++
	}
	return met
}

// setAllowances finds the allowances that make up a leg's slack: half a device's at
// each end, all of it where no other leg goes on, a panel's whole. If they do
// not add up to the slack as laid, the slack itself is kept.
func setAllowances(o *outcome.Outcome, l *route.Leg, panel string, met map[string]int, level map[string]string, first, last *legPart) {
	for i, end := range []string{l.From, l.To} {
		p := first
		if i == 1 {
			p = last
		}
		switch {
		case end == panel:
			p.panels++
		case level[end] != "" || !atShaft(o, end):
			p.halves++ // at a device, or in the box of a branch point
		}
	}
	if met[l.To] == 1 {
		last.halves++
	}
	a := o.Job.Allowances
	explained := float64(first.halves)*a.Device/2 + float64(first.panels)*a.Panel
	if first != last {
		explained += float64(last.halves)*a.Device/2 + float64(last.panels)*a.Panel
	}
	if math.Abs(explained-l.Slack) > 1e-6 {
		first.halves, first.panels, last.halves, last.panels = 0, 0, 0, 0
		last.given = l.Slack
	}
}

// worstLegs tells which legs lie on the branch with the highest resistance: all
// of a loop, the way from the panel to the worst end of a tree.
func worstLegs(c *outcome.Laid) map[int]bool {
	on := map[int]bool{}
	if c.Pathway.Looped() {
		for i := range c.Legs {
			on[i] = true
		}
		return on
	}
	feeds := map[string]int{} // leg that leads to a place
	for i, l := range c.Legs {
		feeds[l.To] = i
	}
	for place := c.Proof.WorstEnd(); place != "" && place != c.Panel; {
		i, ok := feeds[place]
		if !ok || on[i] {
			break
		}
		on[i] = true
		place = c.Legs[i].From
	}
	return on
}
