package tour

import "slices"

// reach is how many positions or how many steps between neighbours a kick spans at most.
const (
	reachPositions = 50
	reachSteps     = 1
)

// kick makes a double bridge: the parts b and d of the ring a b c d change places. Half of the kicks are close in
// position, half close in place.
func (s *search) kick(rng *chance) int64 {
	if rng.below(2) == 0 {
		return s.bridge(s.cutsByPosition(rng))
	}
	return s.bridge(s.cutsByPlace(rng))
}

// cuts are the positions after which the ring is cut, in the order of the ring.
type cuts [4]int

func (s *search) cutsByPosition(rng *chance) (c cuts) {
	reach := min(reachPositions, s.n/4)
	p := rng.below(s.n)
	for k := range c {
		c[k] = p % s.n
		p += 1 + rng.below(reach)
	}
	return c
}

// cutsByPlace walks from neighbour to neighbour.
func (s *search) cutsByPlace(rng *chance) (c cuts) {
	v := int32(rng.below(s.n))
	step := func() { v = s.in.near[int(v)*s.in.width+rng.below(s.in.width)] }
	for k := range c {
		for slices.Contains(c[:k], int(s.pos[v])) {
			step()
		}
		c[k] = int(s.pos[v])
		for range reachSteps {
			step()
		}
	}
	slices.Sort(c[:])
	// The longest part is a and stays where it is.
	longest, after := -1, 0
	for k := range c {
		gap := (c[(k+1)%4] - c[k] + s.n) % s.n
		if gap > longest {
			longest, after = gap, k+1
		}
	}
	return cuts{c[after%4], c[(after+1)%4], c[(after+2)%4], c[(after+3)%4]}
}

func (s *search) bridge(cut cuts) int64 {
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
