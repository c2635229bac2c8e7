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

func (s *search) ahead(v int32, back bool) int32 {
	if back {
		return s.pred(v)
	}
	return s.succ(v)
}

func (s *search) lies(a, b, c int32, back bool) bool {
	if back {
		return s.within(c, b, a)
	}
	return s.within(a, b, c)
}

func (s *search) bestMove(t1 int32) move {
	var best move
	in := s.in
	w := in.width
	for _, back := range [2]bool{false, true} {
		t2 := s.ahead(t1, back)
		d12 := in.dist(t1, t2)
		row := int(t2) * w
		for k := range w {
			t3 := in.near[row+k]
			g1 := d12 - in.nearDist[row+k]
			if g1 <= 0 {
				break
			}
			if t4 := s.ahead(t3, !back); t4 != t2 {
				g2 := g1 + in.dist(t3, t4)
				if g := g2 - in.dist(t4, t1); g > best.gain {
					best = move{kind: twoOpt, gain: g, back: back, t1: t1, t2: t2, t3: t3, t4: t4}
				}
				s.deepen(&best, back, t1, t2, t3, t4, g2)
			}
			if t3 != t1 {
				t4 := s.ahead(t3, back)
				s.exchange(&best, back, t1, t2, t3, t4, g1+in.dist(t3, t4))
			}
		}
	}
	return best
}

// deepen looks for a second turn after the one that (t1,t2,t3,t4) makes.
func (s *search) deepen(best *move, back bool, t1, t2, t3, t4 int32, g2 int64) {
	in := s.in
	row := int(t4) * in.width
	for k := range s.breadth {
		t5 := in.near[row+k]
		g3 := g2 - in.nearDist[row+k]
		if g3 <= best.gain {
			return
		}
		if t5 == t3 || t5 == t1 {
			continue
		}
		t6 := s.ahead(t5, s.lies(t2, t5, t4, back) == back)
		if g := g3 + in.dist(t5, t6) - in.dist(t6, t1); g > best.gain {
			*best = move{twoTwo, g, back, t1, t2, t3, t4, t5, t6}
		}
	}
}

// exchange opens the way t2..t3 at (t5,t6) and puts it back the other way round or turned.
func (s *search) exchange(best *move, back bool, t1, t2, t3, t4 int32, g2 int64) {
	in := s.in
	row := int(t4) * in.width
	for k := range s.breadth {
		t5 := in.near[row+k]
		g3 := g2 - in.nearDist[row+k]
		if g3 <= best.gain {
			return
		}
		if t5 == t3 || !s.lies(t2, t5, t3, back) {
			continue
		}
		t6 := s.ahead(t5, back)
		if g := g3 + in.dist(t5, t6) - in.dist(t6, t1); g > best.gain {
			*best = move{swapParts, g, back, t1, t2, t3, t4, t5, t6}
		}
		if t5 == t2 {
			continue
		}
		t6 = s.ahead(t5, !back)
		if g := g3 + in.dist(t5, t6) - in.dist(t6, t1); g > best.gain {
			*best = move{turnParts, g, back, t1, t2, t3, t4, t5, t6}
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
