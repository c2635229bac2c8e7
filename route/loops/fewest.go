package loops

// reduce lowers the number of routes: it empties one and keeps ruining and recreating with the left-over places
// absent, preferring states that leave out fewer or easier places (Christiaens and Vanden Berghe, section 6). It
// ends in a state where every place is on a route.
func (s *state) reduce(rng *chance, iterations int) {
	in := s.in
	hard := make([]int, in.n) // how often a place was left out
	full := s.lists()
	target, allowed := in.fewestEver(), 0
	var absent []int32
	var out []int32
	for range iterations {
		if len(absent) == 0 {
			full = s.lists()
			if s.used <= target {
				return
			}
			absent = s.empty(hard)
			allowed = s.used
		}
		was, wasHard := s.cost, sum(hard, absent)
		s.begin()
		out = append(s.ruin(rng, out[:0]), absent...)
		s.arrange(rng, out)
		var left []int32
		for _, v := range out {
			if !s.recreate(rng, v, s.used < allowed) {
				left = append(left, v)
			}
		}
		nowHard := sum(hard, left)
		if len(left) < len(absent) || nowHard < wasHard || len(left) == len(absent) && nowHard == wasHard && s.cost <= was {
			absent = left
		} else {
			s.revert()
		}
		for _, v := range left {
			hard[v]++
		}
	}
	if len(absent) > 0 {
		s.restore(full)
	}
}

func sum(hard []int, list []int32) int {
	total := 0
	for _, v := range list {
		total += hard[v]
	}
	return total
}

// empty removes all places of the route that was easiest to place.
func (s *state) empty(hard []int) []int32 {
	var pick []int32
	least := -1
	for _, list := range s.lists() {
		if h := sum(hard, list)*1000 + len(list); least < 0 || h < least {
			least, pick = h, list
		}
	}
	for _, v := range pick {
		s.remove(v)
	}
	return pick
}

// restore brings back a whole split.
func (s *state) restore(lists [][]int32) {
	for v := int32(1); int(v) < s.in.n; v++ {
		if s.nodes[v].route >= 0 {
			s.remove(v)
		}
	}
	for _, list := range lists {
		r, last := s.open(), int32(0)
		for _, v := range list {
			s.insert(v, r, last)
			last = v
		}
	}
}
