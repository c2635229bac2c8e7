package takeoff

import (
	"math"
	"slices"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
)

const (
	roomReach  = 12.0 // metres within which a name still names a device's room where no walls are known
	roomApron  = 15.0 // metres around a plan's region in which names and walls still matter to it
	besideWall = 0.6  // metres that a symbol on a wall may stand from its room
)

// placeInRooms finds the rooms of the plan and gives each device its own: the
// outline around it, else the nearest name that no wall keeps from it.
func (r *reader) placeInRooms() {
	m := r.sheet.MetrePer
	keep := r.nearPlan(roomApron / m)
	names := r.s.roomNames(keep, func(in *dxf.Insert) bool { return r.drawn[in.Block] })
	if len(names) == 0 {
		return
	}
	out := newOutlines(r.s, m, names, keep)
	for k, n := range names {
		if inRegion(r.plan, n.at) {
			room := Room{Level: r.level.Name, Number: n.number, Name: n.name, At: r.sheet.ToBuilding.Apply(n.at), Handle: n.handle, Drawing: r.plan.Drawing}
			if own, ring := out.room(n.at); own >= 0 && names[own].label() == names[k].label() {
				for _, p := range ring {
					room.Outline = append(room.Outline, r.sheet.ToBuilding.Apply(p))
				}
			}
			r.out.rooms = append(r.out.rooms, room)
		}
	}
	f := r.newFloor(names, keep)
	for i := range r.out.devices {
		d := &r.out.devices[i]
		if !r.hasRoom(d) {
			continue
		}
		mid := d.Symbol.Center()
		name, _ := out.room(mid)
		if name < 0 {
			name, _ = out.room(d.At)
		}
		if name < 0 {
			name = f.nameAt(r.sheet.ToBuilding.Apply(mid), d.Pos)
		}
		if name >= 0 {
			d.Room = names[name].label()
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

// nearPlan admits the places in a plan's region and around it, legends and ignored parts left out.
func (r *reader) nearPlan(apron float64) func(geom.Point) bool {
	return func(p geom.Point) bool {
		if r.plan.Region != nil && !r.plan.Region.Grow(apron).Contains(p) || inAny(r.plan.Ignore, p) {
			return false
		}
		for _, l := range r.s.legends {
			if !l.Paper && l.Holds(p) {
				return false
			}
		}
		return true
	}
}

// floor tells which name belongs to a place of a level, by its walls.
type floor struct {
	grid  *roomGrid // nil where no walls are known
	names []geom.Point
}

// newFloor lets the names of a plan spread between its walls. Where the job
// names no wall layers those that sound like walls are taken.
func (r *reader) newFloor(names []roomName, keep func(geom.Point) bool) *floor {
	f := &floor{}
	for _, n := range names {
		f.names = append(f.names, r.sheet.ToBuilding.Apply(n.at))
	}
	layers := r.plan.Walls
	if len(layers) == 0 {
		layers = r.s.wallLayers()
	}
	region := r.plan.Region
	if region != nil {
		b := region.Grow(roomApron / r.sheet.MetrePer)
		region = &b
	}
	var walls []Wall
	for _, w := range r.s.walls(layers, region) {
		if inAny(r.plan.Ignore, w.A) && inAny(r.plan.Ignore, w.B) {
			continue
		}
		w.A, w.B = r.sheet.ToBuilding.Apply(w.A), r.sheet.ToBuilding.Apply(w.B)
		walls = append(walls, w)
	}
	if f.grid = newRoomGrid(walls); f.grid == nil {
		return f
	}
	doors := r.s.doors(r.sheet.MetrePer, keep)
	for i := range doors {
		doors[i] = r.sheet.ToBuilding.Apply(doors[i])
	}
	f.grid.closeOpenings(walls, doors)
	seeds := make([]int, len(f.names))
	for k, p := range f.names {
		seeds[k] = f.grid.freeNear(p, besideWall, func(int) bool { return true })
	}
	f.grid.outside(seeds)
	// Where rooms are numbered, a word without a number names only space that no numbered room claims.
	numbered, rest := slices.Clone(seeds), seeds
	for k, n := range names {
		if n.number == "" {
			numbered[k] = -1
		}
	}
	f.grid.spread(numbered)
	f.grid.spread(rest)
	return f
}

// nameAt returns the index of the name that a symbol's place belongs to, -1 if
// none: mid is the middle of the symbol, at its insertion point.
func (f *floor) nameAt(mid, at geom.Point) int {
	if f.grid == nil {
		return f.nearest(at)
	}
	g := f.grid
	for _, p := range []geom.Point{mid, at} {
		x, y := g.at(p)
		if !g.inside(x, y) {
			continue
		}
		i := y*g.nx + x
		if g.state[i] == solid || g.owner[i] < 0 && g.pocket(i) {
			continue
		}
		return int(max(g.owner[i], unreached))
	}
	// On a wall: the nearest space that is none between two faces of it.
	i := g.freeNear(mid, besideWall, func(i int) bool { return g.owner[i] >= 0 || !g.pocket(i) })
	if i < 0 {
		return -1
	}
	return int(max(g.owner[i], unreached))
}

func (f *floor) nearest(p geom.Point) int {
	best, at := math.Inf(1), -1
	for k, n := range f.names {
		if d := n.Dist(p); d < best && d <= roomReach {
			best, at = d, k
		}
	}
	return at
}
