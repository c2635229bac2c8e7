package loops

// A state is a set of routes as linked lists, with what each route uses. Changes of a route are preceded by touch,
// which keeps its old order so that revert can bring it back.
type state struct {
	in         *instance
	next, prev []int32 // node 0 is the depot at the front, node n the end
	route      []int32 // of each node; -1: absent
	routes     []route
	spare      []int32 // numbers of empty routes
	cost       int64
	used       int     // routes that have places
	leg        []int64 // from the node before, of each node on a route

	touched []touch
	saved   []int32
	mark    []int // route -> iteration in which it was touched
	now     int
}

type route struct {
	first, last int32
	count       int32
	length      int64 // extra included
	back        int64 // from the last place to the end
	room        bool  // scratch of recreate
	load        []int64
	members     []int32 // by group
	groups      int32   // groups with members
}

type touch struct {
	route    int32
	from, to int // in saved
}

func newState(in *instance) *state {
	s := &state{in: in, next: make([]int32, in.n+1), prev: make([]int32, in.n+1), route: make([]int32, in.n+1), leg: make([]int64, in.n+1)}
	for v := range s.route {
		s.route[v] = -1
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
	s.routes = append(s.routes, route{first: int32(in.n), last: 0, load: make([]int64, len(in.demand[0])), members: make([]int32, in.groups)})
	s.mark = append(s.mark, -1)
	return int32(len(s.routes) - 1)
}

// fits reports whether the load of v has room in route r.
func (s *state) fits(v, r int32) bool {
	load := s.routes[r].load
	for k, need := range s.in.demand[v] {
		if load[k]+need > s.in.capacity {
			return false
		}
	}
	return true
}

// groupPrice is what v's group adds to route r.
func (s *state) groupPrice(v, r int32) int64 {
	if s.in.groups == 0 {
		return 0
	}
	if t := &s.routes[r]; t.groups > 0 && t.members[s.in.group[v]] == 0 {
		return s.in.price
	}
	return 0
}

// insert puts v into route r after node p, which is 0 for the front.
func (s *state) insert(v, r, p int32) {
	in, t := s.in, &s.routes[r]
	end := int32(in.n)
	q := t.first
	if p != 0 {
		q = s.next[p]
	}
	there, on := in.dist(p, v), in.dist(v, q)
	added := there + on
	if t.count > 0 {
		added -= in.dist(p, q)
	} else {
		s.used++
	}
	s.leg[v] = there
	s.cost += added + s.groupPrice(v, r)
	t.length += added + in.extra[v]
	s.prev[v], s.next[v], s.route[v] = p, q, r
	if p == 0 {
		t.first = v
	} else {
		s.next[p] = v
	}
	if q == end {
		t.last, t.back = v, on
	} else {
		s.prev[q], s.leg[q] = v, on
	}
	t.count++
	for k, need := range in.demand[v] {
		t.load[k] += need
	}
	if in.groups > 0 {
		if t.members[in.group[v]]++; t.members[in.group[v]] == 1 {
			t.groups++
		}
	}
}

// remove takes v out of its route.
func (s *state) remove(v int32) {
	in, r := s.in, s.route[v]
	t := &s.routes[r]
	p, q := s.prev[v], s.next[v]
	if p == 0 {
		t.first = q
	} else {
		s.next[p] = q
	}
	direct := in.dist(p, q)
	if q == int32(in.n) {
		t.last, t.back = p, direct
	} else {
		s.prev[q], s.leg[q] = p, direct
	}
	t.count--
	if in.groups > 0 {
		if t.members[in.group[v]]--; t.members[in.group[v]] == 0 {
			t.groups--
		}
	}
	added := in.dist(p, v) + in.dist(v, q)
	if t.count > 0 {
		added -= direct
	}
	s.cost -= added + s.groupPrice(v, r)
	t.length -= added + in.extra[v]
	s.route[v] = -1
	for k, need := range in.demand[v] {
		t.load[k] -= need
	}
	if t.count == 0 {
		s.used--
		s.spare = append(s.spare, r)
	}
}

// begin forgets what was touched.
func (s *state) begin() {
	s.now++
	s.touched, s.saved = s.touched[:0], s.saved[:0]
}

// touch keeps the order of route r before its first change since begin.
func (s *state) touch(r int32) {
	if s.mark[r] == s.now {
		return
	}
	s.mark[r] = s.now
	from := len(s.saved)
	for v := s.routes[r].first; v != int32(s.in.n); v = s.next[v] {
		s.saved = append(s.saved, v)
	}
	s.touched = append(s.touched, touch{r, from, len(s.saved)})
}

// revert brings all touched routes back.
func (s *state) revert() {
	for _, t := range s.touched {
		for s.routes[t.route].count > 0 {
			s.remove(s.routes[t.route].first)
		}
	}
	for _, t := range s.touched {
		if t.from == t.to {
			continue
		}
		for k := len(s.spare) - 1; k >= 0; k-- {
			if s.spare[k] == t.route {
				s.spare = append(s.spare[:k], s.spare[k+1:]...)
				break
			}
		}
		last := int32(0)
		for _, v := range s.saved[t.from:t.to] {
			s.insert(v, t.route, last)
			last = v
		}
	}
}

// lists returns the routes as node lists.
func (s *state) lists() [][]int32 {
	var all [][]int32
	for r := range s.routes {
		if s.routes[r].count == 0 {
			continue
		}
		var list []int32
		for v := s.routes[r].first; v != int32(s.in.n); v = s.next[v] {
			list = append(list, v)
		}
		all = append(all, list)
	}
	return all
}
