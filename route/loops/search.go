package loops

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"github.com/sourcegraph/conc/iter"
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
// the search until so little of a mean leg is left.
const (
	heat = 1
	far  = 0.15
	cool = 0.93
	cold = 0.01
)

// A cooling is a temperature that falls over a number of iterations.
type cooling struct {
	hot                float64
	stages, iterations int
}

func (s *state) cooling(iterations int) cooling {
	in := s.in
	leg := float64(s.cost) / float64(in.n-1+s.used)
	way := int64(0)
	for v := int32(1); int(v) < in.n; v++ {
		way += in.dist(0, v)
	}
	c := cooling{hot: max(heat*leg, far*float64(way)/float64(in.n-1)), stages: 1, iterations: iterations}
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

// seek searches from one start with several seeds, side by side, and returns the best that any finds: how good one
// search turns out is a matter of luck, most of all where the routes are nearly full.
func seek(s *state, searches, iterations int, seed uint64, fewest bool) [][]int32 {
	all, from := make([]found, searches), make([]*state, searches)
	for k := range from {
		from[k] = s.compact()
	}
	iter.ForEachIdx(from, func(k int, start **state) { all[k] = search(*start, iterations, seed+uint64(k)<<32, fewest) })
	return slices.MinFunc(all, func(a, b found) int {
		if fewest && len(a.routes) != len(b.routes) {
			return len(a.routes) - len(b.routes)
		}
		return cmp.Compare(a.cost, b.cost)
	}).routes
}

// search improves the state and returns the best routes found.
func search(s *state, iterations int, seed uint64, fewest bool) found {
	rng := &chance{*rand.NewPCG(seed, 0xd1b54a32d192ed03)}
	if fewest {
		s.reduce(rng, iterations/4)
	}
	in := s.in
	best, bestCost := s.lists(), s.cost
	allowedRoutes := in.n
	if fewest {
		allowedRoutes = len(best)
	}
	temperature := s.cooling(iterations)
	var out []int32
	for k := range iterations {
		was := s.cost
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
		if !whole || s.cost > was+allowed {
			s.revert()
			continue
		}
		if s.cost < bestCost {
			best, bestCost = s.lists(), s.cost
		}
	}
	return found{best, bestCost}
}

// sortRoutes puts the routes in the order of their smallest place.
func sortRoutes(routes [][]int) {
	slices.SortFunc(routes, func(a, b []int) int { return slices.Min(a) - slices.Min(b) })
}
