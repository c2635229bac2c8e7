package path

import (
	"cmp"
	"math"
	"slices"

	"loopwright/takeoff/geom"
)

// grid is a level cut into cells along the axes of the building. Nodes are the
// cells' middles; a step leads to one of four neighbours and costs its length
// plus the walls between. Costs are whole multiples of unit.
type grid struct {
	cell   float64
	unit   float64
	origin geom.Point // of node (0, 0), in the turned frame
	w, h   int
	right  []int32 // cost of the step from a node to its right neighbour, 0 for none
	up     []int32 // and to the one above
	steps  []int32 // the same by node and direction of search
	span   int32   // greatest cost of a step, plus one
}

const (
	finestCell  = 0.25   // metres
	maxCells    = 30_000 // per level; 100 m x 60 m fits at half a metre
	gridMargin  = 3.0    // metres around the places within which a detour may run
	unitsInCell = 32     // steps of cost in one cell length
	// gridOffset sets nodes off the round numbers on which walls like to lie. A
	// way that runs upon a wall line would be neither side of it.
	gridOffset = 0.381966
	coarse     = 2.0    // metres: a cell above this misses corridors, and the legs say so
	maxPenalty = 1000.0 // metres: dearer walls cost this much in the search
)

// newGrid lays a grid over box. The cell depends on the size of the box alone,
// and nodes on fixed multiples of it, so that a device more or less does not
// shift the ways of all others.
func newGrid(box geom.Box) *grid {
	box = box.Grow(gridMargin)
	cell := finestCell
	for k := 1; (box.Width()/cell+2)*(box.Height()/cell+2) > maxCells; k++ {
		cell = finestCell * math.Pow(2, float64(k)/2)
	}
	return gridOf(box, cell)
}

func gridOf(box geom.Box, cell float64) *grid {
	g := &grid{cell: cell, unit: cell / unitsInCell}
	i, j := math.Floor(box.Min.X/cell), math.Floor(box.Min.Y/cell)
	g.origin = geom.Pt((i+gridOffset)*cell, (j+gridOffset)*cell)
	g.w = int(math.Ceil(box.Max.X/cell)-i) + 1
	g.h = int(math.Ceil(box.Max.Y/cell)-j) + 1
	g.right = make([]int32, g.w*g.h)
	g.up = make([]int32, g.w*g.h)
	return g
}

func (g *grid) node(n int) geom.Point {
	return geom.Pt(g.origin.X+float64(n%g.w)*g.cell, g.origin.Y+float64(n/g.w)*g.cell)
}

// reach is the cost, in units, up to which a way over the grid may beat one of
// the given cost in metres: the grid may be out by up to a cell at either end.
func (g *grid) reach(cost float64) int32 {
	return int32(math.Min((cost+2*g.cell)/g.unit, unreached-1))
}

// corners returns the nodes around p, four at most.
func (g *grid) corners(p geom.Point) []int {
	i := int(math.Floor((p.X - g.origin.X) / g.cell))
	j := int(math.Floor((p.Y - g.origin.Y) / g.cell))
	var out []int
	for _, y := range [2]int{j, j + 1} {
		for _, x := range [2]int{i, i + 1} {
			if x >= 0 && x < g.w && y >= 0 && y < g.h {
				out = append(out, y*g.w+x)
			}
		}
	}
	return out
}

// corridor is a region in the turned frame in which a metre costs less.
type corridor struct {
	ring   geom.Ring
	box    geom.Box
	saving float64 // share of a metre saved
}

// load sets the cost of every step: its length, cheaper inside corridors, plus
// the walls it crosses.
func (g *grid) load(x *Index, corridors []corridor) {
	for n := range g.right {
		step := g.cell
		for _, c := range corridors {
			if p := g.node(n); c.box.Contains(p) && c.ring.Contains(p) {
				step = math.Min(step, g.cell*(1-c.saving))
			}
		}
		u := int32(math.Max(1, math.Round(step/g.unit)))
		g.right[n], g.up[n] = u, u
	}
	// A step costs what the mean of its two cells does.
	if len(corridors) > 0 {
		at := slices.Clone(g.right)
		for n := range at {
			if n%g.w+1 < g.w {
				g.right[n] = (at[n] + at[n+1] + 1) / 2
			}
			if n+g.w < len(at) {
				g.up[n] = (at[n] + at[n+g.w] + 1) / 2
			}
		}
	}
	if x != nil {
		g.raster(x)
	}
	// No step leads off the grid.
	for r := range g.h {
		g.right[r*g.w+g.w-1] = 0
	}
	clear(g.up[(g.h-1)*g.w:])
	g.steps = make([]int32, 4*len(g.right))
	for n := range g.right {
		g.steps[4*n+east], g.steps[4*n+north] = g.right[n], g.up[n]
		if n > 0 {
			g.steps[4*n+west] = g.right[n-1]
		}
		if n >= g.w {
			g.steps[4*n+south] = g.up[n-g.w]
		}
	}
	g.span = slices.Max(g.right)
	g.span = max(g.span, slices.Max(g.up)) + 1
}

// raster adds the walls. Each row and column of nodes is a line through the
// plan; the lines of one wall that it meets are merged as on a leg, and the
// wall's penalty goes to the steps in which it is entered and left.
func (g *grid) raster(x *Index) {
	rows := make([][]hit, g.h)
	cols := make([][]hit, g.w)
	for _, w := range x.walls {
		a, b := w.A.Sub(g.origin).Mul(1/g.cell), w.B.Sub(g.origin).Mul(1/g.cell)
		stab(rows, a.X, a.Y, b.X, b.Y, w.Penalty)
		stab(cols, a.Y, a.X, b.Y, b.X, w.Penalty)
	}
	for r, hits := range rows {
		g.assign(hits, wallThickness, g.w, func(i int) *int32 { return &g.right[r*g.w+i] })
	}
	for c, hits := range cols {
		g.assign(hits, wallThickness, g.h, func(j int) *int32 { return &g.up[j*g.w+c] })
	}
}

// stab records where the wall from (u0, v0) to (u1, v1) meets the lines v = 0, 1, 2 ...
func stab(lines [][]hit, u0, v0, u1, v1, penalty float64) {
	if v0 > v1 {
		u0, v0, u1, v1 = u1, v1, u0, v0
	}
	first := max(0, int(math.Ceil(math.Max(v0, -1))))
	for k := first; k < len(lines) && float64(k) < v1; k++ {
		u := u0 + (float64(k)-v0)*(u1-u0)/(v1-v0)
		lines[k] = append(lines[k], hit{u, penalty})
	}
}

func (g *grid) assign(hits []hit, thickness float64, steps int, step func(i int) *int32) {
	slices.SortFunc(hits, func(a, b hit) int { return cmp.Compare(a.at, b.at) })
	put := func(at, penalty float64) {
		if i := int(math.Floor(at)); i >= 0 && i+1 < steps {
			*step(i) += int32(math.Round(math.Min(penalty, maxPenalty) / 2 / g.unit))
		}
	}
	for len(hits) > 0 {
		n, top := 1, hits[0].penalty
		for n < len(hits) && (hits[n].at-hits[0].at)*g.cell <= thickness {
			top = math.Max(top, hits[n].penalty)
			n++
		}
		// Half on either face: a way that steps into a wall and out again on the
		// same side must not get in for nothing.
		put(hits[0].at, top)
		put(hits[n-1].at, top)
		hits = hits[n:]
	}
}
