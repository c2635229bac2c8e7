package rooms

import (
	"math"
	"slices"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
	"loopwright/takeoff/words"
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
	outlines *Outlines
}

// On finds the labels of rooms on the sheets of one level and lets them spread between its walls.
func On(sheets []Sheet) *Floor {
	langs := languages(sheets)
	var gs []group
	var walls []plan.Wall
	var openings []geom.Point
	var hulls []geom.Ring
	for i := range sheets {
		s := &sheets[i]
		own := groups(s, i, langs)
		layers := s.Part.Walls
		if len(layers) == 0 {
			layers = s.Page.WallLayers()
		}
		shapes := s.Page.Shapes
		if len(layers) == 0 {
			shapes = slices.Concat(shapes, s.Page.Fills())
		}
		work := s.inBuilding(candidates(shapes, s.Page, s.Part, s.ToBuilding, s.Symbols))
		lead := pointed(s, shapes, work, own)
		gs = append(gs, own...)
		ws := wallsOf(s, layers, work, lead)
		walls, hulls = append(walls, ws...), append(hulls, hull(ws))
		for _, d := range doors(s.Page, s.ToBuilding.Scale(), s.Keep) {
			openings = append(openings, s.ToBuilding.Apply(d))
		}
	}
	f := &Floor{grid: newGrid(walls)}
	if f.grid != nil {
		f.grid.closeOpenings(walls, openings)
		f.grid.closeHulls(walls, hulls)
	}
	for _, g := range choose(gs, f.standing(gs), besideSymbol(sheets), langs) {
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

// standing tells which space each group stands in. A label outside, or beside another one, stands where its leader
// ends, if no label stands there.
func (f *Floor) standing(gs []group) standing {
	in := make(standing, len(gs))
	var sp *spaces
	open := map[int]bool{}
	if f.grid != nil {
		sp = f.grid.spacesOf(nil, doorClear)
		for i, r := range sp.runs {
			if f.grid.onEdge(r) {
				open[sp.root(i)] = true
			}
		}
	}
	if f.grid == nil {
		for i := range gs {
			in[i] = -1
		}
		return in
	}
	at := func(p geom.Point) int {
		if s := f.grid.freeNear(p, 2*besideWall, func(i int) bool { return f.grid.clear[i] >= doorClear }); s >= 0 {
			if k := sp.at(s); k >= 0 && !open[sp.root(k)] {
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
	for i, g := range gs {
		in[i] = at(g.Pos)
		held[place{g.style, in[i]}]++
	}
	for i := range gs {
		g := &gs[i]
		if g.to == nil || in[i] >= 0 && held[place{g.style, in[i]}] < 2 {
			continue
		}
		if k := at(*g.to); k >= 0 && held[place{g.style, k}] == 0 {
			held[place{g.style, k}]++
			held[place{g.style, in[i]}]--
			in[i], g.Pos = k, *g.to
		}
	}
	return in
}

// wallsOf lists the walls of a sheet, in metres: those on the layers that somebody named, or on
// layers that sound like walls, or what bounds rooms by its shape. lead are shapes that are leaders.
func wallsOf(s *Sheet, layers []string, work []lineWork, lead map[int]bool) []plan.Wall {
	if len(layers) == 0 {
		return bounds(work, lead)
	}
	fits := words.Remembered(func(layer string) bool { return words.AnyName(layers, layer) })
	var walls []plan.Wall
	for _, w := range s.Page.Walls(layers, s.Part.Region) {
		if fits(w.Layer) && !(s.Part.Ignores(w.A) && s.Part.Ignores(w.B)) {
			w.A, w.B = s.ToBuilding.Apply(w.A), s.ToBuilding.Apply(w.B)
			walls = append(walls, w)
		}
	}
	return walls
}

// NameAt returns the index of the label that a symbol's place belongs to, -1 if
// none: mid is the middle of the symbol, at its insertion point, metres in the building's frame.
func (f *Floor) NameAt(mid, at geom.Point) int {
	for _, p := range []geom.Point{mid, at} {
		if k, _ := f.outlines.Room(p); k >= 0 {
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
	if own, ring := f.outlines.Room(f.Labels[k].Pos); own >= 0 && f.Labels[own].Text() == f.Labels[k].Text() {
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
