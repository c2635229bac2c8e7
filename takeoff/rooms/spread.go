package rooms

import (
	"bytes"
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

// spreadFrom lets names spread square by square: first through open space only,
// then through wide openings into what is left.
func (g *grid) spreadFrom(queue []int) {
	var gates []int
	for range 3 {
		for k := 0; k < len(queue); k++ {
			i := queue[k]
			g.around(i, func(j int) {
				if g.owner[j] != unreached {
					return
				}
				if g.exposed != nil && g.exposed[j] {
					if g.steps[j] = g.steps[i] + 1; float64(g.steps[j])*g.cell > reach {
						return
					}
				}
				switch g.state[j] {
				case open:
					g.owner[j] = g.owner[i]
					queue = append(queue, j)
				case seldom:
					g.owner[j] = g.owner[i]
					gates = append(gates, j)
				}
			})
		}
		queue, gates = gates, nil
	}
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
func (g *grid) spaces(seeds []int) *spaces {
	sp := &spaces{}
	here := map[int]bool{}
	for _, s := range seeds {
		here[s] = true
	}
	free := func(i int) bool { return g.state[i] == open && (g.owner[i] == unreached || here[i]) }
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
