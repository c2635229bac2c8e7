package rooms

import (
	"math"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
)

const (
	reach      = 12.0 // metres within which a name still names a device's room where no walls are known
	doorClear  = 5    // steps of 0.1 m: what is farther from a wall than the middle of a single door
	besideWall = 0.6  // metres that a symbol on a wall may stand from its room
)

// Sheet is a plan of a level, or a part of it, as it is searched for rooms.
type Sheet struct {
	Page       *plan.Page
	Part       plan.Part
	ToBuilding geom.Affine           // drawing units -> metres in the building's frame
	Keep       func(geom.Point) bool // places in drawing units where names and doors count
	Legend     func(geom.Point) bool // places in a legend: what is lettered there in no closed space is no label
	Device     func(*dxf.Insert) bool
	Inside     func(path []string) bool // reports whether what stands in blocks is drawn inside a device's symbol
	Taken      map[geom.Point]bool      // where texts are devices
	Symbols    []geom.Box               // of devices, drawing units
	Counted    []geom.Box               // of those that count
}

// Floor tells which name belongs to a place of a level, by its walls.
type Floor struct {
	Labels   []Label
	grid     *grid // nil where no walls are known
	outlines *outlines
}

// On finds the labels of rooms on the sheets of one level and lets them spread between its walls.
func On(sheets []Sheet) *Floor {
	langs := languages(sheets)
	var gs []group
	works := make([]drawn, len(sheets))
	for i := range sheets {
		own := groups(&sheets[i], i, langs)
		works[i] = sheets[i].drawn(own)
		gs = append(gs, own...)
	}
	marked := besideSymbol(sheets)
	f := &Floor{grid: layOut(works, nil, gridMax)}
	chosen := choose(gs, standingOn(f.grid, gs), marked, langs)
	if layers := wallLayers(works, chosen); layers != nil {
		f.grid = layOut(works, layers, gridMax)
		chosen = choose(gs, standingOn(f.grid, gs), marked, langs)
	}
	for _, g := range chosen {
		f.Labels = append(f.Labels, g.Label)
	}
	f.outlines = outlinesOf(sheets, f.Labels)
	if f.grid == nil {
		return f
	}
	seeds := make([]int, len(f.Labels))
	for k, n := range f.Labels {
		seeds[k] = f.grid.freeNear(n.Pos, besideWall, func(int) bool { return true })
	}
	f.grid.outside(seeds)
	// Where rooms are numbered, a word without a number names only space that no numbered room claims.
	numbered := make([]int, len(seeds))
	for k, n := range f.Labels {
		if numbered[k] = seeds[k]; n.Number == "" {
			numbered[k] = -1
		}
	}
	f.grid.spread(numbered)
	f.grid.spread(seeds)
	f.grid.absorb()
	return f
}

// standingOn tells which space each group stands in. A label outside, or beside another one, stands where its leader
// ends, if no label stands there.
func standingOn(g *grid, gs []group) standing {
	in := make(standing, len(gs))
	if g == nil {
		for i := range gs {
			in[i] = -1
		}
		return in
	}
	sp := g.spacesOf(nil, doorClear)
	outside := map[int]bool{}
	for i, r := range sp.runs {
		if g.onEdge(r) {
			outside[sp.root(i)] = true
		}
	}
	at := func(p geom.Point) int {
		if s := g.freeNear(p, 2*besideWall, func(i int) bool { return g.clear[i] >= doorClear }); s >= 0 {
			if k := sp.at(s); k >= 0 && !outside[sp.root(k)] {
				return sp.root(k)
			}
		}
		return -1
	}
	type place struct {
		style
		space int
	}
	held := map[place]int{}
	for i := range gs {
		in[i] = at(gs[i].Pos)
		held[place{gs[i].style, in[i]}]++
	}
	for i := range gs {
		q := &gs[i]
		if q.to == nil || in[i] >= 0 && held[place{q.style, in[i]}] < 2 {
			continue
		}
		if k := at(*q.to); k >= 0 && held[place{q.style, k}] == 0 {
			held[place{q.style, k}]++
			held[place{q.style, in[i]}]--
			in[i], q.Pos = k, *q.to
		}
	}
	return in
}

// NameAt returns the index of the label that a symbol's place belongs to, -1 if
// none: mid is the middle of the symbol, at its insertion point, metres in the building's frame.
func (f *Floor) NameAt(mid, at geom.Point) int {
	for _, p := range []geom.Point{mid, at} {
		if k, _ := f.outlines.room(p); k >= 0 {
			return k
		}
	}
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

// Outline is the closed outline of the room with label k, metres in the building's frame; nil if the drawing has none.
func (f *Floor) Outline(k int) geom.Ring {
	if own, ring := f.outlines.room(f.Labels[k].Pos); own >= 0 && f.Labels[own].Text() == f.Labels[k].Text() {
		return ring
	}
	return nil
}

func (f *Floor) nearest(p geom.Point) int {
	best, at := math.Inf(1), -1
	for k, n := range f.Labels {
		if d := n.Pos.Dist(p); d < best && d <= reach {
			best, at = d, k
		}
	}
	return at
}
