package takeoff

import (
	"fmt"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/words"
)

// Heights from floor to floor. Common practice, no source.
const (
	overCeiling = 1.2 // metres from a ceiling to the floor above
	tallStorey  = 3.0 // so many times a storey's usual height is more than a hall is high
	lowStorey   = 0.5 // a floor below this share of the ceiling under it goes through the room
)

// oddElevations reports levels that stand over each other and cannot: on one height, one
// in the other, far too high, or in another order than their names say.
func (t *taker) oddElevations() {
	ls := t.res.Levels // from the lowest up
	for k := 1; k < len(ls); k++ {
		a, b := &ls[k-1], &ls[k]
		if !t.overEachOther(a, b) {
			continue
		}
		key := planKey(t.elevationOf(a, b), "elevation")
		gap, u := b.Elevation-a.Elevation, t.req.Units
		storeys := 1.0
		_, lower, okA := words.Level(a.Name)
		_, upper, okB := words.Level(b.Name)
		named := okA && okB
		if named && upper > lower {
			storeys = float64(upper - lower)
		}
		what := ""
		switch usual := storeys * (a.Ceiling + overCeiling); {
		case gap < lowStorey*a.Ceiling && gap < 0.01:
			what = fmt.Sprintf("%s and %s are both at %s and lie over each other: one of them stands above the other", a.Name, b.Name, u.Length(b.Elevation, 1))
		case gap < lowStorey*a.Ceiling:
			what = fmt.Sprintf("the floor of %s is %s above that of %s, below its ceiling of %s", b.Name, u.Length(gap, 1), a.Name, u.Length(a.Ceiling, 1))
		case named && upper < lower:
			what = fmt.Sprintf("%s is %s above %s: by their names it is below", b.Name, u.Length(gap, 1), a.Name)
		case gap > tallStorey*usual:
			what = fmt.Sprintf("%s is %s above %s, of which the ceiling is at %s: check the unit, or name the levels between", b.Name, u.Length(gap, 1), a.Name, u.Length(a.Ceiling, 1))
		default:
			continue
		}
		t.find(Finding{Code: codeElevation, Severity: Warning, Key: key, Message: what + "; the cable between them is measured by it"})
	}
}

// elevationOf is the plan of two levels whose elevation is to be corrected: that of the one
// that the job lists last.
func (t *taker) elevationOf(a, b *Level) int {
	at := 0
	seen := map[string]bool{}
	for i, p := range t.req.Plans {
		if (p.Level == a.Name || p.Level == b.Name) && !seen[p.Level] {
			seen[p.Level] = true
			at = i
		}
	}
	return at
}

// overEachOther reports whether two levels lie over each other for the most part. A level of
// which nothing is known lies over every other.
func (t *taker) overEachOther(a, b *Level) bool {
	fa, fb := t.footprint(a), t.footprint(b)
	return fa.Empty() || fb.Empty() || shared(fa, fb) >= 0.5
}

// shared is the share of the smaller of two boxes that lies in the other.
func shared(a, b geom.Box) float64 {
	both := geom.Box{Min: geom.Pt(max(a.Min.X, b.Min.X), max(a.Min.Y, b.Min.Y)), Max: geom.Pt(min(a.Max.X, b.Max.X), min(a.Max.Y, b.Max.Y))}
	least := min(a.Area(), b.Area())
	if both.Empty() || least == 0 {
		return 0
	}
	return both.Area() / least
}

// footprint is the box around a level's plans in the building's frame, in metres.
func (t *taker) footprint(l *Level) geom.Box {
	b := geom.EmptyBox()
	for i := range l.Sheets {
		b = b.Union(t.storeyBox(&l.Sheets[i]))
	}
	return b
}

// storeyBox is the box around a plan in the building's frame, in metres.
func (t *taker) storeyBox(s *Sheet) geom.Box {
	if box, ok := t.storeys[s]; ok {
		return box
	}
	box := geom.EmptyBox()
	switch {
	case len(s.Walls) > 0:
		for _, w := range s.Walls {
			box = box.Extend(w.A).Extend(w.B)
		}
	case s.Plan.Drawing != "":
		box = s.inBuilding(t.files.byName[s.Plan.Drawing].Storey(s.Plan.part()))
	default:
		box = s.inBuilding(s.Extent)
	}
	t.storeys[s] = box
	return box
}

// inBuilding is the box around a box of the drawing in the building's frame, in metres.
func (s *Sheet) inBuilding(box geom.Box) geom.Box {
	out := geom.EmptyBox()
	if box.Empty() {
		return out
	}
	for _, c := range []geom.Point{box.Min, box.Max, geom.Pt(box.Min.X, box.Max.Y), geom.Pt(box.Max.X, box.Min.Y)} {
		out = out.Extend(s.ToBuilding.Apply(c))
	}
	return out
}
