package loops

import (
	"math"
	"math/rand/v2"
	"slices"
)

// lnTable holds -ln((k+1/2)/1024) in 1/65536: whole numbers, because logarithms differ between machines in the
// last digit.
var lnTable = func() (t [1024]int64) {
	for k := range t {
		t[k] = int64(math.Round(-math.Log((float64(k)+0.5)/1024) * 65536))
	}
	return
}()

// The search begins at the temperature of so many mean legs or of a share of the mean way from the depot, whichever is
// hotter: few long routes of short legs part and join only if it is the way that counts. It is cooled in equal parts of
// the search until so little of a mean leg is left: package tour does the rest.
const (
	heat = 1
	far  = 0.15
	cool = 0.93
	cold = 0.3
)

// A cooling is a temperature that falls over a number of iterations.
type cooling struct {
	leg                float64 // mean
	hot                float64
	stages, iterations int
}

func (s *state) cooling(iterations int, share float64) cooling {
	in := s.in
	leg := float64(s.cost) / float64(in.n-1+s.used)
	way := int64(0)
	for v := int32(1); int(v) < in.n; v++ {
		way += in.dist(0, v)
	}
	c := cooling{leg: leg, hot: share * max(heat*leg, far*float64(way)/float64(in.n-1)), stages: 1, iterations: iterations}
	for h := c.hot; h > cold*leg && c.stages < iterations; h *= cool {
		c.stages++
	}
	return c
}

// at tells of iteration k what may be lost, given a random number below 1024.
func (c *cooling) at(k, random int) int64 {
	if k > 0 && k*c.stages/c.iterations != (k-1)*c.stages/c.iterations {
		c.hot *= cool
	}
	return int64(c.hot) * lnTable[random] >> 16
}

// A found split is the best of one search.
type found struct {
	routes [][]int32
	cost   int64
}

// The first round makes perPlace iterations for each place, but atLeast of them (the part of a larger problem its share
// of that), and never more than mostSmall a place; it begins at the whole heat. Each round after it begins from the best split before it, warm only, and is half as long.
// One that saves neither a route nor more than enough, as a share, is the last.
const (
	perPlace  = 40
	atLeast   = 120000
	mostSmall = 600
	warm      = 0.35
	enough    = 0.001
)

// seek searches in rounds and returns the best split with the number of iterations.
func seek(s *state, p *Problem) ([][]int32, int) {
	n, least, seed, fewest := s.in.n, atLeast, p.Seed, p.Fewest
	if p.PartOf > n {
		least = atLeast * n / p.PartOf
	}
	iterations := min(max(perPlace*n, least), mostSmall*n)
	best := further(s.in, found{s.lists(), s.cost}, iterations, 1, seed, fewest)
	all := iterations
	for round := uint64(1); ; round++ {
		was := best
		best = further(s.in, best, iterations/2, warm, seed+round<<32, fewest)
		all += iterations / 2
		if len(best.routes) >= len(was.routes) && float64(was.cost-best.cost) <= enough*float64(was.cost) {
			return best.routes, all
		}
	}
}

// further is the better of a split and the best that one round from it finds.
func further(in *instance, from found, iterations int, share float64, seed uint64, fewest bool) found {
	s := newState(in)
	s.restore(from.routes)
	to := search(s, iterations, share, seed, fewest)
	if fewest && len(to.routes) != len(from.routes) {
		if len(to.routes) < len(from.routes) {
			return to
		}
		return from
	}
	if to.cost < from.cost {
		return to
	}
	return from
}

// search improves the state, beginning at a share of the heat, and returns the best routes found.
func search(s *state, iterations int, share float64, seed uint64, fewest bool) found {
	rng := &chance{*rand.NewPCG(seed, 0xd1b54a32d192ed03)}
	if fewest && share == 1 { // what the first round could not spare, a shorter one cannot
		s.reduce(rng, iterations/4)
	}
	in := s.in
	best, bestCost := s.lists(), s.cost
	allowedRoutes := in.n
	if fewest {
		allowedRoutes = len(best)
	}
	temperature := s.cooling(iterations, share)
	room := s.relax(temperature.leg)
	var out []int32
	for k := range iterations {
		room.adapt()
		was := s.worth()
		s.begin()
		out = s.ruin(rng, out[:0])
		s.arrange(rng, out)
		whole := true
		for _, v := range out {
			if !s.recreate(rng, v, s.used < allowedRoutes) {
				whole = false
				break
			}
		}
		allowed := temperature.at(k, rng.below(1024))
		if !whole || s.worth() > was+allowed {
			s.revert()
			continue
		}
		room.count()
		if s.over == 0 && s.cost < bestCost {
			best, bestCost = s.lists(), s.cost
		}
	}
	return found{best, bestCost}
}

// worth is what the search lowers: the cost, and the price of what routes carry too much.
func (s *state) worth() int64 { return s.cost + s.price*s.over }

// Where circuits are nearly full, places change them only if one may carry too much for a while (Gendreau, Hertz,
// Laporte, Management Science 40, 1994). The price of that begins at so much of a mean leg for a thousandth of the
// capacity. After so many splits it falls where more than so many of them were within capacity, and rises where few were.
const (
	firstPrice = 0.3
	judged     = 100
	mostWithin = 40
	fewWithin  = 25
)

// A pricing keeps the price of loads beyond capacity so that the search goes back and forth across the bound.
type pricing struct {
	s            *state
	seen, within int
}

// relax lets routes carry too much, at a price that depends on the mean leg.
func (s *state) relax(leg float64) pricing {
	if s.in.resources > 0 {
		s.price = max(1, int64(firstPrice*leg)>>10)
	}
	return pricing{s: s}
}

func (p *pricing) count() {
	p.seen++
	if p.s.over == 0 {
		p.within++
	}
}

func (p *pricing) adapt() {
	s := p.s
	if p.seen < judged || s.price == 0 {
		return
	}
	if p.within > mostWithin {
		s.price = max(1, s.price*9/10)
	} else if p.within < fewWithin {
		s.price = s.price*11/10 + 1
	}
	p.seen, p.within = 0, 0
}

// sortRoutes puts the routes in the order of their smallest place.
func sortRoutes(routes [][]int) {
	slices.SortFunc(routes, func(a, b []int) int { return slices.Min(a) - slices.Min(b) })
}
