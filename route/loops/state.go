package loops

// A state is a set of routes as linked lists, with what each route uses. Every change is logged, so that revert can
// take it back.
type state struct {
	in      *instance
	nodes   []node // node 0 is the depot at the front, node n the end
	routes  []route
	load    []int64 // by route, then resource
	members []int32 // by route, then group
	spare   []int32 // numbers of empty routes
	cost    int64
	over    int64 // what routes carry beyond their capacity, in shares of 2^-20 of it, over all resources
	price   int64 // of one such share, in the unit of cost; 0 where no route may carry too much
	used    int   // routes that have places

	strain strain
	log    []change
	mark   []int // route -> iteration in which it was ruined
	now    int
}

// A node is a place in its route; the search reads little else.
type node struct {
	next, prev int32
	route      int32 // -1: absent
	in, out    int32 // legs from the node before and to the node behind
}

type route struct {
	first, last int32
	count       int32
	groups      int32 // groups with members
	length      int64 // extra included
}

// A change is a place put into a route after another, or taken out from there, with the legs that come back when it
// is taken back: the one that was parted, or the two that were joined.
type change struct {
	v, route, after int32
	put             bool
	one, two        int32
}

func newState(in *instance) *state {
	s := &state{in: in, nodes: make([]node, in.n+1)}
	for v := range s.nodes {
		s.nodes[v].route = -1
	}
	return s
}

// open returns an empty route.
func (s *state) open() int32 {
	if k := len(s.spare); k > 0 {
		r := s.spare[k-1]
		s.spare = s.spare[:k-1]
		return r
	}
	in := s.in
	s.routes = append(s.routes, route{first: int32(in.n)})
	s.load = append(s.load, make([]int64, in.resources)...)
	s.members = append(s.members, make([]int32, in.groups)...)
	s.mark = append(s.mark, -1)
	s.strain.room(in.resources)
	return int32(len(s.routes) - 1)
}

// loads are what route r carries, by resource.
func (s *state) loads(r int32) []int64 {
	k := s.in.resources
	return s.load[int(r)*k : int(r+1)*k]
}

// counts are the places of each group on route r.
func (s *state) counts(r int32) []int32 {
	g := s.in.groups
	return s.members[int(r)*g : int(r+1)*g]
}

// fits reports whether the load of v has room in route r.
func (s *state) fits(v, r int32) bool {
	load := s.loads(r)
	for k, need := range s.in.needs(v) {
		if load[k]+need > s.in.capacity {
			return false
		}
	}
	return true
}

// beyond is what a load exceeds the capacity by, in whole shares of 2^-20, a part of one counted whole.
func (in *instance) beyond(load int64) int64 {
	if load <= in.capacity {
		return 0
	}
	return (load-in.capacity)>>20 + 1
}

// overPrice is what v's load costs in route r beyond its capacity; ok is false where no route may carry too much.
func (s *state) overPrice(v, r int32) (price int64, ok bool) {
	if s.fits(v, r) {
		return 0, true
	}
	more := int64(0)
	load := s.loads(r)
	for k, need := range s.in.needs(v) {
		more += s.in.beyond(load[k]+need) - s.in.beyond(load[k])
	}
	return more * s.price, s.price > 0
}

// groupPrice is what v's group adds to route r.
func (s *state) groupPrice(v, r int32) int64 {
	if s.in.groups == 0 {
		return 0
	}
	if s.routes[r].groups > 0 && s.counts(r)[s.in.group[v]] == 0 {
		return s.in.price
	}
	return 0
}

// insert puts v into route r after node p, which is 0 for the front.
func (s *state) insert(v, r, p int32) {
	q, parted := s.routes[r].first, int32(0)
	if p != 0 {
		q, parted = s.nodes[p].next, s.nodes[p].out
	} else if s.routes[r].count > 0 {
		parted = s.nodes[q].in
	}
	s.log = append(s.log, change{v, r, p, true, parted, 0})
	row := s.in.row(v)
	s.put(v, r, p, row[p], row[q])
}

// put is insert with the lengths of the two new legs.
func (s *state) put(v, r, p, there, on int32) {
	in, t := s.in, &s.routes[r]
	q := t.first
	if p != 0 {
		q = s.nodes[p].next
	}
	added := int64(there) + int64(on)
	switch {
	case t.count == 0:
		s.used++
	case p != 0:
		added -= int64(s.nodes[p].out)
	default:
		added -= int64(s.nodes[q].in)
	}
	s.strain.fresh[r] = false
	s.cost += added + s.groupPrice(v, r)
	t.length += added + in.extra[v]
	s.nodes[v] = node{q, p, r, there, on}
	if p == 0 {
		t.first = v
	} else {
		s.nodes[p].next, s.nodes[p].out = v, there
	}
	if q == int32(in.n) {
		t.last = v
	} else {
		s.nodes[q].prev, s.nodes[q].in = v, on
	}
	t.count++
	load := s.loads(r)
	for k, need := range in.needs(v) {
		s.over += in.beyond(load[k]+need) - in.beyond(load[k])
		load[k] += need
	}
	if in.groups > 0 {
		members := s.counts(r)
		if members[in.group[v]]++; members[in.group[v]] == 1 {
			t.groups++
		}
	}
}

// remove takes v out of its route.
func (s *state) remove(v int32) {
	at := s.nodes[v]
	s.log = append(s.log, change{v, at.route, at.prev, false, at.in, at.out})
	s.take(v, s.in.row(at.prev)[at.next])
}

// take is remove with the length of the leg that closes the gap.
func (s *state) take(v, direct int32) {
	in, at := s.in, s.nodes[v]
	t := &s.routes[at.route]
	if at.prev == 0 {
		t.first = at.next
	} else {
		s.nodes[at.prev].next, s.nodes[at.prev].out = at.next, direct
	}
	if at.next == int32(in.n) {
		t.last = at.prev
	} else {
		s.nodes[at.next].prev, s.nodes[at.next].in = at.prev, direct
	}
	t.count--
	s.strain.fresh[at.route] = false
	if in.groups > 0 {
		members := s.counts(at.route)
		if members[in.group[v]]--; members[in.group[v]] == 0 {
			t.groups--
		}
	}
	added := int64(at.in) + int64(at.out)
	if t.count > 0 {
		added -= int64(direct)
	}
	s.cost -= added + s.groupPrice(v, at.route)
	t.length -= added + in.extra[v]
	s.nodes[v].route = -1
	load := s.loads(at.route)
	for k, need := range in.needs(v) {
		s.over += in.beyond(load[k]-need) - in.beyond(load[k])
		load[k] -= need
	}
	if t.count == 0 {
		s.used--
		s.spare = append(s.spare, at.route)
	}
}

// begin forgets what was changed.
func (s *state) begin() {
	s.now++
	s.log = s.log[:0]
}

// revert takes back all changes since begin, the last one first. Routes that were emptied lie on spare in the order
// in which they were, so the one that fills again is the top one.
func (s *state) revert() {
	for k := len(s.log) - 1; k >= 0; k-- {
		c := s.log[k]
		if c.put {
			s.take(c.v, c.one)
			continue
		}
		if s.routes[c.route].count == 0 {
			s.spare = s.spare[:len(s.spare)-1]
		}
		s.put(c.v, c.route, c.after, c.one, c.two)
	}
	s.log = s.log[:0]
}

// lists returns the routes as node lists.
func (s *state) lists() [][]int32 {
	all := make([][]int32, 0, s.used)
	places := make([]int32, 0, s.in.n)
	for r := range s.routes {
		if s.routes[r].count == 0 {
			continue
		}
		from := len(places)
		for v := s.routes[r].first; v != int32(s.in.n); v = s.nodes[v].next {
			places = append(places, v)
		}
		all = append(all, places[from:len(places):len(places)])
	}
	return all
}
