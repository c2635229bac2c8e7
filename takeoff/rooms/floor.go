package rooms

import (
	"math"
	"slices"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
)

const (
	reach      = 12.0 // metres within which a name still names a device's room where no walls are known
	besideWall = 0.6  // metres that a symbol on a wall may stand from its room
)

// Floor tells which name belongs to a place of a level, by its walls.
type Floor struct {
	grid  *grid // nil where no walls are known
	names []geom.Point
}

// On lets the names on a part of a page spread between its walls. Where no
// wall layers are named those that sound like walls are taken. toBuilding brings
// drawing units, each of so many metres, into the building's frame, in metres; keep
// admits the places, in drawing units, where doors count.
func On(p *plan.Page, of plan.Part, toBuilding geom.Affine, metres float64, names []Label, symbols []geom.Box, keep func(geom.Point) bool) *Floor {
	f := &Floor{}
	for _, n := range names {
		f.names = append(f.names, toBuilding.Apply(n.At))
	}
	walls := wallsOf(p, of, toBuilding, symbols)
	if f.grid = newGrid(walls); f.grid == nil {
		return f
	}
	openings := doors(p, metres, keep)
	for i := range openings {
		openings[i] = toBuilding.Apply(openings[i])
	}
	f.grid.closeOpenings(walls, openings)
	seeds := make([]int, len(f.names))
	for k, at := range f.names {
		seeds[k] = f.grid.freeNear(at, besideWall, func(int) bool { return true })
	}
	f.grid.outside(seeds)
	// Where rooms are numbered, a word without a number names only space that no numbered room claims.
	numbered, rest := slices.Clone(seeds), seeds
	for k, n := range names {
		if n.Number == "" {
			numbered[k] = -1
		}
	}
	f.grid.spread(numbered)
	f.grid.spread(rest)
	return f
}

// NameAt returns the index of the name that a symbol's place belongs to, -1 if
// none: mid is the middle of the symbol, at its insertion point.
func (f *Floor) NameAt(mid, at geom.Point) int {
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
	// On a wall: the nearest space, but not that between the two faces of a wall.
	i := g.freeNear(mid, besideWall, func(i int) bool { return g.owner[i] >= 0 || !g.pocket(i) })
	if i < 0 {
		return -1
	}
	return int(max(g.owner[i], unreached))
}

func (f *Floor) nearest(p geom.Point) int {
	best, at := math.Inf(1), -1
	for k, n := range f.names {
		if d := n.Dist(p); d < best && d <= reach {
			best, at = d, k
		}
	}
	return at
}

// wallsOf lists the walls of a part of a page, in metres: those on the layers that somebody named, or on
// layers that sound like walls, or what bounds rooms by its shape.
func wallsOf(p *plan.Page, of plan.Part, toBuilding geom.Affine, symbols []geom.Box) []plan.Wall {
	layers := of.Walls
	if len(layers) == 0 {
		layers = p.WallLayers()
	}
	if len(layers) == 0 {
		return bounds(p, of, toBuilding, symbols)
	}
	var walls []plan.Wall
	for _, w := range p.Walls(layers, of.Region) {
		if of.Ignores(w.A) && of.Ignores(w.B) {
			continue
		}
		w.A, w.B = toBuilding.Apply(w.A), toBuilding.Apply(w.B)
		walls = append(walls, w)
	}
	return walls
}
