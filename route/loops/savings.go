package loops

import "slices"

// savings makes a first split: every place on a route of its own, then routes joined end to end where that saves
// most (Clarke and Wright).
func (s *state) savings() {
	in := s.in
	for v := int32(1); int(v) < in.n; v++ {
		s.insert(v, s.open(), 0)
	}
	type joint struct{ a, b int32 } // the end of one route, the front of another
	var joints []joint
	var keys []uint64 // what joints do not save, and their numbers: sorted as one number
	for a := int32(1); int(a) < in.n; a++ {
		for _, b := range in.near[a] {
			if saved := in.saved(a, b); saved > 0 {
				keys = append(keys, uint64(2*span-saved)<<32|uint64(len(joints)))
				joints = append(joints, joint{a, b})
			}
		}
	}
	slices.Sort(keys)
	for _, key := range keys {
		j := joints[uint32(key)]
		s.join(j.a, j.b, in.saved(j.a, j.b))
	}
}

// saved is the cable that going on from a to b saves over going back to the depot and out again; 2 span at most.
func (in *instance) saved(a, b int32) int64 {
	return in.dist(a, int32(in.n)) + in.dist(0, b) - in.dist(a, b)
}

// join appends the route that begins with b to the one that ends with a, turning closed routes if need be.
func (s *state) join(a, b int32, saved int64) {
	in := s.in
	r, o := s.nodes[a].route, s.nodes[b].route
	if r == o {
		return
	}
	one, other := &s.routes[r], &s.routes[o]
	loads := s.loads(r)
	for k, load := range s.loads(o) {
		if loads[k]+load > in.capacity {
			return
		}
	}
	if in.limit > 0 && one.length+other.length-saved > in.limit {
		return
	}
	if in.groups > 0 && s.joinedGroups(r, o)*in.price >= saved {
		return
	}
	var list []int32
	switch {
	case b == other.first:
		for v := other.first; v != int32(in.n); v = s.nodes[v].next {
			list = append(list, v)
		}
	case b == other.last && !in.open:
		for v := other.last; v != 0; v = s.nodes[v].prev {
			list = append(list, v)
		}
	default:
		return
	}
	front := a == one.first && a != one.last
	if a != one.last && (!front || in.open) {
		return
	}
	if in.moments != nil && s.strainedJoined(r, list, front) {
		return
	}
	for _, v := range list {
		s.remove(v)
	}
	at := a
	for _, v := range list {
		if front { // a closed route is the same the other way round
			s.insert(v, r, 0)
		} else {
			s.insert(v, r, at)
			at = v
		}
	}
}

// strainedJoined reports whether route r would be strained by a list at its end or, turned, in front.
func (s *state) strainedJoined(r int32, list []int32, front bool) bool {
	var all []int32
	for v := s.routes[r].first; v != int32(s.in.n); v = s.nodes[v].next {
		all = append(all, v)
	}
	if front {
		slices.Reverse(all)
	}
	return s.in.strained(append(all, list...))
}

// joinedGroups counts what the group price counts more of once two routes are one.
func (s *state) joinedGroups(r, o int32) int64 {
	both := int64(0)
	others := s.counts(o)
	for g, k := range s.counts(r) {
		if k > 0 && others[g] > 0 {
			both++
		}
	}
	return 1 - both // g1+g2-both-1 after, g1-1 + g2-1 before
}
