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

func (in *instance) anneal(kicks int, seed uint64) ([]int32, int) {
	s := &search{ring: newRing(in.greedy()), in: in, queued: make([]bool, in.n), breadth: min(in.width, breadth)}
	rng := &chance{*rand.NewPCG(seed, 0x9e3779b97f4a7c15)}
	for v := in.n - 1; v >= 0; v-- {
		s.push(int32(v))
	}
	s.settle()
	s.log = s.log[:0]
	length := in.length(s.order)
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

func (in *instance) length(order []int32) int64 {
	sum := in.dist(order[len(order)-1], order[0])
	for k := 1; k < len(order); k++ {
		sum += in.dist(order[k-1], order[k])
	}
	return sum
}

// reach is how many positions or how many steps between neighbours a kick spans at most.
const (
	reachPositions = 50
	reachSteps     = 1
)

// kick makes a double bridge: the parts b and d of the ring a b c d change places. Half of the kicks are close in
// position, half close in place.
func (s *search) kick(rng *chance) int64 {
	n := s.n
	var cut [4]int // the ring is cut after each of these positions
	if rng.below(2) == 0 {
		span := min(reachPositions, n/4)
		p := rng.below(n)
		for k := range cut {
			cut[k] = p
			p += 1 + rng.below(span)
		}
		for k := range cut {
			cut[k] %= n
		}
	} else {
		v := int32(rng.below(n))
		for k := range cut {
			for {
				cut[k] = int(s.pos[v])
				fresh := true
				for _, c := range cut[:k] {
					fresh = fresh && c != cut[k]
				}
				if fresh {
					break
				}
				v = s.in.near[int(v)*s.in.width+rng.below(s.in.width)]
			}
			for range reachSteps {
				v = s.in.near[int(v)*s.in.width+rng.below(s.in.width)]
			}
		}
		for k := 1; k < len(cut); k++ {
			for j := k; j > 0 && cut[j] < cut[j-1]; j-- {
				cut[j], cut[j-1] = cut[j-1], cut[j]
			}
		}
		// The longest part stays where it is.
		longest, at := -1, 0
		for k := range cut {
			gap := cut[(k+1)%4] - cut[k]
			if gap <= 0 {
				gap += n
			}
			if gap > longest {
				longest, at = gap, k
			}
		}
		at++
		cut = [4]int{cut[at%4], cut[(at+1)%4], cut[(at+2)%4], cut[(at+3)%4]}
	}
	return s.bridge(cut)
}

func (s *search) bridge(cut [4]int) int64 {
	var end, head [4]int32
	gain := int64(0)
	for k, p := range cut {
		end[k] = s.order[p]
		head[k] = s.succ(end[k])
		gain += s.in.dist(end[k], head[k])
		s.push(end[k])
		s.push(head[k])
	}
	gain -= s.in.dist(end[0], head[2]) + s.in.dist(end[3], head[1]) + s.in.dist(end[2], head[0]) + s.in.dist(end[1], head[3])
	s.reverseExactly(head[0], end[3])
	s.reverseExactly(end[3], head[2])
	s.reverseExactly(end[2], head[1])
	s.reverseExactly(end[1], head[0])
	return gain
}

// reverseExactly reverses the way from a up to b itself, never its complement.
func (s *search) reverseExactly(a, b int32) {
	i, j := s.pos[a], s.pos[b]
	s.log = append(s.log, reversal{i, j})
	s.flip(i, j)
}
