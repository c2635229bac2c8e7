package takeoff

import (
	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/rooms"
)

// roomApron is how far in metres around a plan's region names and walls still matter to it.
const roomApron = 15.0

// placeInRooms finds the rooms of the plan and gives each device its own: the
// outline around it, else the nearest name that no wall keeps from it.
func (r *reader) placeInRooms() {
	m := r.sheet.MetrePer
	near := r.plan.part()
	if near.Region != nil {
		b := near.Region.Grow(roomApron / m)
		near.Region = &b
	}
	keep := func(p geom.Point) bool { return near.Within(p) && !near.Ignores(p) && !r.s.InLegend(p) }
	names := rooms.Labels(r.s.Page, keep, func(in *dxf.Insert) bool { return r.drawn[in.Block] })
	if len(names) == 0 {
		return
	}
	out := rooms.OutlinesOf(r.s.Page, m, names, keep)
	for k, n := range names {
		if r.plan.part().Within(n.At) {
			room := Room{Level: r.level.Name, Number: n.Number, Name: n.Name, At: r.sheet.ToBuilding.Apply(n.At), Handle: n.Handle, Drawing: r.plan.Drawing}
			if own, ring := out.Room(n.At); own >= 0 && names[own].Text() == names[k].Text() {
				for _, p := range ring {
					room.Outline = append(room.Outline, r.sheet.ToBuilding.Apply(p))
				}
			}
			r.out.rooms = append(r.out.rooms, room)
		}
	}
	symbols := make([]geom.Box, len(r.out.devices))
	for i := range r.out.devices {
		symbols[i] = r.out.devices[i].Symbol
	}
	f := rooms.On(r.s.Page, near, r.sheet.ToBuilding, m, names, symbols, keep)
	for i := range r.out.devices {
		d := &r.out.devices[i]
		if !r.hasRoom(d) {
			continue
		}
		mid := d.Symbol.Center()
		name, _ := out.Room(mid)
		if name < 0 {
			name, _ = out.Room(d.At)
		}
		if name < 0 {
			name = f.NameAt(r.sheet.ToBuilding.Apply(mid), d.Pos)
		}
		if name >= 0 {
			d.Room = names[name].Text()
		}
	}
}

// hasRoom reports whether a symbol stands in the building at all.
func (r *reader) hasRoom(d *Device) bool {
	switch d.Reason {
	case InLegend, OutOfRegion, OnPaper:
		return false
	}
	return true
}
