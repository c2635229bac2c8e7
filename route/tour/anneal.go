package tour

import (
	"math"
	"math/rand/v2"
	"slices"
)

// chance is a small source of whole random numbers.
type chance struct{ rand.PCG }

// below returns a number from 0 to n-1.
func (c *chance) below(n int) int { return int((c.Uint64() >> 33) * uint64(n) >> 31) }

// lnTable holds -ln((k+1/2)/1024) in 1/65536. Whole numbers hide the last-digit differences that logarithms have
// between machines.
var lnTable = func() (t [1024]int64) {
	for k := range t {
		t[k] = int64(math.Round(-math.Log((float64(k)+0.5)/1024) * 65536))
	}
	return
}()

// breadth is how many neighbours are tried for the third leg of a move.
const breadth = 6

// heat is the temperature at the beginning of annealing, in mean legs.
const heat = 0.10

// The first round makes kicksPerNode kicks for each node, but kicksLeast at least, and each round twice as many as the
// one before. A round that does not make the ring shorter by more than enough, as a share, is the last.
const (
	kicksPerNode = 10
	kicksLeast   = 500
	enough       = 0.0005
)

// anneal returns the shortest ring that rounds of kicks find, and how many kicks they were. It starts from a ring of its
// own or, if that is shorter once both have settled, from the one given, which may be nil; one that is no good to begin
// with is not looked at.
func (in *instance) anneal(given []int32, seed uint64) ([]int32, int) {
	a := in.annealing(given, seed)
	all := 0
	for kicks := max(kicksLeast, kicksPerNode*in.n); ; kicks *= 2 {
		all += kicks
		if a.round(kicks) <= a.worth {
			return a.best, all
		}
	}
}

// An annealing is a search that keeps the best ring it comes by.
type annealing struct {
	*search
	rng    *chance
	hot    float64 // temperature at the beginning of a round, in grid steps
	best   []int32
	length int64 // of best
	worth  int64 // another round follows one that saves more than this
}

func (in *instance) annealing(given []int32, seed uint64) *annealing {
	s := in.settled(in.greedy())
	length := in.length(s.order)
	if given != nil && in.length(given) < length+length/8 {
		if o := in.settled(given); in.length(o.order) < length {
			s, length = o, in.length(o.order)
		}
	}
	base := length
	if in.free >= 0 {
		base -= apart
	}
	return &annealing{search: s, rng: &chance{*rand.NewPCG(seed, 0x9e3779b97f4a7c15)},
		hot: heat * float64(base) / float64(in.n), best: slices.Clone(s.order), length: length, worth: int64(enough * float64(base))}
}

// round anneals from the best ring and returns by how much that became shorter.
func (a *annealing) round(kicks int) int64 {
	s, was := a.search, a.length
	s.ring = newRing(slices.Clone(a.best))
	length := a.length
	for k := range kicks {
		left := float64(kicks-k) / float64(kicks)
		temperature := int64(a.hot * left * left)
		gain := s.kick(a.rng)
		gain += s.settle()
		allowed := temperature * lnTable[a.rng.below(1024)] >> 16
		if -gain > allowed {
			s.undo()
			continue
		}
		s.log = s.log[:0]
		if length -= gain; length < a.length {
			a.length = length
			copy(a.best, s.order)
		}
	}
	return was - a.length
}

// settled is a ring that no move improves.
func (in *instance) settled(order []int32) *search {
	s := &search{ring: newRing(order), in: in, queued: make([]bool, in.n), breadth: min(in.width, breadth)}
	for v := in.n - 1; v >= 0; v-- {
		s.push(int32(v))
	}
	s.settle()
	s.log = s.log[:0]
	return s
}

func (in *instance) length(order []int32) int64 {
	sum := in.dist(order[len(order)-1], order[0])
	for k := 1; k < len(order); k++ {
		sum += in.dist(order[k-1], order[k])
	}
	return sum
}
