package tour

import (
	"math"
	"math/rand/v2"
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

// anneal returns the shortest ring that so many kicks find. It starts from a ring of its own or, if that is shorter
// once both have settled, from the one given, which may be nil; one that is no good to begin with is not looked at.
func (in *instance) anneal(given []int32, kicks int, seed uint64) ([]int32, int) {
	s := in.settled(in.greedy())
	length := in.length(s.order)
	if given != nil && in.length(given) < length+length/8 {
		if o := in.settled(given); in.length(o.order) < length {
			s, length = o, in.length(o.order)
		}
	}
	rng := &chance{*rand.NewPCG(seed, 0x9e3779b97f4a7c15)}
	best := append([]int32(nil), s.order...)
	bestLength := length
	base := length
	if in.free >= 0 {
		base -= apart
	}
	hot := heat * float64(base) / float64(in.n)
	for k := range kicks {
		left := float64(kicks-k) / float64(kicks)
		temperature := int64(hot * left * left)
		gain := s.kick(rng)
		gain += s.settle()
		allowed := temperature * lnTable[rng.below(1024)] >> 16
		if -gain > allowed {
			s.undo()
			continue
		}
		s.log = s.log[:0]
		length -= gain
		if length < bestLength {
			bestLength = length
			copy(best, s.order)
		}
	}
	return best, kicks
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
