package rooms

import (
	"math"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
)

// grid is a level cut into squares, on which the names of rooms spread as
// far as walls and doors let them. So a name belongs to the places that can be
// reached from it without crossing a wall, the nearest name first.
type grid struct {
	box    geom.Box
	cell   float64 // metres
	nx, ny int
	state  []uint8
	owner  []int32 // index of the name that reached the square, or unreached, or outdoors
	// exposed are the squares that can be reached from outside where the outer
	// walls have gaps: there a name holds only near by.
	exposed []bool
	steps   []int32 // from the name, where names spread step by step
	clear   []uint8 // as clearance says, once asked
}

// The states of a square.
const (
	open   uint8 = iota
	solid        // a wall, or a door that closes one
	seldom       // a wide opening in a wall: a name passes it only into space without one
)

const (
	unreached int32 = -1
	outdoors  int32 = -2
)

const (
	gridCell  = 0.1     // metres
	gridMax   = 4 << 20 // squares; larger levels take larger ones
	gridApron = 1.0     // metres around the walls
)

func newGrid(walls []plan.Wall, squares float64) *grid {
	g := &grid{box: geom.EmptyBox(), cell: gridCell}
	for _, w := range walls {
		if w.A.IsFinite() && w.B.IsFinite() {
			g.box = g.box.Extend(w.A).Extend(w.B)
		}
	}
	if g.box.Empty() {
		return nil
	}
	g.box = g.box.Grow(gridApron)
	for g.box.Width()/g.cell*(g.box.Height()/g.cell) > squares {
		g.cell *= 1.2
	}
	g.nx, g.ny = int(g.box.Width()/g.cell)+1, int(g.box.Height()/g.cell)+1
	g.state = make([]uint8, g.nx*g.ny)
	g.owner = make([]int32, g.nx*g.ny)
	for i := range g.owner {
		g.owner[i] = unreached
	}
	for _, w := range walls {
		if w.A.IsFinite() && w.B.IsFinite() {
			g.draw(w.Segment, solid)
		}
	}
	return g
}

func (g *grid) at(p geom.Point) (x, y int) {
	return int(math.Floor((p.X - g.box.Min.X) / g.cell)), int(math.Floor((p.Y - g.box.Min.Y) / g.cell))
}

func (g *grid) inside(x, y int) bool { return x >= 0 && y >= 0 && x < g.nx && y < g.ny }

// trace visits every square that a segment touches, so that a slanting line
// leaves no gap for steps along the axes.
func (g *grid) trace(s geom.Segment, visit func(x, y int) bool) {
	n := int(s.Len()/g.cell*2) + 1
	px, py := -1, -1
	for i := 0; i <= n; i++ {
		x, y := g.at(s.A.Lerp(s.B, float64(i)/float64(n)))
		if x == px && y == py || !g.inside(x, y) {
			continue
		}
		if !visit(x, y) {
			return
		}
		px, py = x, y
	}
}

func (g *grid) draw(s geom.Segment, state uint8) {
	px, py := -1, -1
	g.trace(s, func(x, y int) bool {
		g.mark(x, y, state)
		if px >= 0 && x != px && y != py { // a step across a corner
			g.mark(px, y, state)
		}
		px, py = x, y
		return true
	})
}

func (g *grid) mark(x, y int, state uint8) {
	c := &g.state[y*g.nx+x]
	if *c == open || state == solid {
		*c = state
	}
}

// isClear reports whether nothing stands between the ends of a segment, walls
// within the given distance of either end aside.
func (g *grid) isClear(s geom.Segment, spare float64) bool {
	free := true
	g.trace(s, func(x, y int) bool {
		c := geom.Pt(g.box.Min.X+(float64(x)+0.5)*g.cell, g.box.Min.Y+(float64(y)+0.5)*g.cell)
		if g.state[y*g.nx+x] == solid && c.Dist(s.A) > spare && c.Dist(s.B) > spare {
			free = false
		}
		return free
	})
	return free
}

// outside marks what can be reached from the edge of the grid as outdoors. If
// that reaches a place where a name stands, the outer walls have gaps: what can
// be reached is then only noted as exposed.
func (g *grid) outside(seeds []int) {
	var queue []int
	seen := make([]bool, len(g.state))
	push := func(i int) {
		if !seen[i] && g.state[i] == open {
			seen[i] = true
			queue = append(queue, i)
		}
	}
	for x := range g.nx {
		push(x)
		push((g.ny-1)*g.nx + x)
	}
	for y := range g.ny {
		push(y * g.nx)
		push(y*g.nx + g.nx - 1)
	}
	for k := 0; k < len(queue); k++ {
		g.around(queue[k], push)
	}
	for _, s := range seeds {
		if s >= 0 && seen[s] {
			g.exposed = seen
			return
		}
	}
	for _, i := range queue {
		g.owner[i] = outdoors
	}
}

func (g *grid) around(i int, visit func(int)) {
	x, y := i%g.nx, i/g.nx
	if x > 0 {
		visit(i - 1)
	}
	if x+1 < g.nx {
		visit(i + 1)
	}
	if y > 0 {
		visit(i - g.nx)
	}
	if y+1 < g.ny {
		visit(i + g.nx)
	}
}

// freeNear returns the open square nearest to p within so many metres, -1 if none.
func (g *grid) freeNear(p geom.Point, within float64, ok func(i int) bool) int {
	x0, y0 := g.at(p)
	best, at := math.Inf(1), -1
	n := int(within/g.cell) + 1
	for y := y0 - n; y <= y0+n; y++ {
		for x := x0 - n; x <= x0+n; x++ {
			if !g.inside(x, y) || g.state[y*g.nx+x] == solid || !ok(y*g.nx+x) {
				continue
			}
			c := geom.Pt(g.box.Min.X+(float64(x)+0.5)*g.cell, g.box.Min.Y+(float64(y)+0.5)*g.cell)
			if d := c.Dist(p); d < best && d <= within+g.cell {
				best, at = d, y*g.nx+x
			}
		}
	}
	return at
}

// pocket reports whether a square lies between the two faces of a wall.
func (g *grid) pocket(i int) bool {
	x, y := i%g.nx, i/g.nx
	reach := int(0.35/g.cell) + 1
	wall := func(dx, dy int) bool {
		for k := 1; k <= reach; k++ {
			if !g.inside(x+k*dx, y+k*dy) {
				return false
			}
			if g.state[(y+k*dy)*g.nx+x+k*dx] == solid {
				return true
			}
		}
		return false
	}
	return wall(1, 0) && wall(-1, 0) || wall(0, 1) && wall(0, -1)
}
