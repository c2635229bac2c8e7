package route

import (
	"fmt"
	"slices"
	"strings"

	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// proposeRiser puts a shaft over the panel where devices stand on levels that no given riser reaches.
func (f *floorplan) proposeRiser(b Building, panel Panel) {
	home := f.places[0].level
	for _, p := range f.places {
		name := b.Levels[p.level].Name
		if p.level != home && !f.riserBetween(b.Levels[home].Name, name) && !slices.Contains(f.unjoined, name) {
			f.unjoined = append(f.unjoined, name)
		}
	}
	if len(f.unjoined) > 0 {
		f.risers = append(f.risers, Riser{Name: "riser over " + panel.Name, Pos: panel.Pos})
	}
}

func (f *floorplan) riserBetween(a, b string) bool {
	return slices.ContainsFunc(f.risers, func(r Riser) bool { return r.passes(a) && r.passes(b) })
}

func (r Riser) passes(level string) bool {
	return len(r.Levels) == 0 || slices.Contains(r.Levels, level)
}

// shaft is the rise of a leg between levels: its place in plan, and from which to
// which height it goes; ok is false for a leg on one level.
func (l Leg) shaft(b Building) (at geom.Point, from, to float64, ok bool) {
	if l.Rise == 0 || len(l.Stretches) != 2 {
		return at, 0, 0, false
	}
	first, second := l.Stretches[0], l.Stretches[1]
	i, err1 := b.level(first.Level)
	j, err2 := b.level(second.Level)
	if err1 != nil || err2 != nil {
		return at, 0, 0, false
	}
	switch {
	case len(first.Points) > 0:
		at = first.Points[len(first.Points)-1]
	case len(second.Points) > 0:
		at = second.Points[0]
	}
	from, to = b.Levels[i].Elevation+b.Levels[i].CableHeight, b.Levels[j].Elevation+b.Levels[j].CableHeight
	return at, min(from, to), max(from, to), true
}

// shaftAt names the riser that stands at a place, and says whether both ways of a circuit are separated in it.
func (b Building) shaftAt(at geom.Point, panel string) (name string, separated bool) {
	for _, r := range b.Risers {
		if r.Pos.Dist(at) < 1e-6 {
			return "riser " + r.Name, r.Separated
		}
	}
	return "the shaft over panel " + panel, false
}

// sharedShaft returns the riser that holds the way out and the return of a
// circuit over the greatest height, and that height.
func (b Building) sharedShaft(c Circuit) (riser string, rise float64) {
	type span struct{ from, to float64 }
	out, back := map[string][]span{}, map[string][]span{}
	var names []string
	for _, l := range c.Legs {
		at, from, to, ok := l.shaft(b)
		if !ok {
			continue
		}
		name, separated := b.shaftAt(at, c.Panel)
		if separated {
			continue
		}
		if l.Return {
			back[name] = append(back[name], span{from, to})
			names = append(names, name)
		} else {
			out[name] = append(out[name], span{from, to})
		}
	}
	for _, name := range names {
		// A cable may go up and down a shaft several times; the height counts once.
		var heights []float64
		for _, s := range slices.Concat(out[name], back[name]) {
			heights = append(heights, s.from, s.to)
		}
		slices.Sort(heights)
		shared := 0.0
		for i := 1; i < len(heights); i++ {
			middle := (heights[i-1] + heights[i]) / 2
			holds := func(s span) bool { return s.from < middle && middle < s.to }
			if slices.ContainsFunc(out[name], holds) && slices.ContainsFunc(back[name], holds) {
				shared += heights[i] - heights[i-1]
			}
		}
		if shared > rise {
			riser, rise = name, shared
		}
	}
	return riser, rise
}

// otherRiser reports whether a riser other than the named one passes all levels of a circuit.
func (b Building) otherRiser(c Circuit, name string) bool {
	return slices.ContainsFunc(b.Risers, func(r Riser) bool {
		if "riser "+r.Name == name {
			return false
		}
		for _, l := range c.Legs {
			for _, s := range l.Stretches {
				if !r.passes(s.Level) {
					return false
				}
			}
		}
		return true
	})
}

// RiserFindings reports the levels that no riser joins with a panel's, one finding
// for each panel however many circuits it concerns.
func RiserFindings(b Building, circuits []Circuit) []takeoff.Finding {
	var fs []takeoff.Finding
	for _, p := range b.Panels {
		levels, names := map[string]bool{}, []string(nil)
		for _, c := range circuits {
			if c.Panel != p.Name || len(c.Unjoined) == 0 {
				continue
			}
			names = append(names, c.Name)
			for _, l := range c.Unjoined {
				levels[l] = true
			}
		}
		if len(names) == 0 {
			continue
		}
		var apart []string // in the order of the building, not of the circuits
		for _, l := range b.Levels {
			if levels[l.Name] {
				apart = append(apart, l.Name)
			}
		}
		fs = append(fs, takeoff.Finding{Code: codeRiserProposed, Severity: takeoff.Warning,
			Message: fmt.Sprintf("no riser connects %s with %s: the cable of %s goes straight up above panel %s; add the shaft under risers, one row of the same name for each level it passes",
				p.Level, listed(apart, 12), counted(names, "circuit"), p.Name)})
	}
	return fs
}

// counted is "circuit A", or "3 circuits (A, B, C)".
func counted(names []string, what string) string {
	if len(names) == 1 {
		return what + " " + names[0]
	}
	return fmt.Sprintf("%d %ss (%s)", len(names), what, listed(names, 6))
}

// listed names up to most things and counts the rest.
func listed(names []string, most int) string {
	if len(names) <= most {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
}
