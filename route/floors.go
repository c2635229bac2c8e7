package route

import (
	"cmp"
	"maps"
	"slices"

	"loopwright/route/path"
	"loopwright/takeoff/geom"
)

// floors lays the levels of a circuit beside one another in one plane, so that
// drawn wiring is read as one figure: the panel's level where it is, and each
// farther one moved along x.
type floors struct {
	levels []int   // indices in Building.Levels, the panel's first, then by distance from it
	left   float64 // the least x on any level, less a margin
	pitch  float64 // from one level to the next
}

// floorMargin keeps levels apart, in metres: far more than any tolerance of wires.
const floorMargin = 1000.0

func (f *floorplan) floors() floors {
	home := f.places[0].level
	fl := floors{levels: slices.Sorted(maps.Keys(f.storeys))}
	far := func(l int) float64 {
		if l == home {
			return -1
		}
		return rise(f.storeys[home].level, f.storeys[l].level)
	}
	slices.SortStableFunc(fl.levels, func(a, b int) int { return cmp.Compare(far(a), far(b)) })
	var all []geom.Point
	for _, p := range f.places {
		all = append(all, p.pos)
	}
	for _, r := range f.risers {
		all = append(all, r.Pos)
	}
	for _, s := range f.storeys {
		for _, sheet := range s.level.Sheets {
			all = append(all, slices.Concat(sheet.Wires...)...)
		}
	}
	all = slices.DeleteFunc(all, func(p geom.Point) bool { return !p.IsFinite() }) // reported where wires are read
	box := geom.BoxOf(all...)
	fl.left, fl.pitch = box.Min.X-floorMargin, box.Width()+2*floorMargin
	return fl
}

// apart moves a line of the kth level to its place in the plane.
func (fl floors) apart(k int, line []geom.Point) []geom.Point {
	if k == 0 {
		return line
	}
	out := make([]geom.Point, len(line))
	for i, p := range line {
		out[i] = p.Add(geom.Pt(float64(k)*fl.pitch, 0))
	}
	return out
}

// place is that of the panel or a device in the plane.
func (fl floors) place(p place) geom.Point {
	return fl.apart(slices.Index(fl.levels, p.level), []geom.Point{p.pos})[0]
}

// back returns the level and the place on it of a place in the plane.
func (fl floors) back(p geom.Point) (k int, at geom.Point) {
	k = min(max(0, int((p.X-fl.left)/fl.pitch)), len(fl.levels)-1)
	return k, p.Sub(geom.Pt(float64(k)*fl.pitch, 0))
}

// landings are the risers on the levels of a circuit that has several.
func (f *floorplan) landings(fl floors) []path.Shaft {
	var out []path.Shaft
	if len(fl.levels) < 2 {
		return nil
	}
	for _, r := range f.risers {
		var s path.Shaft
		for k, l := range fl.levels {
			if level := f.storeys[l].level; r.passes(level.Name) {
				at := fl.apart(k, []geom.Point{r.Pos})[0]
				s = append(s, path.Landing{Symbol: path.Symbol{At: at, Radius: shaftRadius}, Height: level.Elevation + level.CableHeight})
			}
		}
		out = append(out, s)
	}
	return out
}
