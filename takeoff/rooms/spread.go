package rooms

import (
	"bytes"
	"cmp"
	"slices"
)

// spread lets the names spread from the squares where they stand.
func (g *grid) spread(seeds []int) { g.spreadFrom(g.fillRooms(g.plant(seeds))) }

// plant gives the squares where names stand to them, and returns those that no name had.
func (g *grid) plant(seeds []int) []int {
	var planted []int
	for k, s := range seeds {
		if s >= 0 && g.owner[s] == unreached {
			g.owner[s] = int32(k)
			planted = append(planted, s)
		}
	}
	return planted
}

// spreadFrom lets names spread: first through open space only, then through wide openings into what is left.
// The wide ways come first: of two names the one that reaches a square by the wider way has it, of two by ways
// as wide the nearer one.
func (g *grid) spreadFrom(queue []int) {
	var gates []int
	for range 3 {
		g.flood(queue, &gates)
		queue, gates = gates, nil
	}
}

// flood lets the names of some squares spread through open space, and collects the squares of wide openings that they reach.
func (g *grid) flood(from []int, gates *[]int) {
	if len(from) == 0 {
		return
	}
	room := g.clearance()
	if g.steps == nil {
		g.steps = make([]int32, len(g.state))
	}
	var waves [mostClear + 1][]int
	for _, i := range from {
		// A name beside a wall or in a corner has the room all the same: it starts from the middle.
		for next := i; next >= 0; {
			i, next = next, -1
			waves[max(room[i], 1)] = append(waves[max(room[i], 1)], i)
			clear := room[i]
			g.around(i, func(j int) {
				if room[j] > clear && g.state[j] == open && g.owner[j] == unreached {
					next, clear = j, room[j]
				}
			})
			if next >= 0 {
				g.owner[next], g.steps[next] = g.owner[i], g.steps[i]+1
			}
		}
	}
	var ahead []int // squares of this wave that it has reached itself, the nearest to their names first
	for w := mostClear; w > 0; w-- {
		wave := waves[w]
		slices.SortStableFunc(wave, func(a, b int) int { return cmp.Compare(g.steps[a], g.steps[b]) })
		ahead = ahead[:0]
		for k, l := 0, 0; k < len(wave) || l < len(ahead); {
			var i int
			if l == len(ahead) || k < len(wave) && g.steps[wave[k]] <= g.steps[ahead[l]] {
				i = wave[k]
				k++
			} else {
				i = ahead[l]
				l++
			}
			g.around(i, func(j int) {
				if g.owner[j] != unreached || g.state[j] == solid {
					return
				}
				g.steps[j] = g.steps[i] + 1
				if g.exposed != nil && g.exposed[j] && float64(g.steps[j])*g.cell > reach {
					return
				}
				g.owner[j] = g.owner[i]
				switch n := min(uint8(w), room[j]); {
				case g.state[j] == seldom:
					*gates = append(*gates, j)
				case n == uint8(w):
					ahead = append(ahead, j)
				default:
					waves[n] = append(waves[n], j)
				}
			})
		}
	}
}

// mostClear is the clearance, in steps of 0.1 m, above which a way is not said to be wider: half the width of a
// pair of doors.
const mostClear = 12

// clearance is how far each open square is from what is solid, in steps of 0.1 m from 1 to mostClear; 0 where it is solid.
func (g *grid) clearance() []uint8 {
	if g.clear != nil {
		return g.clear
	}
	// Distances in thirds of a square: 3 to a neighbour, 4 across a corner.
	const far = 1 << 14
	d := make([]uint16, len(g.state))
	for i, s := range g.state {
		if s != solid {
			d[i] = far
		}
	}
	pass := func(x, y, sx, sy int) {
		i := y*g.nx + x
		look := func(dx, dy int, cost uint16) {
			if g.inside(x+dx, y+dy) {
				d[i] = min(d[i], d[i+dy*g.nx+dx]+cost)
			}
		}
		look(sx, 0, 3)
		look(0, sy, 3)
		look(sx, sy, 4)
		look(-sx, sy, 4)
	}
	for y := range g.ny {
		for x := range g.nx {
			pass(x, y, -1, -1)
		}
	}
	g.clear = make([]uint8, len(g.state))
	for y := g.ny - 1; y >= 0; y-- {
		for x := g.nx - 1; x >= 0; x-- {
			pass(x, y, 1, 1)
			i := y*g.nx + x
			if d[i] > 0 {
				g.clear[i] = uint8(max(1, min(mostClear, float64(d[i])/3*g.cell*10)))
			}
		}
	}
	return g.clear
}

// fillRooms gives each closed space with one name to that name at once: there no
// order decides, and going step by step over a large level takes most of the
// time that its reading takes. It returns the squares from which names must still
// spread: of several names in one space, beside wide openings, and where the outside reaches.
func (g *grid) fillRooms(seeds []int) []int {
	sp := g.spaces(seeds)
	left := slices.DeleteFunc(slices.Clone(seeds), func(s int) bool {
		i := sp.at(s)
		return i >= 0 && sp.simple(g, sp.root(i))
	})
	for i, r := range sp.runs {
		if k := sp.root(i); sp.names[k] == 1 && sp.simple(g, k) {
			name := g.owner[sp.seed[k]]
			for c := r.from; c < r.to; c++ {
				g.owner[c] = name
			}
		}
	}
	return left
}

// run is a row of open squares side by side, by their indices.
type run struct{ from, to int }

// spaces are the open squares that hang together, as runs joined into trees.
type spaces struct {
	runs   []run
	parent []int
	// By root: how many names stand in the space, where the last does, and whether a wide opening leads off.
	names []int
	seed  []int
	gated []bool
}

// spaces joins the open squares that no name has reached. Squares where a name
// stands belong to their space.
func (g *grid) spaces(seeds []int) *spaces { return g.spacesOf(seeds, 0) }

// spacesOf joins those squares only that are so far from what is solid, in steps of 0.1 m: doors and gaps part them.
func (g *grid) spacesOf(seeds []int, clear uint8) *spaces {
	sp := &spaces{}
	here := map[int]bool{}
	for _, s := range seeds {
		here[s] = true
	}
	if clear > 0 {
		g.clearance()
	}
	free := func(i int) bool {
		if clear > 0 && g.clear[i] < clear {
			return false
		}
		return g.state[i] == open && (g.owner[i] == unreached || here[i])
	}
	above := 0 // first run of the row before
	for y := range g.ny {
		first := len(sp.runs)
		for i, end := y*g.nx, (y+1)*g.nx; i < end; i++ {
			if !free(i) {
				continue
			}
			from := i
			for i < end && free(i) {
				i++
			}
			sp.runs, sp.parent = append(sp.runs, run{from, i}), append(sp.parent, len(sp.runs))
		}
		for a, b := above, first; a < first && b < len(sp.runs); {
			p, q := sp.runs[a], sp.runs[b]
			if p.from+g.nx < q.to && q.from < p.to+g.nx {
				sp.join(a, b)
			}
			if p.to+g.nx < q.to {
				a++
			} else {
				b++
			}
		}
		above = first
	}
	sp.names, sp.seed, sp.gated = make([]int, len(sp.runs)), make([]int, len(sp.runs)), make([]bool, len(sp.runs))
	for _, s := range seeds {
		if i := sp.at(s); i >= 0 {
			k := sp.root(i)
			sp.names[k]++
			sp.seed[k] = s
		}
	}
	for i, r := range sp.runs {
		if k := sp.root(i); sp.names[k] > 0 && !sp.gated[k] && g.besideGate(r) {
			sp.gated[k] = true
		}
	}
	return sp
}

// besideGate reports whether a wide opening borders on a run.
func (g *grid) besideGate(r run) bool {
	row := r.from / g.nx * g.nx
	if r.from > row && g.state[r.from-1] == seldom || r.to < row+g.nx && g.state[r.to] == seldom {
		return true
	}
	for _, d := range []int{-g.nx, g.nx} {
		if a, b := r.from+d, r.to+d; a >= 0 && b <= len(g.state) && bytes.IndexByte(g.state[a:b], seldom) >= 0 {
			return true
		}
	}
	return false
}

// simple reports whether the name in a space has it to itself.
func (sp *spaces) simple(g *grid, root int) bool {
	return sp.names[root] == 1 && !sp.gated[root] && (g.exposed == nil || !g.exposed[sp.seed[root]])
}

// at returns the run that holds a square, -1 if none does.
func (sp *spaces) at(square int) int {
	i, _ := slices.BinarySearchFunc(sp.runs, square, func(r run, s int) int {
		switch {
		case r.to <= s:
			return -1
		case r.from > s:
			return 1
		}
		return 0
	})
	if i < len(sp.runs) && sp.runs[i].from <= square && square < sp.runs[i].to {
		return i
	}
	return -1
}

func (sp *spaces) root(i int) int {
	for sp.parent[i] != i {
		sp.parent[i] = sp.parent[sp.parent[i]]
		i = sp.parent[i]
	}
	return i
}

func (sp *spaces) join(a, b int) {
	a, b = sp.root(a), sp.root(b)
	sp.parent[max(a, b)] = min(a, b)
}

const (
	leastPocket = 3 // steps of 0.1 m to the middle of what is wider than a wall
	mostPocket  = 6 // and to the middle of what is no room: a shelf, a table, a step
	thinLine    = 3 // squares that one line takes up
)

// absorb gives narrow spaces that no name has reached to the name around them, across one line: furniture
// drawn from wall to wall, the tops of tables.
func (g *grid) absorb() {
	sp := g.spaces(nil)
	g.clearance()
	widest := map[int]uint8{}
	votes := map[int]map[int32]int{}
	for k, r := range sp.runs {
		root := sp.root(k)
		if votes[root] == nil {
			votes[root] = map[int32]int{}
		}
		for i := r.from; i < r.to; i++ {
			widest[root] = max(widest[root], g.clear[i])
			if g.clear[i] > 1 {
				continue
			}
			x, y := i%g.nx, i/g.nx
			for _, d := range [][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
				for n := 1; n <= thinLine && g.inside(x+n*d[0], y+n*d[1]); n++ {
					j := (y+n*d[1])*g.nx + x + n*d[0]
					if n > 1 && g.state[j] == open {
						if g.owner[j] >= 0 {
							votes[root][g.owner[j]]++
						}
						break
					}
				}
			}
		}
	}
	for k, r := range sp.runs {
		root := sp.root(k)
		if widest[root] < leastPocket || widest[root] > mostPocket {
			continue
		}
		best, most := unreached, 0
		for o, n := range votes[root] {
			if n > most || n == most && o < best {
				best, most = o, n
			}
		}
		for i := r.from; i < r.to; i++ {
			g.owner[i] = best
		}
	}
}
