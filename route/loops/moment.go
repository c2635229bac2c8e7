package loops

import "math"

// A moments limits what a route's loads, each times its way from the end that feeds it, add up to: what the voltage
// falls by up to the far end. Loads are in shares of 2^-20 of the capacity, rounded up.
type moments struct {
	load  []int64 // by node, then resource
	limit []int64 // by resource
	lead  int64
}

func (in *instance) setMoments(p *Problem) {
	if p.MaxMoment == 0 || len(p.Capacity) == 0 {
		return
	}
	m := &moments{lead: int64(math.Ceil(p.Lead / in.unit))}
	for r := range p.Capacity {
		m.limit = append(m.limit, int64(min(p.MaxMoment/p.Capacity[r]*(1<<20)/in.unit, math.MaxInt64/2)))
	}
	for v := range int32(in.n) {
		for _, need := range in.needs(v) {
			m.load = append(m.load, (min(need, 2*whole)+1<<20-1)>>20)
		}
	}
	in.moments = m
}

// strained reports whether a route of these places, in this order, is over the limit on the moment of a resource: fed
// from the depot at its front or, if closed, from the one at its end.
func (in *instance) strained(route []int32) bool {
	if in.moments == nil {
		return false
	}
	for r := range in.resources {
		if front, end, _ := in.momentsOf(route, r); front > in.moments.limit[r] || !in.open && end > in.moments.limit[r] {
			return true
		}
	}
	return false
}

// momentsOf adds up the moments of resource r as fed from the front and from the end, and the load.
func (in *instance) momentsOf(route []int32, r int) (front, end, load int64) {
	m := in.moments
	at, way, own := int32(0), m.lead, int64(0)
	for _, v := range route {
		one := m.load[int(v)*in.resources+r]
		way += in.dist(at, v) + in.extra[v]
		load += one
		front += one * way
		own += one * in.extra[v]
		at = v
	}
	return front, load*(m.lead+way+in.dist(at, int32(in.n))) - front + own, load
}

// A strain keeps what tells of one more place whether a route can bear it: the way to each place and the load up to it.
type strain struct {
	fresh     []bool // by route
	way       []int64
	upTo      []int64 // by node, then resource
	front     []int64 // by route, then resource
	end, load []int64
	whole     []int64 // by route: the way to its end
	places    []int32
}

// strainedWith reports whether v after node p, which is 0 for the front, would strain route r.
func (s *state) strainedWith(v, r, p int32) bool {
	in, m := s.in, s.in.moments
	if m == nil {
		return false
	}
	t := &s.strain
	if !t.fresh[r] {
		s.refresh(r)
	}
	q, there := s.routes[r].first, m.lead
	if p != 0 {
		q, there = s.nodes[p].next, t.way[p]
	}
	back := m.lead
	if q != int32(in.n) {
		back += t.whole[r] - t.way[q] + in.extra[q]
	}
	on, to := in.dist(p, v), in.dist(v, q)
	added := on + to - in.dist(p, q) + in.extra[v]
	for k := range in.resources {
		one, at, before := m.load[int(v)*in.resources+k], int(r)*in.resources+k, int64(0)
		if p != 0 {
			before = t.upTo[int(p)*in.resources+k]
		}
		if t.front[at]+one*(there+on+in.extra[v])+added*(t.load[at]-before) > m.limit[k] {
			return true
		}
		if !in.open && t.end[at]+one*(back+to+in.extra[v])+added*before > m.limit[k] {
			return true
		}
	}
	return false
}

// tooFar reports that no position in route r can bear v, by the straight ways to it from the ends: a place anywhere has a
// way as long at least, and makes no other way shorter.
func (s *state) tooFar(v, r int32) bool {
	in, m := s.in, s.in.moments
	if m == nil {
		return false
	}
	t := &s.strain
	if !t.fresh[r] {
		s.refresh(r)
	}
	there, back := m.lead+in.dist(0, v)+in.extra[v], m.lead+in.dist(v, int32(in.n))+in.extra[v]
	for k := range in.resources {
		one, at := m.load[int(v)*in.resources+k], int(r)*in.resources+k
		if t.front[at]+one*there > m.limit[k] || !in.open && t.end[at]+one*back > m.limit[k] {
			return true
		}
	}
	return false
}

// refresh brings up to date what the strain keeps of route r.
func (s *state) refresh(r int32) {
	in, t := s.in, &s.strain
	if t.way == nil {
		t.way, t.upTo = make([]int64, in.n), make([]int64, in.n*in.resources)
	}
	t.places = t.places[:0]
	at, way := int32(0), in.moments.lead
	for v := s.routes[r].first; v != int32(in.n); v = s.nodes[v].next {
		t.places = append(t.places, v)
		way += in.dist(at, v) + in.extra[v]
		t.way[v] = way
		for k := range in.resources {
			sum := in.moments.load[int(v)*in.resources+k]
			if at != 0 {
				sum += t.upTo[int(at)*in.resources+k]
			}
			t.upTo[int(v)*in.resources+k] = sum
		}
		at = v
	}
	t.whole[r] = way + in.dist(at, int32(in.n))
	for k := range in.resources {
		j := int(r)*in.resources + k
		t.front[j], t.end[j], t.load[j] = in.momentsOf(t.places, k)
	}
	t.fresh[r] = true
}

// room makes room for one more route.
func (t *strain) room(resources int) {
	t.fresh, t.whole = append(t.fresh, false), append(t.whole, 0)
	zeros := make([]int64, resources)
	t.front, t.end, t.load = append(t.front, zeros...), append(t.end, zeros...), append(t.load, zeros...)
}
