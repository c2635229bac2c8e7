package loops

import (
	"math/rand/v2"
	"slices"
	"sort"
)

// The constants of ruin and recreate are those of Christiaens and Vanden Berghe (2020): on average ten places are
// removed, in strings of at most ten; half of the strings are split; one position in a hundred is overlooked.
const (
	removed    = 10
	longest    = 10
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
		r := s.route[c]
		if r < 0 || s.mark[r] == s.now {
			continue
		}
		s.touch(r)
		strings--
		size := int(s.routes[r].count)
		length := 1 + rng.below(min(size, most))
		keep := 0
		if length > 1 && length < size && rng.below(2) == 0 { // leave some out in the middle
			for keep = 1; length+keep < size && rng.below(100) != 0; keep++ {
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
	for v := s.prev[c]; v != 0 && behind < length+keep-1; v = s.prev[v] {
		behind++
	}
	for v := s.next[c]; v != end && ahead < length+keep-1; v = s.next[v] {
		ahead++
	}
	low := max(0, length+keep-1-ahead)
	before = low + rng.below(behind-low+1)
	at := c
	for range before {
		at = s.prev[at]
	}
	first := length
	if keep > 0 {
		first = 1 + rng.below(length-1)
	}
	for k := range length + keep {
		next := s.next[at]
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
		sort.SliceStable(list, func(i, j int) bool { return in.weight(list[i]) > in.weight(list[j]) })
	case pick < 10:
		slices.Sort(list) // nodes are numbered by distance from the depot
		slices.Reverse(list)
	default:
		slices.Sort(list)
	}
}

// weight is the largest share of a capacity that v needs.
func (in *instance) weight(v int32) int64 {
	most := int64(0)
	for _, need := range in.demand[v] {
		most = max(most, need)
	}
	return most
}

// closeBy is how many neighbours of a place are looked at for a position beside them, besides the ends of routes.
const closeBy = 30

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
	best := spot{-1, 0, dear}
	row := in.row(v)
	end := int32(in.n)
	blinks := blinker{rng: rng}
	try := func(r, p, q int32, leg int64) {
		added := int64(row[p]) + int64(row[q]) - leg
		if added >= best.cost || blinks.next() {
			return
		}
		if in.limit > 0 && s.routes[r].length+added+in.extra[v] > in.limit {
			return
		}
		if added += s.groupPrice(v, r); added < best.cost {
			best = spot{r, p, added}
		}
	}
	for r := range s.routes {
		t := &s.routes[r]
		t.room = t.count > 0 && s.fits(v, int32(r))
		if t.room {
			try(int32(r), 0, t.first, s.leg[t.first])
			try(int32(r), t.last, end, t.back)
		}
	}
	near := in.near[v]
	for _, u := range near[:min(closeBy, len(near))] {
		r := s.route[u]
		if r < 0 || !s.routes[r].room {
			continue
		}
		if q := s.next[u]; q != end {
			try(r, u, q, s.leg[q])
		}
		if p := s.prev[u]; p != 0 {
			try(r, p, u, s.leg[u])
		}
	}
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
	s.touch(best.route)
	s.insert(v, best.route, best.p)
	return true
}

// anywhere looks at all positions of all routes.
func (s *state) anywhere(v int32) spot {
	in := s.in
	best := spot{-1, 0, dear}
	for r := range s.routes {
		t := &s.routes[r]
		if t.count == 0 || !s.fits(v, int32(r)) {
			continue
		}
		for p, q := int32(0), t.first; ; p, q = q, s.next[q] {
			added := in.dist(p, v) + in.dist(v, q) - in.dist(p, q)
			if added < best.cost && !(in.limit > 0 && t.length+added+in.extra[v] > in.limit) {
				best = spot{int32(r), p, added}
			}
			if q == int32(in.n) {
				break
			}
		}
	}
	return best
}
