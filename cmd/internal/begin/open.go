package begin

import (
	"fmt"
	"slices"
	"strings"

	"loopwright/takeoff/geom"
)

// brokenTold is how many troubles with reading a drawing are told one by one.
const brokenTold = 3

// open lists what a person must settle in a draft: what the job is refused
// without, and what it cannot be believed without.
func (d *draft) open() []string {
	out := d.openHidden()
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	for i, s := range d.sheets {
		for k, f := range s.Broken {
			if k == brokenTold {
				say("%s: more of this drawing could not be read: loopwright survey lists it", s.name)
				break
			}
			say("%s: %s", s.name, f.Message)
		}
		if o := s.openUnits(); o != "" {
			say("%s", o)
		}
		for _, l := range d.look.Maybe {
			if l.Page == i && !l.Paper && d.inPlan(s, l.Box) {
				say("%s: symbols beside %q and other texts may be legend samples: if so, remove the # from their row under ignore", s.name, l.Rows[0].Text)
			}
		}
	}
	out = append(out, d.openApart()...)
	switch {
	case len(d.kinds) == 0 && len(d.ask)+len(d.figures) == 0 && len(d.others) > 0:
		say("no device type was recognised: say which of the blocks listed under types are devices")
	case len(d.kinds) == 0:
		say("no device type was recognised: list the types")
	}
	if n := len(d.ask) + len(d.figures); n > 0 {
		say("under types, rows with a question mark: %d; say what each is, or leave it out", n)
	}
	if d.panel == "" && d.panelAt == "" {
		say("no panel was found: give its location under panels")
	}
	return out
}

// openUnits says what is to be settled about the units of a drawing, "" if nothing.
func (s sheet) openUnits() string {
	u := s.Units
	unit := u.Unit()
	rivals := ""
	if r := u.Rivals(); len(r) > 0 {
		rivals = " (" + strings.Join(r, " or ") + " would fit too)"
	}
	switch {
	case unit == "" && u.Header != "" && u.From == "header":
		return fmt.Sprintf("%s: the header says %s, but then %s; no unit fits everything drawn: build refuses the job until its row says units: in (or ft, mm, cm, m)",
			s.name, u.Header, strings.Join(u.Doubts(u.Header), " and "))
	case unit == "":
		return fmt.Sprintf("%s: nothing on it gives its units: build refuses the job until its row says units: in (or ft, mm, cm, m)", s.name)
	case unit == u.Header && u.From == "header" && len(u.Doubts(unit)) == 0:
		return ""
	case unit == u.Header && u.From == "header":
		return fmt.Sprintf("%s: with %s, as the header says, %s: measure something before you build, every length depends on it",
			s.name, unit, strings.Join(u.Doubts(unit), " and "))
	case u.Header != "" && u.From == "header":
		return fmt.Sprintf("%s: the header says %s, but then %s; the row says units: %s%s: measure a door before you build, every length depends on it",
			s.name, u.Header, strings.Join(u.Doubts(u.Header), " and "), unit, rivals)
	}
	return fmt.Sprintf("%s: it does not give its units; the row says units: %s%s: measure a door before you build, every length depends on it", s.name, unit, rivals)
}

// inPlan reports whether a box reaches into a plan of a drawing.
func (d *draft) inPlan(s sheet, b geom.Box) bool {
	return slices.ContainsFunc(d.plans, func(p plan) bool { return p.sheet.name == s.name && (p.Whole || p.bounds.Overlaps(b)) })
}
