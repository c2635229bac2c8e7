package tour

// A search lowers a ring's length by sequential 3-opt moves over neighbour lists.
//
// In a move, (t1,t2), (t3,t4), (t5,t6) are legs of the ring and go; (t2,t3), (t4,t5), (t6,t1) come. "Ahead" is the
// direction from t1 to t2; both directions are tried by mirroring the ring. As usual after Lin and Kernighan, the
// gain must stay positive with every leg that is added.
type search struct {
	*ring
	in      *instance
	queue   []int32 // nodes whose surroundings have changed
	queued  []bool
	breadth int // neighbours tried for t5
}

// The shapes of a move.
const (
	noMove    = iota
	twoOpt    // t4 just before t3: the way from t2 to t4 is turned
	twoTwo    // a twoOpt and then another across its new leg (t4,t1)
	swapParts // t4 just after t3: the ways t2..t5 and t6..t3 change places
	turnParts // the same, each turned in place: t2..t6 and t5..t3
)

type move struct {
	kind                   int
	gain                   int64
	back                   bool // ahead is towards the predecessor
	t1, t2, t3, t4, t5, t6 int32
}

func (s *search) push(v int32) {
	if !s.queued[v] {
		s.queued[v] = true
		s.queue = append(s.queue, v)
	}
}

// settle works off the queue until no move improves; it returns what was gained.
func (s *search) settle() int64 {
	gained := int64(0)
	for len(s.queue) > 0 {
		v := s.queue[len(s.queue)-1]
		s.queue = s.queue[:len(s.queue)-1]
		s.queued[v] = false
		for {
			m := s.bestMove(v)
			if m.kind == noMove {
				break
			}
			gained += m.gain
			s.apply(&m)
		}
	}
	return gained
}

// A view is the ring as seen from the leg (t1,t2), with the direction from t1 to t2 as ahead.
type view struct {
	order, pos []int32
	n, origin  int32 // origin is the position of t2
	back       bool
}

func (v *view) ahead(a int32) int32 {
	k := v.pos[a]
	if v.back {
		if k == 0 {
			k = v.n
		}
		return v.order[k-1]
	}
	if k++; k == v.n {
		k = 0
	}
	return v.order[k]
}

func (v *view) behind(a int32) int32 {
	k := v.pos[a]
	if v.back {
		if k++; k == v.n {
			k = 0
		}
		return v.order[k]
	}
	if k == 0 {
		k = v.n
	}
	return v.order[k-1]
}

// rank counts the steps ahead from t2.
func (v *view) rank(a int32) int32 {
	k := v.pos[a] - v.origin
	if v.back {
		k = -k
	}
	if k < 0 {
		k += v.n
	}
	return k
}

func (s *search) bestMove(t1 int32) move {
	var best move
	in := s.in
	v := view{order: s.order, pos: s.pos, n: int32(s.n)}
	for _, back := range [2]bool{false, true} {
		v.back = back
		t2 := v.ahead(t1)
		v.origin = s.pos[t2]
		d12 := in.dist(t1, t2)
		row := int(t2) * in.width
		near, nearDist := in.near[row:row+in.width], in.nearDist[row:row+in.width]
		for k, t3 := range near {
			g1 := d12 - nearDist[k]
			if g1 <= 0 {
				break
			}
			if t4 := v.behind(t3); t4 != t2 {
				g2 := g1 + in.dist(t3, t4)
				if g := g2 - in.dist(t4, t1); g > best.gain {
					best = move{kind: twoOpt, gain: g, back: back, t1: t1, t2: t2, t3: t3, t4: t4}
				}
				s.deepen(&best, &v, t1, t2, t3, t4, g2)
			}
			if t3 != t1 {
				t4 := v.ahead(t3)
				s.exchange(&best, &v, t1, t2, t3, t4, g1+in.dist(t3, t4))
			}
		}
	}
	return best
}

// deepen looks for a second turn after the one that (t1,t2,t3,t4) makes.
func (s *search) deepen(best *move, v *view, t1, t2, t3, t4 int32, g2 int64) {
	in := s.in
	row := int(t4) * in.width
	near, nearDist := in.near[row:row+s.breadth], in.nearDist[row:row+s.breadth]
	if g2-nearDist[0] <= best.gain {
		return
	}
	last := v.rank(t4)
	for k, t5 := range near {
		g3 := g2 - nearDist[k]
		if g3 <= best.gain {
			return
		}
		if t5 == t3 || t5 == t1 {
			continue
		}
		var t6 int32
		if v.rank(t5) <= last {
			t6 = v.ahead(t5)
		} else {
			t6 = v.behind(t5)
		}
		if g := g3 + in.dist(t5, t6) - in.dist(t6, t1); g > best.gain {
			*best = move{twoTwo, g, v.back, t1, t2, t3, t4, t5, t6}
		}
	}
}

// exchange opens the way t2..t3 at (t5,t6) and puts it back the other way round or turned.
func (s *search) exchange(best *move, v *view, t1, t2, t3, t4 int32, g2 int64) {
	in := s.in
	row := int(t4) * in.width
	near, nearDist := in.near[row:row+s.breadth], in.nearDist[row:row+s.breadth]
	if g2-nearDist[0] <= best.gain {
		return
	}
	last := v.rank(t3)
	for k, t5 := range near {
		g3 := g2 - nearDist[k]
		if g3 <= best.gain {
			return
		}
		if v.rank(t5) >= last {
			continue
		}
		t6 := v.ahead(t5)
		if g := g3 + in.dist(t5, t6) - in.dist(t6, t1); g > best.gain {
			*best = move{swapParts, g, v.back, t1, t2, t3, t4, t5, t6}
		}
		if t5 == t2 {
			continue
		}
		t6 = v.behind(t5)
		if g := g3 + in.dist(t5, t6) - in.dist(t6, t1); g > best.gain {
			*best = move{turnParts, g, v.back, t1, t2, t3, t4, t5, t6}
		}
	}
}

// turn reverses the way from a ahead to b.
func (s *search) turn(a, b int32, back bool) {
	if back {
		a, b = b, a
	}
	s.reverse(a, b)
}

func (s *search) apply(m *move) {
	switch m.kind {
	case twoOpt:
		s.turn(m.t2, m.t4, m.back)
	case twoTwo:
		s.turn(m.t2, m.t4, m.back)
		// A reversal may have turned the complement instead; look again which way is ahead.
		back := s.succ(m.t1) != m.t4
		s.turn(m.t4, m.t6, back)
	case swapParts:
		s.turn(m.t2, m.t3, m.back)
		back := s.succ(m.t1) != m.t3
		s.turn(m.t3, m.t6, back)
		back = s.succ(m.t1) != m.t6
		s.turn(m.t5, m.t2, back)
	case turnParts:
		s.turn(m.t2, m.t6, m.back)
		back := s.succ(m.t1) != m.t6
		s.turn(m.t5, m.t3, back)
	}
	for _, v := range [...]int32{m.t1, m.t2, m.t3, m.t4} {
		s.push(v)
	}
	if m.kind != twoOpt {
		s.push(m.t5)
		s.push(m.t6)
	}
}
