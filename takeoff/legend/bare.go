package legend

import (
	"math"
	"slices"
	"strings"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
	"loopwright/takeoff/words"
)

// judgeBare decides about a run without a heading, whats being how many
// different symbols are in it. A long and even run of different symbols is a
// legend. A short one is, if what it says and where it stands leave no other
// reading; it may be one, if they do. Devices beside the names of rooms are not a legend.
func (f *finder) judgeBare(run []pair, whats int, all geom.Box, pitch float64) verdict {
	rooms, explained := 0, 0
	for _, p := range run {
		if f.namesRoom(p.line) {
			rooms++
		} else if words.NamesDevice(p.line.text) {
			explained++
		}
	}
	if 2*rooms >= len(run) {
		return noLegend
	}
	if whats >= bareRows && regular(run) {
		return isLegend
	}
	alike := rooms == 0 && whats == len(run) && f.aligned(run) && !f.repeated(run)
	worded := explained == len(run)
	if f.paper { // nothing counts there: taking it for a legend only names symbols
		if alike && worded {
			return isLegend
		}
		return noLegend
	}
	framed, away := f.framed(all, pitch, run[0].line.height), f.away(all)
	switch {
	case alike && (framed && worded || (framed || worded) && away && f.usedElsewhere(run)):
		return isLegend
	case alike && (framed || away || worded), worded && (framed || away):
		return mayBeLegend
	}
	return noLegend
}

// namesRoom reports whether a text is a room's name rather than an explanation.
func (f *finder) namesRoom(l *line) bool {
	number, name := words.Room(l.t.Text)
	if number != "" {
		return true
	}
	return name != "" && !words.NamesDevice(name) && (words.NamesRoom(name, nil) || words.IsRoomPlace(l.t.EffLayer))
}

// aligned reports whether the symbols of a run stand over each other.
func (f *finder) aligned(run []pair) bool {
	lo, hi, wide := math.Inf(1), math.Inf(-1), 0.0
	for _, p := range run {
		c := p.symbol.Center().X
		lo, hi, wide = min(lo, c), max(hi, c), max(wide, p.symbol.Width())
	}
	return hi-lo <= max(0.5*wide, run[0].line.height)
}

// repeated reports whether a text of a run stands elsewhere too: then it is a
// note that drafters put beside devices.
func (f *finder) repeated(run []pair) bool {
	return slices.ContainsFunc(run, func(p pair) bool { return f.repeats[strings.ToUpper(p.line.text)] > 1 })
}

// away reports whether a run stands outside the building, as far as walls are known.
func (f *finder) away(all geom.Box) bool {
	building := geom.EmptyBox()
	for _, w := range f.page.Walls(f.page.WallLayers(), nil) {
		building = building.Extend(w.A).Extend(w.B)
	}
	return !building.Empty() && !f.world(all).Overlaps(building)
}

// world is the box in drawing coordinates around a box of the frame.
func (f *finder) world(b geom.Box) geom.Box {
	back := finder{turn: -f.turn}
	return back.frame(b)
}

// usedElsewhere reports whether each symbol of a run stands outside it too, as
// what a legend explains does.
func (f *finder) usedElsewhere(run []pair) bool {
	own := geom.EmptyBox()
	for _, p := range run {
		own = own.Union(p.symbol)
	}
	own = f.world(own)
	for _, p := range run {
		found := false
		if p.id >= 0 {
			for i := range f.page.Inserts {
				in := &f.page.Inserts[i]
				found = found || !in.Paper && strings.EqualFold(in.Effective, f.page.Inserts[p.id].Effective) && !own.Contains(f.page.Symbols[i].Center())
			}
		} else {
			found = f.loose().StandsOutside(f.figures[-1-p.id], own)
		}
		if !found {
			return false
		}
	}
	return true
}

// framed reports whether lines stand on all four sides of a run, close by, that
// are not walls: a box drawn around it.
func (f *finder) framed(all geom.Box, pitch, h float64) bool {
	reach := max(6*h, 1.5*pitch)
	walls := f.page.WallLayers()
	wall := words.Remembered(func(layer string) bool { return words.AnyName(walls, layer) })
	var sides [4]bool // left, right, below, above
	for i := range f.page.Shapes {
		sh := &f.page.Shapes[i]
		if sh.Paper || !sh.Visible || sh.Kind != dxf.LineShape && sh.Kind != dxf.PolylineShape || wall(sh.EffLayer) {
			continue
		}
		n := len(sh.Points)
		if !sh.Closed {
			n--
		}
		for k := range n {
			a, b := plan.At(sh.Points[k]).Turn(-f.turn), plan.At(sh.Points[(k+1)%len(sh.Points)]).Turn(-f.turn)
			if side := sideOf(all, geom.BoxOf(a, b), reach); side >= 0 {
				sides[side] = true
			}
		}
	}
	return sides == [4]bool{true, true, true, true}
}

// sideOf tells on which side of a box a line stands that runs along the whole
// side within reach: 0 left, 1 right, 2 below, 3 above; -1 for none.
func sideOf(all, line geom.Box, reach float64) int {
	slack := 0.02 * reach
	upright := line.Width() <= slack && line.Min.Y <= all.Min.Y && line.Max.Y >= all.Max.Y
	level := line.Height() <= slack && line.Min.X <= all.Min.X && line.Max.X >= all.Max.X
	near := func(gap float64) bool { return gap >= 0 && gap <= reach }
	switch {
	case upright && near(all.Min.X-line.Max.X):
		return 0
	case upright && near(line.Min.X-all.Max.X):
		return 1
	case level && near(all.Min.Y-line.Max.Y):
		return 2
	case level && near(line.Min.Y-all.Max.Y):
		return 3
	}
	return -1
}
