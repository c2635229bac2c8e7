package takeoff

import (
	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/parallel"
	"loopwright/takeoff/rooms"
)

// roomApron is how far in metres around a plan's region names and walls still matter to it.
const roomApron = 15.0

// placeInRooms finds the rooms of each level and gives each device its own: the
// outline around it, else the nearest name that no wall keeps from it. The sheets of a level are
// looked at together: a room may go on from one to the next, and have its name on one only.
func (t *taker) placeInRooms(readers []*reader) {
	byLevel := make([][]*reader, len(t.res.Levels))
	for _, r := range readers {
		if r != nil {
			byLevel[r.level.Index] = append(byLevel[r.level.Index], r)
		}
	}
	devices := make([][]*Device, len(t.req.Plans))
	for i := range t.res.Devices {
		d := &t.res.Devices[i]
		if d.Drawing == "" { // from a list, which gives the rooms too
			continue
		}
		devices[d.plan] = append(devices[d.plan], d)
	}
	found := make([][]Room, len(t.req.Plans))
	parallel.For(len(byLevel), func(l int) {
		rs := byLevel[l]
		if len(rs) == 0 {
			return
		}
		sheets := make([]rooms.Sheet, len(rs))
		for i, r := range rs {
			sheets[i] = r.roomSheet(devices[r.index])
		}
		f, g := rooms.On(sheets), rooms.GridOf(sheets)
		for k, n := range f.Labels {
			r := rs[n.Sheet]
			if r.plan.part().Within(n.At) {
				found[r.index] = append(found[r.index], Room{Level: r.level.Name, Number: n.Number, Name: n.Name, At: n.Pos, Outline: f.Outline(k), Handle: n.Handle, Drawing: r.plan.Drawing})
			}
		}
		for _, r := range rs {
			for _, d := range devices[r.index] {
				if !hasRoom(d) {
					continue
				}
				if name := f.NameAt(r.sheet.ToBuilding.Apply(d.Symbol.Center()), d.Pos); name >= 0 {
					d.Room = f.Labels[name].Text()
				} else if g != nil {
					d.Grid = g.At(d.Pos)
				}
			}
		}
	})
	for _, rs := range found {
		t.res.Rooms = append(t.res.Rooms, rs...)
	}
}

// roomSheet is the plan as it is searched for rooms.
func (r *reader) roomSheet(devices []*Device) rooms.Sheet {
	near := r.plan.part()
	if near.Region != nil {
		b := near.Region.Grow(roomApron / r.sheet.MetrePer)
		near.Region = &b
	}
	s := rooms.Sheet{Page: r.s.Page, Part: near, ToBuilding: r.sheet.ToBuilding, Taken: map[geom.Point]bool{}, Inside: r.partOfSymbol,
		Keep:   func(p geom.Point) bool { return near.Within(p) && !near.Ignores(p) },
		Legend: r.s.inLegend,
		Device: func(in *dxf.Insert) bool { return r.drawn[in.Block] }}
	for _, d := range devices {
		s.Symbols = append(s.Symbols, d.Symbol)
		if d.Status == Counted {
			s.Counted = append(s.Counted, d.Symbol)
		}
		if d.Block == "" {
			s.Taken[d.At] = true
		}
	}
	return s
}

// hasRoom reports whether a symbol stands in the building at all.
func hasRoom(d *Device) bool {
	switch d.Reason {
	case InLegend, OutOfRegion, OnPaper:
		return false
	}
	return true
}
