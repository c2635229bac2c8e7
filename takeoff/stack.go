package takeoff

import (
	"cmp"
	"fmt"
	"slices"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
	"loopwright/takeoff/plan"
	"loopwright/takeoff/words"
)

// stackLevels makes the levels out of the plans, the lowest first, works out how
// large each plan is and how it is turned, and so how it maps to the building.
func (t *taker) stackLevels() error {
	byName := map[string]int{}
	for _, p := range t.req.Plans {
		if _, ok := byName[p.Level]; !ok {
			byName[p.Level] = len(t.res.Levels)
			t.res.Levels = append(t.res.Levels, Level{Name: p.Level, Elevation: p.Elevation, Ceiling: p.Ceiling, CableHeight: p.CableHeight})
		}
	}
	slices.SortStableFunc(t.res.Levels, func(a, b Level) int { return cmp.Compare(a.Elevation, b.Elevation) })
	for i := range t.res.Levels {
		t.res.Levels[i].Index = i
		byName[t.res.Levels[i].Name] = i
	}
	for i, p := range t.req.Plans {
		s, err := t.openSheet(i)
		if err != nil {
			return err
		}
		l := &t.res.Levels[byName[p.Level]]
		t.sheetAt = append(t.sheetAt, sheetRef{byName[p.Level], len(l.Sheets)})
		l.Sheets = append(l.Sheets, s)
	}
	t.turnSheets()
	return nil
}

// openSheet works out the i-th plan's units and lists its walls.
func (t *taker) openSheet(i int) (Sheet, error) {
	p := t.req.Plans[i]
	s := Sheet{Plan: p}
	if p.Drawing == "" {
		m, err := measure.MetresPer(p.Units)
		if err != nil {
			return s, fmt.Errorf("%s: %w", p.Devices, err)
		}
		s.Units, s.UnitsFrom, s.MetrePer = p.Units, "job", m
		s.Extent = geom.EmptyBox()
		s.ToBuilding = toBuilding(p, m, 0)
		return s, nil
	}
	sc := t.files.byName[p.Drawing]
	if err := t.settleUnits(sc, &s, i); err != nil {
		return s, err
	}
	s.Extent = sc.Extent(p.part(), func(*dxf.Shape) bool { return true })
	s.Walls = sc.Walls(p.Walls, p.Region) // in drawing units until the sheet's turn is known
	return s, nil
}

// toBuilding maps drawing units to metres with the datum at the origin and the
// plan turned back by so many degrees.
func toBuilding(p Plan, metres, turned float64) geom.Affine {
	tr := geom.Identity()
	if p.Datum != nil {
		tr = tr.Then(geom.Shift(p.Datum.Mul(-1)))
	}
	return tr.Then(geom.Rotation(-turned)).Then(geom.Scaling(metres, metres))
}

// wires lists the lines drawn on the wiring layers of a plan as polylines in
// metres, in the building's frame: those that reach into the region.
func wires(s *plan.Page, p Plan, toBuilding geom.Affine) [][]geom.Point {
	if len(p.Wiring) == 0 {
		return nil
	}
	var out [][]geom.Point
	for i := range s.Shapes {
		sh := &s.Shapes[i]
		if !sh.Visible || sh.Paper || !words.AnyName(p.Wiring, sh.EffLayer) || !p.part().Holds(sh.Points...) {
			continue
		}
		line := make([]geom.Point, 0, len(sh.Points)+1)
		for _, v := range sh.Points {
			line = append(line, toBuilding.Apply(plan.At(v)))
		}
		if sh.Closed && len(line) > 0 {
			line = append(line, line[0])
		}
		out = append(out, line)
	}
	return out
}
