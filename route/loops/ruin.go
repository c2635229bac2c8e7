package loops

import (
	"math/rand/v2"
	"slices"
)

// The constants of ruin and recreate are those of Christiaens and Vanden Berghe (2020): on average ten places are
// removed, in strings of at most ten; half of the strings are split, one place being spared and once in a hundred times
// one more; one position in a hundred is overlooked.
const (
	removed    = 10
	longest    = 10
	spareOneIn = 100
	blinkOneIn = 128 // a power of two instead of a hundred
)

type chance struct{ rand.PCG }

// below returns a number from 0 to n-1.
func (c *chance) below(n int) int { return int((c.Uint64() >> 33) * uint64(n) >> 31) }

// ruin removes strings of places around a random one and returns them.
func (s *state) ruin(rng *chance, out []int32) []int32 {
	in := s.in
	mean := (in.n - 2 + s.used) / max(1, s.used) // rounded up, or pairs on small routes would never part
	most := max(1, min(longest, mean))
	// floor(U(1, k+1)) strings, k being 4 removed / (1 + most) - 1
	strings := 1 + int(int64(rng.below(1<<20))*int64(4*removed-1-most)/(int64(1+most)<<20))
	seed := int32(1 + rng.below(in.n-1))
	for k := -1; k < len(in.near[seed]) && strings > 0; k++ {
		c := seed
		if k >= 0 {
			c = in.near[seed][k]
		}
		r := s.nodes[c].route
		if r < 0 || s.mark[r] == s.now {
			continue
		}
		s.mark[r] = s.now
		strings--
		size := int(s.routes[r].count)
		length := 1 + rng.below(min(size, most))
		keep := 0
		if length > 1 && length < size && rng.below(2) == 0 { // leave some out in the middle
			for keep = 1; length+keep < size && rng.below(spareOneIn) == 0; keep++ {
			}
		}
		out = s.cut(rng, c, length, keep, out)
	}
	return out
}

// cut removes length places of c's route from a window of length+keep around c, sparing keep in the middle.
func (s *state) cut(rng *chance, c int32, length, keep int, out []int32) []int32 {
	end := int32(s.in.n)
	before := 0 // places before c in the window; the window must lie in the route
	ahead, behind := 0, 0
	for v := s.nodes[c].prev; v != 0 && behind < length+keep-1; v = s.nodes[v].prev {
		behind++
	}
	for v := s.nodes[c].next; v != end && ahead < length+keep-1; v = s.nodes[v].next {
		ahead++
	}
	low := max(0, length+keep-1-ahead)
	before = low + rng.below(behind-low+1)
	at := c
	for range before {
		at = s.nodes[at].prev
	}
	first := length
	if keep > 0 {
		first = 1 + rng.below(length-1)
	}
	for k := range length + keep {
		next := s.nodes[at].next
		if k < first || k >= first+keep {
			s.remove(at)
			out = append(out, at)
		}
		at = next
	}
	return out
}

// arrange orders the places to be put back: at random, by demand, far ones first or near ones first, 4:4:2:1.
func (s *state) arrange(rng *chance, list []int32) {
	in := s.in
	for k := len(list) - 1; k > 0; k-- {
		j := rng.below(k + 1)
		list[k], list[j] = list[j], list[k]
	}
	switch pick := rng.below(11); {
	case pick < 4:
	case pick < 8:
		in.byWeight(list)
	case pick < 10:
		slices.Sort(list) // nodes are numbered by distance from the depot
		slices.Reverse(list)
	default:
		slices.Sort(list)
	}
}

// byWeight puts the heaviest first and leaves equal ones in their order. The lists are so short that insertion beats
// the sorting of the library.
func (in *instance) byWeight(list []int32) {
	for k := 1; k < len(list); k++ {
		v := list[k]
		w := in.weight[v]
		j := k
		for ; j > 0 && in.weight[list[j-1]] < w; j-- {
			list[j] = list[j-1]
		}
		list[j] = v
	}
}

// closeBy is how many neighbours of a place are looked at for a position beside them, besides the ends of routes.
const closeBy = 16

// A blinker overlooks one in blinkOneIn; it draws seven bits at a time.
type blinker struct {
	rng  *chance
	bits uint64
}

func (b *blinker) next() bool {
	if b.bits < 2*blinkOneIn {
		b.bits = b.rng.Uint64() | 1<<63
	}
	blink := b.bits%blinkOneIn == 0
	b.bits /= blinkOneIn
	return blink
}

// A spot is a position in a route: after node p, or in front if p is 0.
type spot struct {
	route, p int32
	cost     int64
}

const dear = int64(1) << 60

// recreate puts v where it costs least, a few positions overlooked at random. It reports false if no route has
// room and none may be opened.
func (s *state) recreate(rng *chance, v int32, mayOpen bool) bool {
	in := s.in
	row, end := in.row(v), int32(in.n)
	best := spot{-1, 0, dear}
	blinks := blinker{rng: rng}
	nodes := s.nodes
	for _, u := range in.beside(v) {
		at := &nodes[u]
		if at.route < 0 {
			continue
		}
		// The other end of a leg at u is as far as u at least, or the leg was looked at before: most legs are out
		// of the question without a look at that end.
		way := int64(row[u])
		if q := at.next; q != end && 2*way-int64(at.out) < best.cost {
			if added := way + int64(row[q]) - int64(at.out); added < best.cost {
				s.consider(&best, &blinks, spot{at.route, u, added}, v)
			}
		}
		if p := at.prev; p != 0 && 2*way-int64(at.in) < best.cost {
			if added := way + int64(row[p]) - int64(at.in); added < best.cost {
				s.consider(&best, &blinks, spot{at.route, p, added}, v)
			}
		}
	}
	s.ends(&best, &blinks, v)
	if best.route < 0 {
		best = s.anywhere(v)
	}
	// A route of its own pays where groups cost much or the distances obey no triangle inequality.
	if alone := int64(row[0]) + int64(row[end]); mayOpen && alone < best.cost && !blinks.next() {
		best = spot{-1, 0, alone}
	}
	if best.route < 0 {
		if !mayOpen {
			return false
		}
		best.route = s.open()
	}
	s.insert(v, best.route, best.p)
	return true
}

// ends looks at the fronts and ends of all routes, which are beside no place that is near.
func (s *state) ends(best *spot, blinks *blinker, v int32) {
	row, nodes := s.in.row(v), s.nodes
	atFront, atEnd := int64(row[0]), int64(row[s.in.n])
	for r := range s.routes {
		t := &s.routes[r]
		if t.count == 0 {
			continue
		}
		if less := atFront - int64(nodes[t.first].in); less < best.cost {
			if added := less + int64(row[t.first]); added < best.cost {
				s.consider(best, blinks, spot{int32(r), 0, added}, v)
			}
		}
		if less := atEnd - int64(nodes[t.last].out); less < best.cost {
			if added := less + int64(row[t.last]); added < best.cost {
				s.consider(best, blinks, spot{int32(r), t.last, added}, v)
			}
		}
	}
}

// consider takes a position that adds less cable than the best one, unless the position is overlooked, makes the route
// too long, or costs more for the group or for room that the route lacks.
func (s *state) consider(best *spot, blinks *blinker, at spot, v int32) {
	lacking, ok := s.overPrice(v, at.route)
	if !ok || at.cost+lacking >= best.cost || blinks.next() {
		return
	}
	if s.in.limit > 0 && s.routes[at.route].length+at.cost+s.in.extra[v] > s.in.limit {
		return
	}
	if at.cost += lacking + s.groupPrice(v, at.route); at.cost < best.cost && !s.strainedWith(v, at.route, at.p) {
		*best = at
	}
}

// anywhere looks at all positions of all routes that have room.
func (s *state) anywhere(v int32) spot {
	in := s.in
	best := spot{-1, 0, dear}
	for r := range s.routes {
		t := &s.routes[r]
		if t.count == 0 {
			continue
		}
		lacking, ok := s.overPrice(v, int32(r))
		if !ok || lacking >= best.cost || s.tooFar(v, int32(r)) {
			continue
		}
		for p, q := int32(0), t.first; ; p, q = q, s.nodes[q].next {
			added := in.dist(p, v) + in.dist(v, q) - in.dist(p, q)
			if added+lacking < best.cost && !(in.limit > 0 && t.length+added+in.extra[v] > in.limit) && !s.strainedWith(v, int32(r), p) {
				best = spot{int32(r), p, added + lacking}
			}
			if q == int32(in.n) {
				break
			}
		}
	}
	return best
}
