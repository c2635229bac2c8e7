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

// Temperatures at the beginning, in mean legs, and the cooling: stages equal parts of the search, each cooler.
const (
	heat   = 1
	stages = 64
	cool   = 0.93
)

// search improves the state and returns the best routes found.
func search(s *state, iterations int, seed uint64, fewest bool) [][]int32 {
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
	legs := in.n - 1 + len(best)
	hot := heat * float64(s.cost) / float64(legs)
	var out []int32
	for k := range iterations {
		if stage := k * stages / iterations; k > 0 && stage != (k-1)*stages/iterations {
			hot *= cool
		}
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
		allowed := int64(hot) * lnTable[rng.below(1024)] >> 16
		if !whole || s.cost > was+allowed {
			s.revert()
			continue
		}
		if s.cost < bestCost {
			best, bestCost = s.lists(), s.cost
		}
	}
	return best
}

// sortRoutes puts the routes in the order of their smallest place.
func sortRoutes(routes [][]int) {
	slices.SortFunc(routes, func(a, b []int) int { return slices.Min(a) - slices.Min(b) })
}
